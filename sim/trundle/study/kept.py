"""The file of kept figures: plain JSON, one figure per line, so that a change shows as such in a diff."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError, model_validator
from pydantic_core import from_json

from trundle.errors import InputError, Problem
from trundle.errors import plain as plain
from trundle.fields.differences import differences
from trundle.record.files import check_replaceable
from trundle.spec.old_names import modern_tables
from trundle.study.files import read_bytes, write_text
from trundle.study.ranges import Range

FORMAT = 2
POINTS = 1
"""Layout of the files that had a number for each figure, of one run; they are read as points without a range."""


_SPLIT = re.compile(r"\[\n\s+([-+.\deE]+),\n\s+([-+.\deE]+),\n\s+([-+.\deE]+)\n\s+\]")
"""Three numbers of a list, each on a line of its own: a figure is to stand on one."""


@dataclass(frozen=True)
class KeptRun:
    """One vehicle over one course: its figures by column name, over so many near runs, of which so many reach the end
    (`over`). ended: why it did not complete, "" if it did."""

    vehicle: str
    course: str
    ended: str
    figures: Mapping[str, Range]
    runs: int = 1
    over: int | None = None

    @property
    def share(self) -> float:
        """Of the near runs that reach the end."""
        return float(not self.ended) if self.over is None else self.over / self.runs


@dataclass(frozen=True)
class Kept:
    """Figures with everything they came from. vehicles, courses: the files' tables by name."""

    identity: Mapping[str, str]
    vehicles: Mapping[str, Any]
    courses: Mapping[str, Any]
    hashes: Mapping[str, str]
    settings: Mapping[str, Any]
    runs: tuple[KeptRun, ...]
    history: tuple[Mapping[str, Any], ...] = ()


def check_place(path: Path, field: str = "") -> None:
    """Raises InputError if a file could not be written at `path`, before hours of runs are made for it.

    Leaves nothing behind. field: the option that named the file.
    """
    try:
        check_replaceable(path, field)
        # Folders on the way are made when it is written. Only trying tells: root may write "anywhere", says the
        # system, but not in /proc.
        nearest = next(p for p in path.absolute().parents if p.exists())
        with tempfile.NamedTemporaryFile(dir=nearest, prefix=".", suffix=".part"):
            pass
    except InputError:
        raise
    except (OSError, ValueError) as e:  # ValueError: a name with a null in it
        why = getattr(e, "strerror", None) or e
        raise InputError(Problem(f"cannot be written: {why}", field=field, file=str(path))) from None


class _Strict(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)


def write_kept(path: Path, kept: Kept, history: Sequence[Mapping[str, Any]] = ()) -> None:
    """Raises InputError if it cannot be written."""
    content = {
        "format": FORMAT,
        "identity": dict(kept.identity),
        "history": [dict(h) for h in history],
        "hashes": dict(kept.hashes),
        "settings": dict(kept.settings),
        "runs": [
            {
                "vehicle": r.vehicle,
                "course": r.course,
                "ended": r.ended,
                "runs": r.runs,
                "over": r.over,
                "figures": {name: v.plain for name, v in r.figures.items()},
            }
            for r in kept.runs
        ],
        "vehicles": dict(kept.vehicles),
        "courses": dict(kept.courses),
    }
    text = json.dumps(content, indent=1, sort_keys=False, default=str)
    write_text(path, _SPLIT.sub(r"[\1, \2, \3]", text) + "\n")


class _Run(_Strict):
    vehicle: str
    course: str
    ended: str
    figures: dict[str, float | list[float]]
    runs: int = 1
    over: int | None = None

    @model_validator(mode="after")
    def _in_order(self) -> _Run:
        for name, value in self.figures.items():
            if isinstance(value, list) and not (len(value) == 3 and value[1] <= value[0] <= value[2]):
                raise ValueError(f"{name}: median, low and high do not fit")
        if self.runs < 1 or not 0 <= (self.over or 0) <= self.runs:
            raise ValueError(f"{self.over} of {self.runs} runs")
        return self

    @property
    def ranges(self) -> dict[str, Range]:
        """Its figures; a number is a range of no width."""
        return {
            name: Range(*value) if isinstance(value, list) else Range(value, value, value)
            for name, value in self.figures.items()
        }


class _Entry(_Strict):
    """One accepted change: why, what had been changed, and what had moved by that."""

    reason: str
    causes: list[str]
    moved: list[str]


class _File(_Strict):
    """The file as it must be; `Kept` is what the program has of it."""

    format: int
    identity: dict[str, str]
    history: list[_Entry]
    hashes: dict[str, str]
    settings: dict[str, Any]
    runs: list[_Run]
    vehicles: dict[str, dict[str, Any]]
    courses: dict[str, dict[str, Any]]

    @model_validator(mode="after")
    def _each_run_once(self) -> _File:
        seen: set[tuple[str, str]] = set()
        for run in self.runs:
            if (run.vehicle, run.course) in seen:
                raise ValueError(f"{run.vehicle} over {run.course} stands there twice")
            seen.add((run.vehicle, run.course))
        return self


def read_kept(path: Path) -> Kept:
    """Raises InputError if it is not there, not readable, damaged, or of another layout."""
    try:
        # Not `json`: it falls over a list nested ten thousand deep, and takes half a character for one.
        content = from_json(read_bytes(path), allow_inf_nan=False)
    except FileNotFoundError:
        raise InputError(Problem("nothing has been kept yet; first: baseline keep NAME", file=str(path))) from None
    except InputError:
        raise
    except ValueError as e:
        raise InputError(Problem(f"cannot be read: {e}", file=str(path))) from None
    found = content.get("format") if isinstance(content, dict) else None
    if found not in (POINTS, FORMAT):
        shown = found if isinstance(found, int) and abs(found) < 1_000_000 else "unknown"
        raise InputError(
            Problem(
                f"was kept by another version (layout {shown}, here {FORMAT}); remove it and keep it anew",
                file=str(path),
            )
        )
    try:
        file = _File.model_validate(content)
    except ValidationError as e:
        first = e.errors(include_url=False, include_input=False)[0]
        at = ".".join(str(part) for part in first["loc"])
        what = plain(f"{at}: {first['msg']}" if at else first["msg"])[:200]
        raise InputError(Problem(f"is damaged ({what}); restore it or keep it anew", file=str(path))) from None
    return Kept(
        file.identity,
        modern_tables(file.vehicles),
        modern_tables(file.courses),
        file.hashes,
        modern_tables(file.settings),
        tuple(KeptRun(r.vehicle, r.course, r.ended, r.ranges, r.runs, r.over) for r in file.runs),
        tuple(h.model_dump() for h in file.history),
    )


def changed_since(old: Kept, now: Kept) -> list[str]:
    """What is not as it was when the figures were kept: fields of the files, settings, program, libraries."""
    said: list[str] = []
    for then, here in ((old.vehicles, now.vehicles), (old.courses, now.courses)):
        for name in here:
            moved = differences(then.get(name, {}), here[name])
            said += [f"{name}: {line}" for line in moved]
            if not moved and old.hashes.get(name) != now.hashes.get(name):
                said.append(f"{name}: the file changed, but none of its values (notes, or a surveyed profile)")
    said += [f"settings: {line}" for line in differences(old.settings, now.settings)]
    for part, version in now.identity.items():
        if old.identity.get(part) != version:
            what = "the program's source" if part == "source" else part
            said.append(f"{what} changed from {old.identity.get(part, 'none')} to {version}")
    return [plain(line) for line in said]
