"""What can be read of a vehicle file that is refused: for a drawing of it, with its faults marked.

Never for a figure: what is missing or wrong has a value from elsewhere here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from trundle.errors import InputError, Problem, told
from trundle.spec.lines import Path_, line_numbers
from trundle.spec.reader import located, parse_toml, path_of, read_text, set_values
from trundle.spec.salvage import salvaged
from trundle.spec.short import BOGIE, LIKE, ROWS, tables_of
from trundle.spec.vehicle import Vehicle, vehicle_from

MOST_UNREADABLE = 20
"""Lines that are passed over because they are no TOML; a file with more of them is not read."""


@dataclass(frozen=True)
class Reading:
    """A vehicle as far as its file can be read.

    problems, more: as of the InputError with which the file is refused; none: it is not. supplied: field paths whose
    values are not the file's. file, lines: where each field is written.
    """

    vehicle: Vehicle
    problems: tuple[Problem, ...] = ()
    more: int = 0
    supplied: frozenset[Path_] = frozenset()
    file: str = field(default="", compare=False)
    lines: Mapping[Path_, int] = field(default_factory=dict, repr=False, compare=False)

    @property
    def refused(self) -> bool:
        """Whether the file is wrong."""
        return bool(self.problems)

    def is_supplied(self, field: str) -> bool:
        """Whether the value of a field (`bogie.front.arm_mm`) is not the file's."""
        parts = path_of(field)
        return any(parts[:n] in self.supplied for n in range(1, len(parts) + 1))

    def with_problems(self, error: InputError) -> Reading:
        """The same, and what was found later on, which knows no file yet."""
        found = located(error, self.file, dict(self.lines))
        new = tuple(p for p in found.problems if p not in self.problems)
        return replace(self, problems=(*self.problems, *new), more=self.more + error.more)

    @property
    def error(self) -> InputError:
        """With which the file is refused."""
        return InputError(self.problems, self.more)

    def __str__(self) -> str:
        return told(self.problems, self.more)


def read_anyhow(path: str | Path, settings: Mapping[str, Any] | None = None, text: str | None = None) -> Reading:
    """The vehicle in a file, with each `path: value` of `settings` put in, also where it is wrong.

    Where a value is missing or wrong, there is one of a bogie or wheel of the same kind, or else of the table's
    example. Raises InputError where there is nothing to read: no file, no text, a course, a setting of no field.
    """
    file = str(path)
    text = read_text(Path(path)) if text is None else text
    data, lines, unreadable = _tables(text, file)
    if "hull" not in data and "obstacle" in data:
        raise InputError(Problem("is a course; a vehicle is wanted here", file=file))
    given = dict(settings or {})
    changed = set_values(data, given)
    try:
        vehicle = vehicle_from(data, given, file, lines)
    except InputError as e:
        vehicle, supplied = salvaged(changed)
        # A line that cannot be read is not missing as well.
        at = {p.field for p in unreadable if p.field}
        rest = [p for p in e.problems if p.field not in at]
        return Reading(vehicle, (*unreadable, *rest), e.more, supplied, file, lines)
    return Reading(vehicle, unreadable, 0, frozenset(), file, lines)


def _tables(text: str, file: str) -> tuple[dict[str, Any], dict[Path_, int], tuple[Problem, ...]]:
    """The file's tables, spelled out, and their lines; what is wrong with lines that are no TOML, and with `like`, each
    with its field if that can be told. Raises InputError if too many are, or where none can be named."""
    whole, problems = _without_unreadable(text, file)
    try:
        data, lines = tables_of(whole, file)
    except InputError as e:
        return _without_like(parse_toml(whole, file)), line_numbers(whole), (*problems, *e.problems)
    return data, lines, problems


def _without_like(data: dict[str, Any]) -> dict[str, Any]:
    """Tables as they stand, where what they are like cannot be told."""
    bogies = data.get(BOGIE)
    if isinstance(bogies, dict):
        own = {n: {k: v for k, v in b.items() if k != LIKE} if isinstance(b, dict) else b for n, b in bogies.items()}
        data = {**data, BOGIE: own}
    return {k: v for k, v in data.items() if k not in (LIKE, ROWS)}


def _without_unreadable(text: str, file: str) -> tuple[str, tuple[Problem, ...]]:
    """The text with the lines left empty that are no TOML, and what is wrong with them."""
    rows = text.split("\n")
    problems: list[Problem] = []
    for _ in range(MOST_UNREADABLE):
        whole = "\n".join(rows)
        try:
            parse_toml(whole, file)
            return whole, tuple(problems)
        except InputError as e:
            (problem,) = e.problems
            at = problem.line
            if not 1 <= at <= len(rows) or not rows[at - 1].strip():
                raise InputError(problems or [problem]) from None
            problems.append(replace(problem, field=_named_on(rows, at - 1)))
            rows[at - 1] = ""
    raise InputError(problems[0])


_HEADER = re.compile(r"\s*\[{1,2}\s*([^\[\]#]+?)\s*\]{1,2}\s*(?:#.*)?$")
_KEY = re.compile(r"\s*([A-Za-z0-9_.-]+)\s*=")


def _named_on(rows: list[str], at: int) -> str:
    """The field that a line names, or ""."""
    if (key := _KEY.match(rows[at])) is None:
        return ""
    heads = [h.group(1) for row in rows[:at] if (h := _HEADER.match(row))]
    many = len([h for h in heads if h == heads[-1]]) if heads else 0
    listed = any(row.lstrip().startswith("[[") and heads and heads[-1] in row for row in rows[:at])
    head = f"{heads[-1]}[{many}]" if listed else (heads[-1] if heads else "")
    return f"{head}.{key.group(1)}" if head else key.group(1)
