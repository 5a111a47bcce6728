"""What is left of one part in its hardest moment of a run."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Kind = Literal["spring", "arm", "beam", "axle bolt", "pivot bolt", "bracket", "hull bolts", "weld"]
"""The kinds of parts whose strength is known how to work out."""


@dataclass(frozen=True)
class OnStone:
    """An arm or beam in the stated load case that one wheel of the pair carries alone what its station carries at that
    instant, as on a stone: it did not happen, since the record has both wheels alike. margin: limit over stress [-];
    time_s, at_m: when it is hardest, and where."""

    margin: float
    stress_MPa: float
    time_s: float
    at_m: float
    notes: tuple[str, ...] = ()

    def said(self, limit_MPa: float) -> str:
        """`if one wheel of the pair met it alone: 298 MPa of 235`. limit_MPa: of the part."""
        return f"if one wheel of the pair met it alone: {self.stress_MPa:.0f} MPa of {limit_MPa:.0f}"


@dataclass(frozen=True)
class PartMargin:
    """One part of a run, in the moment in which it has least left.

    kind: of part; name: whose, as the file calls it (`front`: a bogie's spring; `front.fore`: an arm's or wheel
    station's); title: what the sheet calls it (`arm, square tube 30 x 30 x 3, S355`). margin: limit over stress [-]:
    below 1 it bends or breaks for good. stress_MPa, limit_MPa: of the measure that `where` names. load_N: what it
    carries, one side. time_s, at_m: when, and where its axle stood on the course. along_N, across_N: force on its axle
    end, one side, along the arm towards its pivot (of a beam: backwards) and across it, upwards (of a spring: 0).
    where: the place in the part, and what the stress is. endurance: allowed over actual swing between standing and this
    moment, a rough guide; None: not asked. gives_s: when it first passes its limit (of a spring: the depth of the blow
    in which it does); None: never. on_stone: what it would have left then; None: it has no pair of wheels.
    """

    kind: Kind
    name: str
    title: str
    margin: float
    stress_MPa: float
    limit_MPa: float
    time_s: float
    at_m: float
    along_N: float
    across_N: float
    where: str
    notes: tuple[str, ...] = ()
    load_N: float = 0.0
    endurance: float | None = None
    gives_s: float | None = None
    on_stone: OnStone | None = None

    @property
    def yields(self) -> bool:
        """Whether it gives for good."""
        return self.margin < 1.0


def least_of(margins: Iterable[PartMargin], *kinds: Kind) -> PartMargin | None:
    """The part with least left of some kinds (none: of all); None if none is known."""
    return min((m for m in margins if not kinds or m.kind in kinds), key=lambda m: m.margin, default=None)
