"""Figures with the range in which near runs have them: whether two differ, or it may be luck.

Two differ where neither's median lies within the other's range. Of eight runs each, drawn from the same, that is so in
less than 1 case of 100, whatever their distribution (tests/study/test_ranges.py counts it); it needs no more than what
the table shows. Half a percent shows nothing whatever the ranges: no figure but a count is surer than that (`run
--how-sure`). A figure without a range, of one run, is its own range, and any difference counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from trundle.findings.figures import known
from trundle.findings.near_row import HIGH, LOW, RUNS

Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Flags = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

LEAST_SHARE = 0.005
"""Share of a figure, if it is no count, by which two of near runs must differ at the least."""

AT_ONCE = 4_000_000
"""Pairs that are compared in one go: tens of MB."""


@dataclass(frozen=True)
class Range:
    """A figure over near runs: median, and the ends of where they have it. Of one run all three are the same."""

    median: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """How far they lie apart."""
        return self.high - self.low

    @property
    def plain(self) -> float | list[float]:
        """As it is kept: one number if that is all."""
        return [self.median, self.low, self.high] if self.width > 0.0 else self.median


def above(one: Range, other: Range) -> bool:
    """Whether one lies above another, and it shows."""
    least = LEAST_SHARE * abs(other.median)
    return one.median > max(other.high, other.median + least) and one.low > other.median


def has_ranges(table: pd.DataFrame, names: Sequence[str]) -> bool:
    """Whether any of these figures has a range in a table."""
    return any(name + LOW in table for name in names)


def is_range(column: str, columns: Sequence[str]) -> bool:
    """Whether a column is the end of another one's range."""
    return any(column.endswith(end) and column.removesuffix(end) in columns for end in (LOW, HIGH))


def ends(table: pd.DataFrame, name: str) -> tuple[pd.Series[float], pd.Series[float]]:
    """Low and high of a figure in each row; its own value where there is no range."""
    own = table[name].astype(float)
    low, high = (table[name + end].astype(float).fillna(own) if name + end in table else own for end in (LOW, HIGH))
    return low, high


def runs_of(table: pd.DataFrame) -> int:
    """How many near runs the rows of a table are of: the most."""
    return int(table[RUNS].max()) if RUNS in table and table[RUNS].notna().any() else 1


class Costs:
    """One figure of several variants, turned so that less is better: middle, low, high (n,); nan where one has none."""

    def __init__(self, middle: Floats, low: Floats, high: Floats) -> None:
        self.middle, self.low, self.high = middle, low, high

    @classmethod
    def of(cls, table: pd.DataFrame, name: str, higher_is_better: bool) -> Costs:
        """Of a table with one row a variant."""
        own = (table[name], *ends(table, name))
        middle, low, high = (np.asarray(column, dtype=np.float64) for column in own)
        figure = known(name)
        if name + LOW in table and not (figure is not None and figure.counted):
            least = LEAST_SHARE * np.abs(middle)
            low, high = np.minimum(low, middle - least), np.maximum(high, middle + least)
        return cls(-middle, -high, -low) if higher_is_better else cls(middle, low, high)

    def better_than(self, i: int) -> Flags:
        """Which are better than number i, and it shows, (n,)."""
        better: Flags = (self.middle < self.low[i]) & (self.high < self.middle[i])
        return better

    def worse_than(self, i: int) -> Flags:
        """Which are worse than number i, and it shows, (n,)."""
        worse: Flags = (self.middle > self.high[i]) & (self.low > self.middle[i])
        return worse

    def places(self) -> Floats:
        """Place of each, 1 the best: one more than are better, and half of those from which it does not differ."""
        there = np.flatnonzero(~np.isnan(self.middle))
        places = np.full(len(self.middle), np.nan)
        few = Costs(self.middle[there], self.low[there], self.high[there])
        step = max(AT_ONCE // max(len(there), 1), 1)
        for first in range(0, len(there), step):
            part = slice(first, first + step)
            middle, low, high = few.middle[part, None], few.low[part, None], few.high[part, None]
            better = ((few.middle < low) & (few.high < middle)).sum(axis=1)
            worse = ((few.middle > high) & (few.low > middle)).sum(axis=1)
            places[there[part]] = 1.0 + better + 0.5 * (len(there) - 1 - better - worse)
        return places

    def best(self) -> Flags:
        """Those than which none is better, if it shows that they are better than some; else none, (n,)."""
        best = np.zeros(len(self.middle), dtype=bool)
        there = np.flatnonzero(~np.isnan(self.middle))
        if not len(there):
            return best
        # Whoever is better than another has a better median: the least one is better than all that anyone is.
        first = int(there[np.argmin(self.middle[there])])
        worse = self.worse_than(first)
        if worse.any():
            best[there] = ~worse[there]
            # Not worse than the least median, since that has a wide range, and yet worse than a surer one.
            for i in np.flatnonzero(best) if (self.low < self.high).any() else ():
                best[i] = not self.better_than(int(i)).any()
        return best
