"""A run among its neighbours: the same vehicle over the same course, met a little differently.

One run is one draw: a percent of speed, or a few millimetres of where a link meets an edge, moves a single blow by up
to 17 %. So figures are told as the median of several runs close by, with the range in which these lie.
"""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from trundle.findings import figures
from trundle.findings.figures import Figure
from trundle.findings.summary import value_of


@dataclass(frozen=True)
class Spread:
    """One figure over some near runs. median, low, high: of those that have it, `given` of `of`."""

    median: float
    low: float
    high: float
    given: int
    of: int

    def said(self, figure: Figure) -> str:
        """`4.7 g (3.9 to 5.2)`, with ` in 3 of 8 runs` where not all have it."""
        return f"{figure.text(self.median)} ({figure.cell(self.low)} to {figure.cell(self.high)})"


@dataclass(frozen=True)
class Near:
    """Some near runs, that of the record first. summaries: one each, as trundle.findings.summary makes them."""

    summaries: Sequence[Mapping[str, Any]]

    def __len__(self) -> int:
        return len(self.summaries)

    @property
    def over(self) -> int:
        """How many reached the end of the course."""
        return sum(bool(s["completed"]) for s in self.summaries)

    def spread(self, name: str, wheel: str = "") -> Spread | None:
        """Of one figure; None if no run has it."""
        found = self._figures[name]
        values = [float(v) for s in self.summaries if (v := value_of(s, found, wheel)) is not None]
        if not values:
            return None
        return Spread(statistics.median(values), min(values), max(values), len(values), len(self.summaries))

    @cached_property
    def _figures(self) -> Mapping[str, Figure]:
        return {f.name: f for f in figures.TABLE}
