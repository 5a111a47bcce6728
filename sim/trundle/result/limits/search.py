"""The search for a limit: larger obstacles until one is too large, then halving.

That assumes that what stops a vehicle, or harms it, at one size does so at every larger one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from trundle.findings.limit import Limit, Statics, Unharmed
from trundle.result.limits.trial import Tried

Tell = Callable[[str, float], None]
"""Told what is being tried and the share done, 0 to 1."""


@dataclass
class Search:
    """One limit. step: fineness; first, most: the first size tried and the last; least: sizes below are not tried, a
    vehicle that one of this size stops has the limit 0. roll: tries a size, in `unit`."""

    what: str
    unit: str
    step: float
    first: float
    most: float
    roll: Callable[[float], Tried]
    tell: Tell | None = None
    least: float = 0.0
    _known: dict[int, Tried] = field(default_factory=dict)

    def found(self, statics: Statics | None) -> Limit:
        """The largest size that it gets past, and the largest that it gets past unharmed. Raises InputError from the
        runs."""
        good, bad = self._between(lambda one: one.over)
        safe, harmed = self._between(lambda one: one.unharmed, good)
        return Limit(
            self.what,
            good * self.step,
            None if bad is None else bad * self.step,
            self.unit,
            "nothing stopped it as far as it was tried" if bad is None else self._known[bad].why,
            runs=sum(one.runs for one in self._known.values()),
            doubtful=sum(not one.trusted for one in self._known.values()),
            hit=self._known[good].hit if good in self._known else "",
            unharmed=self._unharmed(safe, harmed),
            statics=statics,
        )

    def _unharmed(self, safe: int, harmed: int | None) -> Unharmed:
        worse = None if harmed is None else self._known[harmed]
        why = "" if worse is None else worse.harm.short if worse.harm is not None else worse.why
        hit = self._known[safe].hit if safe in self._known else ""
        return Unharmed(safe * self.step, None if harmed is None else harmed * self.step, why, hit)

    @property
    def _lowest(self) -> int:
        return max(1, math.ceil(self.least / self.step))

    def _between(self, holds: Callable[[Tried], bool], top: int | None = None) -> tuple[int, int | None]:
        """The largest size, in steps, of which something holds, and the smallest of which it does not (None: it holds
        of all). top: no larger one is tried."""
        lowest = self._lowest
        most = max(lowest, int(self.most / self.step)) if top is None else top
        good, bad, k = 0, None, max(lowest, round(self.first / self.step))
        if top is not None:
            # What harms may begin far below what stops: from the small side, not to jump over it.
            k = max(lowest, k // 2)
        while bad is None and good < most:
            k = min(k, most)
            if holds(self._at(k)):
                good, k = k, 2 * k
            else:
                bad = k
        while bad is not None and bad - good > 1 and bad > lowest:
            middle = max(lowest, (good + bad) // 2)
            if holds(self._at(middle)):
                good = middle
            else:
                bad = middle
        if bad is None and top is not None:
            # As far as it gets at all, nothing harms it: what stops it is what comes next.
            bad = top + 1 if top + 1 in self._known else None
        return good, bad

    def _at(self, k: int) -> Tried:
        if k not in self._known:
            if self.tell is not None:
                mark = "°" if self.unit == "deg" else f" {self.unit}"
                # Both searches together take about this many; the share shown is only that.
                usual = 4.0 + 2.0 * math.log2(max(self.most / self.step, 2.0))
                self.tell(f"{self.what}: {k * self.step:g}{mark}", min(0.95, len(self._known) / usual))
            self._known[k] = self.roll(k * self.step)
        return self._known[k]
