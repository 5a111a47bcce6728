"""What a study runs: every combination of the varied settings, or a list of sets."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

import pandas as pd

from trundle.errors import InputError, Problem
from trundle.fields.quantity import in_units, why_not
from trundle.fields.speed import check_speed
from trundle.spec.course import load_course
from trundle.spec.doubts import doubts
from trundle.spec.reader import field_of, parse_value, path_of
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.study.case import Case, Files, name_of, names_of
from trundle.study.paths import is_course_path

MAX_RUNS = 2_000
"""Variants times courses above which a study is only started if the user agrees: with eight near runs of each about
half an hour on two cores."""

MAX_VALUES = 100_000
"""Values of one axis, at most."""


@dataclass(frozen=True)
class Axis:
    """One varied setting. values: in the file's units. low, high: a range without a step (find only)."""

    path: str
    values: tuple[Any, ...] = ()
    low: float | None = None
    high: float | None = None

    @property
    def is_range(self) -> bool:
        return self.low is not None


@dataclass(frozen=True)
class Plan:
    """The runs of a study, made one at a time as they are iterated over.

    speeds_m_s: target speeds [m/s]; None means the files' own. listed: take the axes' values side by
    side (first with first) instead of every combination.
    """

    vehicles: tuple[Path, ...]
    courses: tuple[Path, ...]
    axes: tuple[Axis, ...] = ()
    speeds_m_s: tuple[float | None, ...] = (None,)
    listed: bool = False
    settings: Mapping[str, Any] | None = None
    """Settings that all runs have."""

    def __len__(self) -> int:
        sets = len(self.axes[0].values) if self.listed and self.axes else math.prod(len(a.values) for a in self.axes)
        return sets * len(self.vehicles) * len(self.courses) * len(self.speeds_m_s)

    def __iter__(self) -> Iterator[Case]:
        paths = [a.path for a in self.axes]
        names, titles = names_of(self.vehicles), names_of(self.courses)
        number = 0
        # Speeds are as good as a setting if they are all that differs; else each variant is run at all of them.
        apart = len(self.speeds_m_s) > 1 and not self.axes and len(self.vehicles) == 1
        for vehicle in self.vehicles:
            columns = [a.values for a in self.axes]
            sets: Iterable[tuple[Any, ...]] = (
                zip(*columns, strict=True) if self.listed and columns else itertools.product(*columns)
            )
            for values in sets:
                number += 1
                settings = {**(self.settings or {}), **dict(zip(paths, values, strict=True))}
                for k, (speed, course) in enumerate(itertools.product(self.speeds_m_s, self.courses)):
                    number += apart and k > 0 and k % len(self.courses) == 0
                    yield Case(number, vehicle, course, settings, speed, names[vehicle], titles[course])


def parse_axis(option: str) -> Axis:
    """`hull.mass_kg=250:350:25`, `bogie.*.spring.thickness_mm=6,7,8` or `low:high` for a search.

    The end of a range belongs to it if a step falls on it. Raises InputError.
    """
    path, eq, text = option.partition("=")
    path, text = path.strip(), text.strip()
    if not eq or not path:
        raise InputError(
            Problem(f'"{option}" is not PATH=VALUES', argument="vary", allowed="PATH=V1,V2,... or PATH=A:B:STEP")
        )
    if not text:
        raise InputError(Problem("there are no values", path, "PATH=V1,V2,... or PATH=A:B:STEP"))
    numbers = _numbers(text, path)
    if numbers is None:
        values = tuple(parse_value(part) for part in split_values(text, path))
        return Axis(path, in_own_unit(values, path))
    if len(numbers) == 2:
        low, high = (float(n) for n in numbers)
        if not low < high:
            raise InputError(Problem(f"the range {text} is empty", path, "LOW:HIGH with LOW below HIGH"))
        return Axis(path, low=low, high=high)
    start, stop, step = numbers
    if step == 0 or (stop - start) / step < 0:
        raise InputError(Problem(f"the range {text} is empty", path, "A:B:STEP with a step from A towards B"))
    count = int((stop - start) / step) + 1
    if count > MAX_VALUES:
        raise InputError(Problem(f"the range {text} has {count} values", path, f"up to {MAX_VALUES}"))
    # In decimal, so that 0.1 steps give 0.3 and not 0.30000000000000004.
    return Axis(path, tuple(_number(start + i * step) for i in range(count)))


def _numbers(text: str, path: str) -> list[Decimal] | None:
    """The numbers of a range, None if it is none. Raises InputError on one that is not finite."""
    parts = text.split(":")
    if len(parts) not in (2, 3):
        return None
    try:
        numbers = [Decimal(str(in_own_unit(p.strip(), path))) for p in parts]
    except InvalidOperation:
        return None
    if not all(n.is_finite() for n in numbers):
        raise InputError(Problem(f"the range {text} has no end", path, "A:B:STEP with finite numbers"))
    return numbers


def in_own_unit(value: Any, path: str) -> Any:
    """A value, or several, of the field that a path names: quantities with a unit as numbers of the field's own."""
    made = in_units(value, field_of(path_of(path)))
    return tuple(made) if isinstance(value, tuple) else made


def _number(value: Decimal) -> int | float:
    return int(value) if value == value.to_integral_value() else float(value)


def split_values(text: str, path: str) -> list[str]:
    """Splits at commas, but not inside brackets or quotes. Raises InputError on an empty value."""
    parts, depth, quote, start = [], 0, "", 0
    for i, char in enumerate(text):
        if quote:
            quote = "" if char == quote else quote
        elif char in "\"'":
            quote = char
        elif char in "[{":
            depth += 1
        elif char in "]}":
            depth -= 1
        elif char == "," and depth == 0:
            parts.append(text[start:i].strip())
            start = i + 1
    parts.append(text[start:].strip())
    if not all(parts):
        raise InputError(Problem(f'there is an empty value in "{text}"', path, "PATH=V1,V2,..."))
    return parts


def make_plan(
    vehicle: str | Path,
    courses: Sequence[str | Path],
    vary: Sequence[str | Axis] = (),
    *,
    speeds_m_s: Sequence[float] = (),
    listed: bool = False,
    settings: Mapping[str, Any] | None = None,
    ranges: bool = False,
) -> Plan:
    """A checked plan from what a person typed. `vehicle=a.toml,b.toml` among `vary` varies whole files.

    ranges: allow `LOW:HIGH` without a step (for a search). Raises InputError on an unknown path or file, an
    empty grid, listed sets of unequal length, or a vehicle or course file that is itself not valid.
    """
    axes = [
        parse_axis(a) if isinstance(a, str) else replace(a, values=in_own_unit(tuple(a.values), a.path)) for a in vary
    ]
    names = [a.path for a in axes]
    for name in names:
        if names.count(name) > 1:
            raise InputError(Problem("is varied twice; give all its values at once", name))
    files = [str(v) for a in axes if a.path == "vehicle" for v in a.values]
    axes = [a for a in axes if a.path != "vehicle"]
    vehicles = list(dict.fromkeys(find("vehicles", f) for f in [str(vehicle), *files]))
    for axis in axes:
        if axis.is_range and not ranges:
            raise InputError(Problem("a range needs a step here", axis.path, "PATH=A:B:STEP"))
        if not axis.is_range and not axis.values:
            raise InputError(Problem("there are no values", axis.path))
    if listed and len({len(a.values) for a in axes}) > 1:
        counts = ", ".join(f"{a.path} {len(a.values)}" for a in axes)
        raise InputError(Problem(f"listed sets need as many values of each: {counts}", argument="listed"))
    if listed and axes and len(vehicles) > 1:
        raise InputError(
            Problem(
                "pairs values of fields, not whole files with them",
                argument="listed",
                allowed="vehicle=... alone, or fields alone",
            )
        )
    if not courses:
        raise InputError(Problem("there is no course to run over", "COURSE"))
    for speed in speeds_m_s:
        check_speed(speed, "speeds_m_s")
    plan = Plan(
        tuple(vehicles),
        tuple(dict.fromkeys(find("courses", c) for c in courses)),
        tuple(axes),
        tuple(speeds_m_s) or (None,),
        listed,
        dict(settings or {}),
    )
    check_files(plan)
    return plan


def check_files(plan: Plan) -> None:
    """Raises InputError if a file is not valid as it stands, or a path names nothing in it."""
    for file in plan.vehicles:
        load_vehicle(file)
    for file in plan.courses:
        load_course(file)
    check_paths(plan, [a.path for a in plan.axes] + list(plan.settings or {}))
    check_values(plan)


def check_values(plan: Plan) -> None:
    """Raises InputError on a varied value that is no number, for a field that is one in all the plan's files."""
    files = Files()
    for axis in plan.axes:
        at = plan.courses if is_course_path(axis.path) else plan.vehicles
        written = [value for file in at for value in files.named_by(axis.path, file).values()]
        if not written or not all(_is_number(value) for value in written):
            continue
        for value in axis.values:
            if not _is_number(value) or (isinstance(value, float) and not math.isfinite(value)):
                raise InputError(_no_number(value, axis.path))


def _no_number(value: Any, path: str) -> Problem:
    text, allowed = (isinstance(value, str) and why_not(value, field_of(path_of(path)))) or (
        f"{value} is not a number",
        "numbers",
    )
    return Problem(text, path, allowed)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def remarks(plan: Plan) -> list[str]:
    """What a person should know of a plan before it runs, one line each: slips of the pen in a vehicle,
    settings that change nothing, and two values that may be one with a decimal comma."""
    said = [
        f"note: {a.path}={a.values[0]},{a.values[1]} are two values; for {a.values[0]}.{a.values[1]} write a point"
        for a in plan.axes
        if len(a.values) == 2 and all(type(v) is int for v in a.values) and 0 <= 2 * a.values[1] < a.values[0]
    ]
    said += _doubted(plan)
    own = [names_of(plan.courses)[c] for c in plan.courses if load_course(c).speed_m_s is not None]
    touched = [p for p in (*(a.path for a in plan.axes), *(plan.settings or {})) if p == "drive.speed_m_s"]
    if not (own and touched):
        return said
    return [
        *said,
        f"note: drive.speed_m_s changes nothing over {', '.join(own)}: the course sets its own speed. "
        "Use --speed, or speed_m_s, the course's.",
    ]


def _doubted(plan: Plan) -> Iterator[str]:
    settings = {k: v for k, v in (plan.settings or {}).items() if not is_course_path(k)}
    for file in plan.vehicles:
        with suppress(InputError):  # refused as it is in the file; a variant may be sound
            yield from (f"note: {file}: {doubt}" for doubt in doubts(load_vehicle(file, settings)))


def check_paths(plan: Plan, paths: Sequence[str]) -> None:
    """Raises InputError if a path names nothing in one of the plan's files."""
    files = Files()
    for path in paths:
        for file in plan.courses if is_course_path(path) else plan.vehicles:
            files.named_by(path, file)


def wildcards(plan: Plan) -> list[str]:
    """What every varied path with a `*` names, one line each, for a person to see."""
    files = Files()
    said = []
    for path in (a.path for a in plan.axes if "*" in a.path):
        for file in plan.courses if is_course_path(path) else plan.vehicles:
            said.append(f"{path} in {name_of(file)}: {', '.join(files.named_by(path, file))}")
    return said


def check_size(runs: int, yes: bool) -> None:
    """Raises InputError if there are no runs, or more than MAX_RUNS without a yes."""
    if runs == 0:
        raise InputError(Problem("the grid is empty: there is nothing to run", argument="vary"))
    if runs > MAX_RUNS and not yes:
        raise InputError(Problem(f"that is {runs} runs", argument="yes", allowed=f"up to {MAX_RUNS} without it"))


def cases_from(
    frame: pd.DataFrame, vehicle: str | Path | None = None, courses: Sequence[str | Path] = ()
) -> list[Case]:
    """One variant per row of a table whose columns are field paths.

    Columns `vehicle`, `course` and `speed_m_s` may stand in it too; an empty cell means the file's value.
    Raises InputError.
    """
    cases: list[Case] = []
    for number, row in enumerate(frame.to_dict("records"), start=1):
        cells = {str(k): in_own_unit(_cell(v), str(k)) for k, v in row.items() if not _empty(v)}
        file = cells.pop("vehicle", vehicle)
        speed = cells.pop("speed_m_s", None)
        over = [cells.pop("course")] if "course" in cells else list(courses)
        if file is None or not over:
            raise InputError(Problem(f"row {number} of the table names no vehicle or no course"))
        cases += [Case(number, find("vehicles", file), find("courses", course), cells, speed) for course in over]
    names, titles = names_of(c.vehicle for c in cases), names_of(c.course for c in cases)
    cases = [replace(c, vehicle_name=names[c.vehicle], course_name=titles[c.course]) for c in cases]
    for at in {(c.vehicle, c.course) for c in cases}:
        used = {p: None for c in cases if (c.vehicle, c.course) == at for p in c.settings}
        check_files(Plan((at[0],), (at[1],), settings=used))
    return cases


def _empty(value: Any) -> bool:
    return value is None or (isinstance(value, float) and math.isnan(value))


def _cell(value: Any) -> Any:
    """A numpy number as a plain one."""
    return value.item() if hasattr(value, "item") else value
