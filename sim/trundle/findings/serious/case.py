"""What finders look at: one finished run with its neighbours, its events and what its parts bore."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trundle.findings.events import Events
from trundle.findings.figures import Value, figure_of
from trundle.findings.grades import Grade
from trundle.findings.near import Near, Spread, never_was, spread_of
from trundle.findings.passage import Passage
from trundle.findings.readings import Floats
from trundle.findings.words import force, ranged
from trundle.model.assembly import Assembly
from trundle.strength.margin import PartMargin
from trundle.units import MM


@dataclass(frozen=True)
class Case:
    """A finished run. column: gives a column of its timeline by name; summary: its figures; passed: its obstacles in
    the course's order; margins: what each part has left; near: the runs close by, itself the first (None: it alone).
    """

    column: Callable[[str], Floats]
    events: Events
    summary: Mapping[str, Any]
    assembly: Assembly
    passed: Sequence[Passage]
    margins: Sequence[PartMargin]
    near: Near | None

    @property
    def dt_s(self) -> float:
        """Its step [s]."""
        return float(self.summary["dt_ms"]) * 1e-3

    @property
    def runs(self) -> int:
        """How many runs it speaks for."""
        return len(self.near.told) if self.near is not None else 1

    def has(self, figure: str) -> bool:
        """Whether its summary gives a figure."""
        return self.summary.get(figure) is not None

    def middle(self, figure: str) -> float:
        """A figure's median over the near runs, or its own; 0 where none gives it."""
        spread = self._spread(figure)
        return spread.median if spread is not None else float(self.summary.get(figure) or 0.0)

    def worst(self, figure: str, lowest: bool = False) -> float:
        """The highest of a figure in any near run (or the lowest)."""
        spread = self._spread(figure)
        if spread is None:
            return float(self.summary.get(figure) or 0.0)
        return spread.low if lowest else spread.high

    def said(self, figure: str) -> str:
        """A figure with its unit, its range in brackets where there is one, and in how many runs if not in all."""
        spread = self._spread(figure)
        return ", ".join(filter(None, (self.sized(figure), spread.seldom if spread is not None else "")))

    def sized(self, figure: str, word: Callable[[float], str] | None = None) -> str:
        """A figure with its unit and its range, for where a sentence says already in how many runs; of a blow, over
        those in which it happens. word: says one value in place of the figure's own text."""
        of = figure_of(figure)
        one = word or (force if of.unit == "N" else of.text)
        found = [float(v) for v in self._values(figure) if v is not None and not never_was(v, of)]
        spread = spread_of(found, of)
        return of.text(None) if spread is None else ranged(spread.median, spread.low, spread.high, one)

    def often(self, figure: str, happened: Callable[[float], bool]) -> tuple[int, int]:
        """In how many of how many runs a figure is such; of those that are told (see `Near.told`)."""
        found = self._values(figure)
        return sum(v is not None and happened(float(v)) for v in found), len(found)

    def row_of(self, time_s: float) -> int:
        """The row of the timeline at a time."""
        rows = len(self.column("time_s"))
        return min(max(round(time_s / self.dt_s) - 1, 0), rows - 1)

    def place_m(self, row: int) -> float:
        """Where its centre of mass was [m]."""
        return float(self.column("hull.x_mm")[row]) * MM

    def met(self, row: int) -> Passage | None:
        """The obstacle that the vehicle stood over, the foremost of several."""
        over = [p for p in self.passed if p.rows is not None and p.rows[0] <= row < p.rows[1]]
        return over[-1] if over else None

    def _values(self, figure: str) -> Sequence[Value]:
        return (self.near.told_values(figure) if self.near is not None else ()) or (self.summary.get(figure),)

    def _spread(self, figure: str) -> Spread | None:
        return self.near.spread(figure) if self.near is not None else None


NOT_KEPT = "not in the run that is kept"
"""Of what happens in runs close by alone: it has no place and no causes."""


def worry(count: int, of: int) -> Grade:
    """Of what happens in so many of so many runs: a risk in half of them, a note in fewer."""
    return Grade.RISK if 2 * count >= of else Grade.NOTE


def in_so_many(count: int, of: int) -> str:
    """`` (all of them), ` in 3 of 8 runs`."""
    return "" if count == of else f" in {count} of {of} runs"
