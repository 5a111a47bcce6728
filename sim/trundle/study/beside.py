"""Two runs, or two vehicles over one course, beside each other: which figures got better, which worse, the worst first.

One is better than the other only where neither's median lies in the other's range (see trundle.study.ranges).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import pandas as pd

from trundle.fields.differences import Difference, shared
from trundle.findings import figures
from trundle.findings.figures import Better, Figure
from trundle.findings.grades import Subject
from trundle.findings.near_row import HIGH, LOW
from trundle.findings.words import ranged
from trundle.spec.vehicle import Vehicle
from trundle.study.figures import completed, why_not
from trundle.study.headline import HEADLINE
from trundle.study.ranges import Costs, Range

Row = Mapping[Any, Any]
"""A row of a study's table, or of `row_of`: figures by name, their ranges beside them."""

SIGNS = ("A", "B", "C", "D", "E", "F")
"""What the designs beside each other are called for short, in tables and at the ends of curves."""


class Change(StrEnum):
    """What a figure of the second shows against the first, the most urgent first."""

    WORSE = "worse"
    BETTER = "better"
    ALIKE = "no difference that shows"


GIVES_OVER = 1.0
"""A margin below this is of a part that gives."""


@dataclass(frozen=True)
class Pair:
    """One figure of two."""

    figure: Figure
    one: Range
    other: Range
    change: Change

    @property
    def cells(self) -> tuple[str, str]:
        """Both as text, with their ranges, without the unit."""
        return _said(self.figure, self.one), _said(self.figure, self.other)

    @property
    def by(self) -> str:
        """`-12 %`; of a count, or from nothing, by how much; "" where no difference shows."""
        if self.change is Change.ALIKE:
            return ""
        moved = self.other.median - self.one.median
        if self.figure.counted or abs(self.one.median) < 0.5 * 10.0**-self.figure.digits:
            return f"{moved:+.{self.figure.digits}f}"
        return f"{100.0 * moved / abs(self.one.median):+.0f} %"

    @property
    def order(self) -> tuple[int, int, float]:
        """The first of these is the one to be told first: what gives, what throws the track, what hits; of these what
        got worse."""
        return _urgent(self), list(Change).index(self.change), -_share(self)


def _said(figure: Figure, of: Range) -> str:
    return ranged(of.median, of.low, of.high, figure.cell)


def _share(pair: Pair) -> float:
    most = max(abs(pair.one.median), abs(pair.other.median))
    return abs(pair.other.median - pair.one.median) / most if most > 0.0 else 0.0


def _urgent(pair: Pair) -> int:
    figure = pair.figure
    if figure.name.endswith("margin"):
        return 0 if min(pair.one.low, pair.other.low) < GIVES_OVER else 3
    if figure.subject is Subject.TRACK:
        return 1
    return 2 if figure.single_blow or figure.counted else 4


def range_in(row: Row, name: str) -> Range | None:
    """A figure's range in a row; None where it has no such figure."""
    own = row.get(name)
    values = [own, *(row.get(name + end, own) for end in (LOW, HIGH))]
    known = [float(own if v is None else v) for v in values if own is not None and not isinstance(own, str)]
    if len(known) != 3 or not math.isfinite(known[0]):
        return None
    median, low, high = known
    return Range(median, low if math.isfinite(low) else median, high if math.isfinite(high) else median)


def pairs(one: Row, other: Row) -> list[Pair]:
    """The figures that both have, of those of which one value is better than another, in the order to be told in.

    A margin that is another's again (the least one is always one of the others) stands once.
    """
    found = []
    for figure in figures.TABLE:
        if figure.of_wheel or not figure.compared or figure.better is Better.NEITHER or figure.subject is Subject.TRUST:
            continue
        a, b = range_in(one, figure.name), range_in(other, figure.name)
        if a is not None and b is not None:
            found.append(Pair(figure, a, b, _change(figure, a, b)))
    same = {(p.one, p.other): p for p in found if p.figure.name != LEAST and p.figure.name.endswith("margin")}
    kept = [p for p in found if p.figure.name != LEAST or (p.one, p.other) not in same]
    return sorted(kept, key=lambda p: p.order)


LEAST = "least_margin"


def differing_fields(one: Vehicle, other: Vehicle) -> list[Difference]:
    """The fields in which the other's file differs; what they are called aside."""
    leave = {"name", "note"}
    then, here = (v.model_dump(mode="json", exclude=leave) for v in (one, other))
    return shared(then, here)


def _change(figure: Figure, one: Range, other: Range) -> Change:
    table = {
        figure.name: [one.median, other.median],
        figure.name + LOW: [one.low, other.low],
        figure.name + HIGH: [one.high, other.high],
    }
    costs = Costs.of(pd.DataFrame(table), figure.name, figure.better is Better.HIGHER)
    if bool(costs.better_than(0)[1]):
        return Change.BETTER
    return Change.WORSE if bool(costs.worse_than(0)[1]) else Change.ALIKE


def main(told: Sequence[Pair]) -> list[Pair]:
    """Those that studies rank by: enough for a screen."""
    return [p for p in told if p.figure.ranked]


def differing(told: Sequence[Pair]) -> list[Pair]:
    """Those in which a difference shows."""
    return [p for p in told if p.change is not Change.ALIKE]


def alike_told(told: Sequence[Pair]) -> str:
    """The others, in a sentence; "" if there are none."""
    names = [p.figure.title for p in told if p.change is Change.ALIKE]
    return f"No difference that shows: {', '.join(names)}." if names else ""


def counted_told(told: Sequence[Pair]) -> str:
    """`3 figures got worse, 5 better, 12 show no difference`."""
    count = {change: sum(p.change is change for p in told) for change in Change}
    worse = count[Change.WORSE]
    return (
        f"{worse} figure{'' if worse == 1 else 's'} got worse, {count[Change.BETTER]} better, "
        f"{count[Change.ALIKE]} {'shows' if count[Change.ALIKE] == 1 else 'show'} no difference"
    )


@dataclass(frozen=True)
class Course:
    """Two designs over one course. said: the headline of each; short: of which it cannot be said what got better, since
    they do not get over, and why; told: the figures, none of these where one does not get over."""

    course: str
    said: tuple[str, str]
    short: tuple[str, ...]
    told: list[Pair]


def over_courses(table: pd.DataFrame, one: object, other: object, signs: tuple[str, str]) -> list[Course]:
    """Two variants of a study's table beside each other, course by course in its order."""
    found = []
    for course in dict.fromkeys(table["course"]):
        part = table[table["course"] == course]
        rows = [part[part["variant"] == variant].iloc[0] for variant in (one, other)]
        over = [bool(completed(part[part["variant"] == variant]).iloc[0]) for variant in (one, other)]
        short = tuple(f"{sign}: {why_not(row)}" for sign, row, ok in zip(signs, rows, over, strict=True) if not ok)
        one_said, other_said = (_headline(row) for row in rows)
        told = [] if short else pairs(rows[0].to_dict(), rows[1].to_dict())
        found.append(Course(str(course), (one_said, other_said), short, told))
    return found


def _headline(row: pd.Series[Any]) -> str:
    said = row.get(HEADLINE)
    return said if isinstance(said, str) and said else why_not(row)


def table_of(told: Sequence[Pair], signs: tuple[str, str] = ("A", "B")) -> tuple[list[str], list[list[str]]]:
    """Headings and cells of the table of what got better and worse."""
    rows = [[p.figure.heading, *p.cells, p.by, str(p.change)] for p in differing(told)]
    return ["figure", *signs, "change", f"{signs[1]} is"], rows
