"""What steel a strip is of, from loads that were hung on it and how far it gave: modulus, and where it yields.

The strip lies on two supports and is loaded in the middle, or is clamped at one end and loaded at the other. Its
deflection is F L^3/48EI, or F L^3/3EI (any text on beams). Past first yield an elastic, perfectly plastic strip keeps a
set; at f times the load of first yield it goes down (5 - (3 + f) sqrt(3 - 2f))/f^2 times as far (plastic bending, any
text; 20/9 at f = 1.5) and comes back by f. Both hold for either arrangement: half of the one is the other.

Errors of reading are taken as even within what is given, so their standard uncertainty is that over sqrt 3, and
ranges are twice the root of the sum of squares (ISO/IEC Guide 98-3, 4.3.7 and 6.2, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from trundle.errors import InputError, Problem
from trundle.roots import bracketed
from trundle.units import MM

Held = Literal["two supports", "one end"]

STIFF = {"two supports": 48.0, "one end": 3.0}
LEVER = {"two supports": 4.0, "one end": 1.0}
"""E I over the stiffness times L^3; load times span over the largest moment."""

PLASTIC = 1.5
"""Load at which the strip is plastic through and through, over that of first yield."""

MOST_BENT = {"two supports": 0.10, "one end": 0.15}
"""Share of the span up to which beam theory's deflection is within 3 % of the bent shape's (elastica)."""


@dataclass(frozen=True)
class Reading:
    """load_N; down_m: how far it gave under it; left_m: how much of that stayed when it was taken off, None: not
    looked at [N, m]."""

    load_N: float
    down_m: float
    left_m: float | None = None


@dataclass(frozen=True)
class Errors:
    """By how much what was read may be off: deflections [m], loads (share), thickness, width and span [m]."""

    read_m: float = 0.5 * MM
    load: float = 0.02
    thickness_m: float = 0.05 * MM
    width_m: float = 0.2 * MM
    span_m: float = 1.0 * MM


@dataclass(frozen=True)
class Piece:
    """What is tested [m]. span_m: between the supports, or from the clamp's edge to the load."""

    width_m: float
    thickness_m: float
    span_m: float
    held: Held = "two supports"

    def stress_Pa(self, load_N: float) -> float:
        """Of its skin where it is bent most, while elastic [Pa]."""
        return load_N * self.span_m / LEVER[self.held] * 6.0 / (self.width_m * self.thickness_m**2)

    def modulus_Pa(self, load_per_m: float) -> float:
        """From its stiffness [Pa]."""
        return load_per_m * self.span_m**3 / STIFF[self.held] * 12.0 / (self.width_m * self.thickness_m**3)


@dataclass(frozen=True)
class Range:
    """A figure with the ends of its range, in SI."""

    value: float
    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value lies in it."""
        return self.low <= value <= self.high


@dataclass(frozen=True)
class Tested:
    """What a bend test says. modulus [Pa].

    yields: None if it was never looked whether it came back. low: it yields no earlier; value: best guess; high: it
    yields no later, inf if it always came back [Pa]. worst_m: how far the reading that lies furthest off the line does
    [m], and which (from 0). bent: largest deflection over the span. came_back_N: the largest load after which nothing
    stayed; set_N: the smallest after which something did; 0: none.
    """

    modulus: Range
    yields: Range | None
    worst_m: float
    worst: int
    bent: float
    came_back_N: float
    set_N: float


def bend_test(piece: Piece, readings: Sequence[Reading], errors: Errors) -> Tested:
    """Raises InputError for readings that no strip gives."""
    _check(piece, readings)
    elastic = [r for r in readings if not _stayed(r, errors)]
    lowest_set = min((r.load_N for r in readings if _stayed(r, errors)), default=math.inf)
    elastic = [r for r in elastic if r.load_N < lowest_set]
    if not elastic:
        raise InputError(
            Problem(
                "it stayed bent after every load: a modulus wants one that it came back from",
                argument="at",
                allowed="a smaller load first",
            )
        )
    give, unsure, offset = _line(elastic, errors)
    if give <= 0.0:
        raise InputError(Problem("it gives less under more load: is a reading wrong?", argument="at"))
    t = errors.thickness_m / piece.thickness_m
    b, span = errors.width_m / piece.width_m, errors.span_m / piece.span_m
    stiff = _twice(unsure / give * math.sqrt(3.0), errors.load, 3.0 * span, 3.0 * t, b)
    modulus = piece.modulus_Pa(1.0 / give)
    off = [abs(r.down_m - offset - give * r.load_N) for r in elastic]
    worst = max(range(len(off)), key=off.__getitem__)
    return Tested(
        Range(modulus, modulus * (1.0 - stiff), modulus * (1.0 + stiff)),
        _yield(piece, readings, errors, give, _twice(errors.load, span, 2.0 * t, b)),
        off[worst],
        readings.index(elastic[worst]),
        max(r.down_m for r in readings) / piece.span_m,
        max((r.load_N for r in elastic if r.left_m is not None), default=0.0),
        lowest_set if math.isfinite(lowest_set) else 0.0,
    )


def _check(piece: Piece, readings: Sequence[Reading]) -> None:
    if not readings:
        raise InputError(
            Problem("a bend test wants at least one reading", argument="at", allowed="LOAD:MM or LOAD:MM:LEFT")
        )
    for r in readings:
        said = f"{r.load_N:g} N, {r.down_m / MM:g} mm"
        if not (r.load_N > 0.0 and r.down_m > 0.0):
            raise InputError(Problem(f"load and deflection are above 0 ({said})", argument="at"))
        if r.down_m > piece.span_m / 2.0:
            raise InputError(
                Problem(
                    f"a span of {piece.span_m / MM:g} mm does not give by {r.down_m / MM:g} mm ({said})",
                    argument="at",
                    allowed=f"up to {piece.span_m / MM / 2.0:g} mm",
                )
            )
        if r.left_m is not None and not 0.0 <= r.left_m < r.down_m:
            raise InputError(
                Problem(f"what stays, {r.left_m / MM:g} mm, is less than what it gave ({said})", argument="at")
            )


def _stayed(reading: Reading, errors: Errors) -> bool:
    return reading.left_m is not None and reading.left_m > errors.read_m


def _line(readings: Sequence[Reading], errors: Errors) -> tuple[float, float, float]:
    """Metres it gives for a newton, the standard uncertainty of that, and where the line begins [m].

    Through nought with one or two readings; with more it may begin elsewhere: what rocks on its supports settles first.
    """
    loads, downs = [r.load_N for r in readings], [r.down_m for r in readings]
    count = len(readings)
    free = count > 2 and max(loads) > min(loads)
    x0, y0 = (sum(loads) / count, sum(downs) / count) if free else (0.0, 0.0)
    spread = sum((x - x0) ** 2 for x in loads)
    give = sum((x - x0) * (y - y0) for x, y in zip(loads, downs, strict=True)) / spread
    offset = y0 - give * x0
    left = sum((y - offset - give * x) ** 2 for x, y in zip(loads, downs, strict=True))
    scatter = math.sqrt(left / (count - 1 - free)) if count - 1 - free > 0 else 0.0
    return give, max(scatter, errors.read_m / math.sqrt(3.0)) / math.sqrt(spread), offset


def _twice(*shares: float) -> float:
    """Range from errors that are even within their own, as shares: twice the root of the sum of the variances."""
    return 2.0 * math.sqrt(sum(s * s for s in shares) / 3.0)


def set_share(f: float) -> float:
    """What stays of a deflection, over what it would be if it were elastic, at f times the load of first yield, 1 to
    1.5."""
    return ((5.0 - (3.0 + f) * math.sqrt(max(3.0 - 2.0 * f, 0.0))) / f**2 - f) / f


def over_first(left_m: float, elastic_m: float) -> float:
    """How many times the load of first yield leaves a set; elastic_m: what it would give if it were elastic [m]."""
    share = left_m / elastic_m
    if share <= 0.0:
        return 1.0
    if share >= set_share(PLASTIC):
        return PLASTIC
    return bracketed(lambda f: set_share(f) - share, 1.0, PLASTIC)


def _yield(piece: Piece, readings: Sequence[Reading], errors: Errors, give: float, unsure: float) -> Range | None:
    """From the largest load that it came back from, and the first that it did not.

    A set that is smaller than what can be read is not seen: so much is allowed for.
    """
    seen = [r for r in readings if r.left_m is not None]
    if not seen:
        return None

    def at(r: Reading, left_m: float) -> float:
        return piece.stress_Pa(r.load_N) / over_first(left_m, give * r.load_N)

    first = min((r for r in seen if _stayed(r, errors)), key=lambda r: r.load_N, default=None)
    back = [r for r in seen if not _stayed(r, errors) and (first is None or r.load_N < first.load_N)]
    low = max((at(r, (r.left_m or 0.0) + errors.read_m) for r in back), default=0.0)
    if first is None:
        return Range(low, low * (1.0 - unsure), math.inf)
    left = first.left_m or 0.0
    value, high = at(first, left), at(first, max(left - errors.read_m, 0.0))
    low = max(low, at(first, left + errors.read_m))
    value = max(value, low)
    return Range(value, low * (1.0 - unsure), max(high, value) * (1.0 + unsure))
