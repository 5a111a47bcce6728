"""A run among its neighbours: the same vehicle over the same course, met a little differently.

One run is one draw: a percent of speed, or a few millimetres of where a link meets an edge, moves a single blow by up
to 17 %. So figures are told as the median of several runs close by, with the range in which these lie.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import isfinite
from typing import Any

from trundle.errors import InputError, Problem
from trundle.findings import figures
from trundle.findings.ending import Ending
from trundle.findings.figures import Figure, Value
from trundle.findings.figures.figure import WHEEL, Better
from trundle.findings.states import ledger_closes
from trundle.findings.summary import value_of
from trundle.findings.words import ranged


@dataclass(frozen=True)
class Spread:
    """One figure over some near runs. median, low, high: of those that have it, `given` of `of`."""

    median: float
    low: float
    high: float
    given: int
    of: int

    @property
    def seldom(self) -> str:
        """`in 3 of 8 runs`; "" if all have it."""
        return "" if self.given == self.of else f"in {self.given} of {self.of} runs"

    def said(self, as_of: Figure | Callable[[float], str]) -> str:
        """`4.7 g (3.9 to 5.2)`; `3.9 kN (3.1 to 4.4), in 3 of 8 runs`. as_of: the figure, or what says one value
        (`force` of findings.words)."""
        word = as_of.text if isinstance(as_of, Figure) else as_of
        return ", ".join(filter(None, (ranged(self.median, self.low, self.high, word), self.seldom)))


def never_was(value: float, figure: Figure) -> bool:
    """Whether a value tells of a blow that did not happen: a load of 0, and not a margin of 0."""
    return figure.single_blow and figure.better is not Better.HIGHER and value == 0


def spread_of(values: Iterable[Value], figure: Figure) -> Spread | None:
    """That of one value a run; None if no run has one.

    A blow of 0 is a blow that did not happen: that run has none. A margin of 0 is the worst that there is. The
    median of a count is a count, of two the higher.
    """
    told = list(values)
    have = [float(v) for v in told if v is not None and not never_was(v, figure)]
    if not have:
        return None
    middle = statistics.median_high if figure.counted else statistics.median
    return Spread(middle(have), min(have), max(have), len(have), len(told))


@dataclass(frozen=True)
class Near:
    """Some near runs, that of the record first.

    ended: why each ended (see trundle.findings.ending). each: of each figure by its column's name
    (`wheels.front.fore.peak_N`) the value of every run. speed_percent, start_mm: how far speed (to both sides) and
    start (forward) were varied. asked: how many runs were wanted; of a very long course fewer are made.
    """

    ended: Sequence[str]
    each: Mapping[str, Sequence[Value]]
    speed_percent: float
    start_mm: float
    asked: int

    def __len__(self) -> int:
        return len(self.ended)

    @cached_property
    def trusted(self) -> tuple[int, ...]:
        """The numbers of those whose energy ledger closes."""
        errors = self.each.get("energy_error") or (0.0,) * len(self)
        sure = (bool(ledger_closes(0.0 if error is None else error)) for error in errors)
        blown = (why == Ending.BLEW_UP for why in self.ended)
        return tuple(k for k, (closes, lost) in enumerate(zip(sure, blown, strict=True)) if closes and not lost)

    @property
    def doubtful(self) -> int:
        """How many are not to be trusted: their ledger does not close."""
        return len(self) - len(self.trusted)

    @cached_property
    def passed(self) -> tuple[int, ...]:
        """The numbers of those that reach the end of the course and are to be trusted."""
        return tuple(k for k in self.trusted if self.ended[k] == Ending.COURSE_END)

    @property
    def over(self) -> int:
        """How many reach the end of the course and are to be trusted."""
        return len(self.passed)

    @property
    def most(self) -> bool:
        """Whether more than half of all do."""
        return 2 * self.over > len(self)

    @cached_property
    def told(self) -> tuple[int, ...]:
        """The numbers of those whose figures are told: of `passed`, or, if these are not most, of the others that are
        to be trusted, since where a run ends half way says nothing of a whole one. All, if none is to be trusted."""
        if self.most:
            return self.passed
        short = tuple(k for k in self.trusted if k not in self.passed)
        return short or self.passed or tuple(range(len(self)))

    def values(self, name: str, wheel: str = "") -> Sequence[Value]:
        """A figure in each run, that of the record first; None where a run has none. wheel: whose, of a wheel's own."""
        return self.each.get(name.replace(WHEEL, wheel), ())

    def told_values(self, name: str, wheel: str = "") -> Sequence[Value]:
        """The same of those that are told alone."""
        values = self.values(name, wheel)
        return tuple(values[k] for k in self.told) if values else ()

    def spread(self, name: str, wheel: str = "") -> Spread | None:
        """Of one figure over those that are told; None if none has it."""
        return spread_of(self.told_values(name, wheel), self._figures[name])

    def count(self, name: str, holds: Callable[[float], bool], wheel: str = "") -> int:
        """In how many of those told a figure is such that it `holds`: `near.count("least_margin", lambda m: m < 1)`."""
        return sum(holds(float(v)) for v in self.told_values(name, wheel) if v is not None)

    @cached_property
    def _figures(self) -> Mapping[str, Figure]:
        return {f.name: f for f in figures.TABLE}

    def kept(self) -> dict[str, Any]:
        """As summary.json has it, under `near`; `near_in` reads it."""
        told: dict[str, Any] = {}
        for column, values in self.each.items():
            figure = figures.known(column)
            found = None if figure is None else spread_of([values[k] for k in self.told], figure)
            told[column] = {
                "median": found and found.median, "low": found and found.low, "high": found and found.high,
                "given": found.given if found else 0, "each": list(values),
            }  # fmt: skip
        return {
            "runs": len(self), "over": self.over, "asked": self.asked, "speed_percent": self.speed_percent,
            "start_mm": self.start_mm, "ended": list(self.ended), "figures": told,
        }  # fmt: skip


def near_of(summaries: Sequence[Mapping[str, Any]], speed_percent: float, start_mm: float, asked: int) -> Near:
    """Of the figures of several runs, that of the record first (see trundle.findings.summary)."""
    first = summaries[0]
    each: dict[str, Sequence[Value]] = {}
    for figure in figures.TABLE:
        if not figure.repeats:
            continue
        for wheel in first["wheels"] if figure.of_wheel else ("",):
            values = tuple(value_of(s, figure, wheel) for s in summaries)
            if any(v is not None for v in values):
                each[figure.name.replace(WHEEL, wheel)] = values
    return Near(tuple(str(s["ended_because"]) for s in summaries), each, speed_percent, start_mm, asked)


def near_in(summary: Mapping[str, Any]) -> Near | None:
    """What a summary keeps of near runs; None of a run that was rolled once.

    Raises InputError if it is not what `Near.kept` gives.
    """
    kept = summary.get("near")
    if kept is None:
        return None
    try:
        ended = tuple(str(e) for e in kept["ended"])
        each = {str(name): tuple(map(_number, of["each"])) for name, of in kept["figures"].items()}
        near = Near(ended, each, _number(kept["speed_percent"]) or 0.0, _number(kept["start_mm"]) or 0.0, len(ended))
        asked = kept["asked"]
        if not isinstance(asked, int) or not each or not {*ended} <= {e.value for e in Ending}:
            raise ValueError("no runs")
        if not ended or any(len(values) != len(ended) for values in each.values()):
            raise ValueError("runs that do not fit")
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
        raise InputError(
            Problem(
                "what is kept of the near runs is damaged",
                field="near",
                allowed="what trundle run writes",
                file="summary.json",
            )
        ) from None
    return replace(near, asked=asked)


def said_of(near: Near | None) -> str:
    """What ranges are of, or that there are none: a sentence for whoever reads figures."""
    if near is None:
        return "Rolled once: one draw. A percent of speed may change a single hit by a sixth."
    fewer = f", not {near.asked}, since the course is long" if len(near) < near.asked else ""
    ends = "all reach the end" if near.over == len(near) else f"{near.over} of {len(near)} reach the end"
    if 0 < near.doubtful < len(near):
        ends += f", {near.doubtful} left out, since their energy ledger does not close"
    if 0 < len(near.told) < len(near) - near.doubtful:
        ends += f"; figures are of {'those' if near.most else 'those that do not'}"
    return (
        f"Figures with a range are the median and the extremes of {len(near)} runs close by{fewer} (speed within "
        f"{near.speed_percent:g} %, start within {near.start_mm:.0f} mm); {ends}."
    )


def _number(value: Any) -> Value:
    if value is not None and (isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value)):
        raise ValueError("no number")
    return value
