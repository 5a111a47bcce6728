"""The run folder: written whole or not at all, and read back."""

from __future__ import annotations

import contextlib
import errno
import itertools
import json
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import pandas as pd

from trundle.errors import ComputerError, InputError, Problem
from trundle.record.cells import write_cells
from trundle.record.events_file import check_file, read_events
from trundle.record.held import clear_leftovers, held_folder
from trundle.record.long import Timeline, frame_of
from trundle.record.packed import pack_timeline, read_timeline
from trundle.record.sound import check_timeline

FORMAT = 2
"""Number of the run folder's layout; a folder of another number is refused by name."""

TIMELINE, EVENTS, SUMMARY, REPORT = "timeline.parquet", "events.csv", "summary.json", "report.html"
VEHICLE, COURSE = "vehicle.toml", "course.toml"


ASIDE = "-old-"
"""In the name of a hidden folder that holds an older run while the new one takes its place."""

STALE_S = 10.0
"""A swap takes a moment; a lock older than this was left by a killed process [s]."""


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """A fresh folder to write into that takes the place of `folder` only when all went well.

    It stands beside the final one, so the change of name is one step of the file system. A killed run leaves
    at most a hidden folder that no command takes for a run and that the next run beside it removes. Two runs
    into one folder: the later one wins, whole. Files of the builder's own in an older run there move over to
    the new one. Raises InputError if the place cannot be written, or if something that is no run is in the way.
    """
    folder = check_place(folder)
    with _written_beside(folder) as part:
        yield part
        with _turn(folder):
            _take_place(part, folder)


def free_folder(folder: Path, fill: Callable[[Path], None]) -> Path:
    """Has `fill` write into a fresh folder, which then gets the first free name of folder, folder-2, folder-3, ...

    Nothing that stands there is replaced, and the name is taken by the one step that puts the whole folder there: of
    runs that end at the same moment each gets its own. Gives the folder. Raises InputError if it cannot be written.
    """
    folder = _full_path(folder)
    with _written_beside(folder) as part:
        fill(part)
        names = (folder if k == 1 else folder.with_name(f"{folder.name}-{k}") for k in itertools.count(1))
        return next(name for name in names if _takes_free(part, name))


@contextmanager
def _written_beside(folder: Path) -> Iterator[Path]:
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        clear_leftovers(folder.parent, _put_back)
        for lock in folder.parent.glob(".*.lock"):
            _unlock_stale(lock)
        with held_folder(folder.parent, f".{folder.name}-") as part:
            yield part
    except OSError as e:
        raise ComputerError(Problem(f"the run could not be kept: {e.strerror or e}", file=str(folder))) from None


def check_place(folder: Path) -> Path:
    """The full path of a folder that a run could take. Raises InputError if something else is there."""
    folder = _full_path(folder)
    try:
        # A look while another process swaps the folder may fall between two of its runs: look again.
        if not any(_could_be_run(folder, 0.05 * k) for k in range(4)):
            raise InputError(
                Problem(
                    "is in the way and is not a run folder",
                    argument="folder",
                    allowed="a new one, or that of a run",
                    file=str(folder),
                )
            )
    except InputError:
        raise
    except (OSError, ValueError) as e:
        raise _no_place(folder, e) from None
    return folder


def _full_path(folder: Path) -> Path:
    try:
        # A link to itself: resolve() says so up to Python 3.12, stat() in all.
        folder = folder.resolve()
        with contextlib.suppress(FileNotFoundError):
            folder.stat()
    except (OSError, ValueError, RuntimeError) as e:  # too long, unprintable, a link to itself
        raise _no_place(folder, e) from None
    return folder


def _no_place(folder: Path, e: Exception) -> InputError:
    why = getattr(e, "strerror", None) or e
    return InputError(Problem(f"no run can be kept there: {why}", file=str(folder)[:200]))


def _could_be_run(folder: Path, wait_s: float) -> bool:
    time.sleep(wait_s)
    try:
        return not folder.exists() or (folder.is_dir() and (is_run(folder) or not any(folder.iterdir())))
    except FileNotFoundError:
        return True


def _unlock_stale(lock: Path) -> None:
    """Remove what a process left that was killed in the middle of a swap: an empty folder, or else it stays."""
    with contextlib.suppress(OSError):
        if time.time() - lock.stat().st_mtime > STALE_S:
            lock.rmdir()


@contextlib.contextmanager
def _turn(folder: Path) -> Iterator[None]:
    """One process at a time may swap the folder; one that was killed while it did holds nobody up for long."""
    lock = folder.parent / f".{folder.name}.lock"
    for _ in range(2_000):
        try:
            lock.mkdir()
            break
        except FileExistsError:
            _unlock_stale(lock)
            time.sleep(0.01)
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            lock.rmdir()


def _take_place(part: Path, folder: Path) -> None:
    """Rename `part` to `folder`, an older run out of the way first. Another process may do the same meanwhile."""
    for attempt in range(50):
        with held_folder(folder.parent, f".{folder.name}{ASIDE}") as aside:
            try:
                with contextlib.suppress(FileNotFoundError):  # nothing there, or just taken by the other one
                    folder.rename(aside / folder.name)
                try:
                    part.rename(folder)
                except OSError as e:
                    if e.errno not in (errno.ENOTEMPTY, errno.EEXIST) or attempt == 49:
                        raise
                    continue
                return
            finally:
                _hand_over(aside, folder)


def _takes_free(part: Path, folder: Path) -> bool:
    """Rename `part` to `folder` if nothing is there, in one step; False if the name is taken."""
    with _turn(folder):  # not while a swap has its older run out of the way
        if os.path.lexists(folder):
            return False
        try:
            part.rename(folder)
        except OSError as e:
            if e.errno in (errno.ENOTEMPTY, errno.EEXIST, errno.ENOTDIR):
                return False
            raise
        return True


def _hand_over(aside: Path, folder: Path) -> None:
    """The builder's own files in a run that was set aside move to the new one; if there is none, it goes back."""
    old = aside / folder.name
    if not old.is_dir():
        return
    if not folder.exists():
        old.rename(folder)
        return
    for mine in old.iterdir():
        if not (folder / mine.name).exists():
            with contextlib.suppress(OSError):
                mine.rename(folder / mine.name)


def _put_back(leftover: Path) -> None:
    """Save what a process that was killed in the middle of a swap had set aside."""
    if ASIDE not in leftover.name:
        return
    for old in leftover.iterdir():
        folder = leftover.with_name(old.name)
        with _turn(folder):
            _hand_over(leftover, folder)


def is_run(folder: Path) -> bool:
    """True if the folder holds a finished run."""
    return (folder / SUMMARY).is_file() and (folder / TIMELINE).is_file()


def write_tables(folder: Path, timeline: Timeline, events: pd.DataFrame, summary: dict[str, Any]) -> None:
    """timeline.parquet, events.csv and summary.json into an existing folder."""
    with (folder / TIMELINE).open("wb") as file:
        pack_timeline(timeline, file)
    write_cells(events, folder / EVENTS, float_format="%.6g")
    text = json.dumps({"format": FORMAT, **summary}, indent=1, allow_nan=False, ensure_ascii=False)
    (folder / SUMMARY).write_text(text + "\n", encoding="utf-8")


@dataclass(frozen=True, eq=False)
class KeptRun:
    """A run read back from its folder. log: its timeline, of a long run still in its file."""

    folder: Path
    log: Timeline
    events: pd.DataFrame
    summary: dict[str, Any]

    @cached_property
    def timeline(self) -> pd.DataFrame:
        """All of the timeline in memory: 8 bytes a number, of an hour at 1 ms some 3 GB."""
        return frame_of(self.log)


def read_summary(folder: str | Path) -> dict[str, Any]:
    """The figures of a kept run. Raises InputError if it is no run, cut short, or of another version."""
    folder = Path(folder)
    if not folder.is_dir():
        raise InputError(Problem("no such run folder", file=str(folder)))
    file = folder / SUMMARY
    if not file.is_file():
        raise InputError(Problem(f"is not a run folder: it has no {SUMMARY}", file=str(folder)))
    try:
        summary = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as e:
        raise InputError(Problem(f"cannot be read: {e}", file=str(file))) from None
    if not isinstance(summary, dict) or summary.get("format") != FORMAT:
        got = summary.get("format") if isinstance(summary, dict) else None
        raise InputError(
            Problem(f"is a run of layout {got}, this version reads layout {FORMAT}; run it again", file=str(file))
        )
    return summary


def read_run(folder: str | Path) -> KeptRun:
    """Everything of a kept run. Raises InputError as read_summary does."""
    folder = Path(folder)
    summary = read_summary(folder)
    check_file(folder / TIMELINE)
    events = read_events(folder / EVENTS)
    try:
        timeline = read_timeline(folder / TIMELINE)
    except Exception as e:  # pyarrow raises a zoo of types on a damaged file
        raise InputError(Problem(f"cannot be read: {e}", file=str(folder))) from None
    check_timeline(timeline, folder / TIMELINE)
    return KeptRun(folder, timeline, events, summary)
