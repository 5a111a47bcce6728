"""Where on a drawing a fault of the file is, and its numbered flag."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trundle.drawing.marks import Circle, Line, Mark, Text
from trundle.drawing.pens import Corner
from trundle.elevation.dimensions import Dimension
from trundle.elevation.outline import Seen
from trundle.errors import Problem
from trundle.fields.sketch import XY, Span

RADIUS_MM, NUMBER_MM = 2.4, 2.2
LEADER_MM = 5.5


_OF_ALL = re.compile(r"(?P<before>[^*]*)\*(?P<after>[^*]*?) \((?P<names>[^()]+)\)")


@dataclass(frozen=True)
class Fault:
    """A problem with its number, and its places in the hull [mm]: several where several bogies have it, none where it
    has none."""

    number: int
    problem: Problem
    at: tuple[XY, ...]


def faults(problems: Sequence[Problem], marked: Sequence[Dimension], shapes: Sequence[Seen]) -> list[Fault]:
    """Each problem with the place of its field."""
    found = []
    for number, problem in enumerate(problems, 1):
        places = (place_of(f, marked, shapes) for f in fields_of(problem.field))
        found.append(Fault(number, problem, tuple(p for p in places if p is not None)))
    return found


def fields_of(field: str) -> list[str]:
    """The fields that a problem is told of: `bogie.*.arm_mm (front, rear)` are two."""
    of_all = _OF_ALL.fullmatch(field)
    if of_all is None:
        return [field]
    return [f"{of_all['before']}{name}{of_all['after']}" for name in of_all["names"].split(", ")]


def place_of(field: str, marked: Sequence[Dimension], shapes: Sequence[Seen]) -> XY | None:
    """Of a field that is marked, the middle of its mark; of others, the middle of what the nearest table above them
    looks like; None of what has no place."""
    if not field:
        return None
    own = [d for d in marked if d.path == field] or [d for d in marked if d.path.partition("[")[0] == field]
    if own:
        return _middle(own[0])
    at = field
    while "." in at or at in ("hull", "track"):
        found = [s for s in shapes if s.path == at or s.path.startswith(f"{at}.")]
        if found:
            return _middle_of(found)
        if "." not in at:
            break
        at = at.rpartition(".")[0]
    return None


def _middle(d: Dimension) -> XY:
    if isinstance(d.mark, Span) and not d.from_datum:
        (x0, y0), (x1, y1) = d.mark.a, d.mark.b
        return 0.5 * (x0 + x1), 0.5 * (y0 + y1)
    return d.at


def _middle_of(found: Sequence[Seen]) -> XY:
    """Of the first part of that path: of two equal ones the flag is at one, not between them."""
    first = found[0]
    part = [s.shape.points for s in found if s.part == first.part][:1]
    x, y = 0.5 * (np.min(part[0], axis=0) + np.max(part[0], axis=0))
    return float(x), float(y)


def flag_marks(flags: Sequence[tuple[int, Corner]]) -> list[Mark]:
    """Flags by number and place on paper, those at one place side by side round it."""
    marks: list[Mark] = []
    taken: list[Corner] = []
    for number, (x, y) in flags:
        spot = (x, y)
        for k in range(64):
            turn = math.radians(60.0 + 40.0 * k)
            reach = LEADER_MM * (1.0 + k // 9)
            spot = x + reach * math.cos(turn), y + reach * math.sin(turn)
            if all(math.dist(spot, t) > 2.2 * RADIUS_MM for t in taken):
                break
        taken.append(spot)
        marks.append(Line(x, y, *spot, "fault"))
        marks.append(Circle(x, y, 0.7, "fault", filled=True))
        marks += numbered(number, spot)
    return marks


def numbered(number: int, at: Corner) -> list[Mark]:
    """A flag's disc with its number."""
    size = NUMBER_MM if number < 10 else 0.8 * NUMBER_MM
    return [
        Circle(*at, RADIUS_MM, "fault", tone="paper"),
        Text(at[0], at[1] - 0.5 * size, str(number), size, "middle", True, "fault"),
    ]
