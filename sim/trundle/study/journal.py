"""The study's notebook: one row per finished run, written at once, so that a killed study goes on.

SQLite in write-ahead mode: a row is either there or not, also after kill -9. The key of a row is the
hash of everything the result depends on, so a row found is a run that need not be repeated.
"""

from __future__ import annotations

import json
import sqlite3
import sys
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import Any, NoReturn

from trundle.errors import InputError, Problem
from trundle.findings.figures.parts import LEAST_PART
from trundle.study.pool import Outcome
from trundle.study.worker import DONE, FAULT, FINAL, KILLED, OVERTIME, REFUSED

FORMAT = 1
"""Layout of the file; another number is another layout."""

KINDS = (DONE, REFUSED, FAULT, KILLED, OVERTIME)

OLD_FAILED = "failed"
"""What older versions wrote of refusals and faults alike: no telling which, so the run is made again."""


class Journal:
    """Finished runs by key. Use as a context manager; one writer at a time."""

    def __init__(self, path: Path | None) -> None:
        """Opens or starts the journal at `path` (None: kept in memory only).

        Raises InputError if it cannot be written, is not a journal, is damaged, or is in use.
        """
        self.name = str(path) if path else "the study in memory"
        if path is not None:
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
            except OSError as e:
                raise InputError(Problem(f"cannot be made: {e.strerror or e}", file=str(path.parent))) from None
        try:
            self._db = sqlite3.connect(path or ":memory:", timeout=1.0, isolation_level=None)
        except sqlite3.Error as e:
            raise InputError(Problem(f"cannot be opened: {e}", file=self.name)) from None
        try:
            self._prepare()
        except BaseException as e:
            self._db.close()
            if isinstance(e, sqlite3.Error):
                self._complain(e)
            raise

    def _prepare(self) -> None:
        # Exclusive: a second study on the same file would do every run twice.
        self._db.execute("PRAGMA locking_mode = EXCLUSIVE")
        self._db.execute("PRAGMA journal_mode = WAL")
        self._db.execute("PRAGMA synchronous = NORMAL")
        state = self._db.execute("PRAGMA quick_check(1)").fetchone()[0]
        if state != "ok":
            raise sqlite3.DatabaseError(str(state))
        self._db.execute("BEGIN IMMEDIATE")
        number = self._db.execute("PRAGMA user_version").fetchone()[0]
        tables = self._db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if tables and number != FORMAT:
            raise InputError(
                Problem(
                    f"is not a study's journal of this version (layout {number}, here {FORMAT}); "
                    "move it away or name another folder",
                    file=self.name,
                )
            )
        self._db.execute(
            "CREATE TABLE IF NOT EXISTS run (key TEXT PRIMARY KEY, kind TEXT NOT NULL, inputs TEXT NOT NULL,"
            " figures TEXT, reason TEXT NOT NULL, wall_s REAL NOT NULL) WITHOUT ROWID"
        )
        self._db.execute(f"PRAGMA user_version = {FORMAT}")
        self._db.execute("COMMIT")

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self._db.close()

    def finished(self, key: str) -> str:
        """The final outcome of the run of this key; "" if it has none."""
        row = self._ask("SELECT kind FROM run WHERE key = ?", key)
        return str(row[0]) if row is not None and row[0] in FINAL else ""

    def write(self, outcome: Outcome, inputs: Any) -> None:
        """Keeps one outcome; `inputs` (plain data) only for a person who opens the file.

        A figure that is no number (a division by zero somewhere) makes it a fault of the program. Raises InputError if
        there is no room; everything written before is kept.
        """
        try:
            figures = None if outcome.value is None else json.dumps(outcome.value, default=_number, allow_nan=False)
        except ValueError:
            outcome, figures = replace(outcome, kind=FAULT, value=None, reason="a figure is not a number"), None
        try:
            self._db.execute(
                "INSERT OR REPLACE INTO run VALUES (?, ?, ?, ?, ?, ?)",
                (
                    outcome.key,
                    outcome.kind,
                    json.dumps(inputs, default=str),
                    figures,
                    outcome.reason,
                    outcome.wall_s,
                ),
            )
        except sqlite3.Error as e:
            self._complain(e)

    def outcomes(self, keys: Iterable[str]) -> Iterator[Outcome | None]:
        """For each key its outcome as written, or None if it has not been run."""
        for key in keys:
            row = self._ask("SELECT kind, figures, reason, wall_s FROM run WHERE key = ?", key)
            if row is None or row[0] == OLD_FAILED:
                yield None
            else:
                yield self._outcome(key, *row)

    def _outcome(self, key: str, kind: Any, figures: Any, reason: Any, wall_s: Any) -> Outcome:
        """A row as written. Raises InputError if no study wrote it: SQLite does not sum its pages."""
        try:
            value = None if figures is None else json.loads(figures)
        except (ValueError, TypeError, RecursionError):
            value = ()
        whole = (value is None) != (kind == DONE) and (value is None or _is_summary(value))
        if not (whole and kind in KINDS and isinstance(reason, str) and isinstance(wall_s, (int, float))):
            raise InputError(
                Problem("is damaged (a row is not as a study writes it); move it away and start again", file=self.name)
            )
        return Outcome(key, kind, value, reason, wall_s)

    def _ask(self, query: str, *values: str) -> Any:
        try:
            return self._db.execute(query, values).fetchone()
        except sqlite3.Error as e:
            self._complain(e)

    def _complain(self, e: sqlite3.Error) -> NoReturn:
        text = str(e).lower()
        if "full" in text or "disk i/o" in text:
            what = (
                f"no room left to write ({e}); every run finished so far is kept, "
                "make room and give the same command to go on"
            )
        elif "locked" in text:
            what = "another study is writing here; wait for it or name another folder"
        elif "readonly" in text or "unable to open" in text:
            what = f"cannot be written ({e}); name another folder"
        else:
            what = f"is damaged or is not a study's journal ({e}); move it away or name another folder"
        raise InputError(Problem(what, file=self.name)) from None


TEXTS = ("ended_because", "vehicle", "course", "headline", LEAST_PART)
"""What a summary says in words; all else are numbers, in tables of them or not, and whether it was completed."""


def _is_summary(value: Any) -> bool:
    """Whether a run gives such figures: a text where a number belongs would be taken into the ranking."""
    return isinstance(value, dict) and all(
        isinstance(v, str) if k in TEXTS else isinstance(v, bool) if k == "completed" else _is_figure(v)
        for k, v in value.items()
    )


def _is_figure(value: Any) -> bool:
    if isinstance(value, dict):
        return all(_is_figure(v) for v in value.values())
    if isinstance(value, bool):
        return False
    # A whole number may be larger than any float.
    return value is None or (isinstance(value, (int, float)) and abs(value) <= sys.float_info.max)


def _number(value: Any) -> Any:
    """A numpy number as a plain one, for JSON."""
    if hasattr(value, "item"):
        return value.item()
    raise TypeError(f"{type(value).__name__} cannot be kept in a journal")
