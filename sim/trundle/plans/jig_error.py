"""What the errors of a jig do to a wheel's place: linear error propagation, worst case and root-sum-square.

An arm lies level: along it from the pivot to the axle, up, and sideways along the pivot's bolt. Every bore has two
ends, `span` apart, each off its place by something along and something up: half of the sum shifts the bore, the
difference over the span leans it. A pivot bore that leans along turns the arm about the upright, so that the wheel goes
sideways by lean times arm; one that leans up twists the arm. A leaning axle bore turns the wheel only. All are small:
effects add up (first-order propagation, as in JCGM 100, 5.1.2, from memory). Root-sum-square: where each error is
independent and spread alike within its limits, the sum's spread stands to its own as each one's to its limit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

OUTPUTS = ("along", "up", "tread_low", "tread_fore", "toe", "camber")
"""Of the wheel: the axle along the arm and up; sideways, the lowest and the foremost place of its tread (all mm); toe
and camber [rad]."""

Which = Literal["pivot", "axle"]


@dataclass(frozen=True)
class Care:
    """How well a jig is made and used, each plus or minus, mm. What is usual with a drill press, a calliper and a
    square (common practice, no source).

    bush_place: a drill bush from the one at the datum end. drill_play: of the drill in its bush, over the diameter.
    opening: how far a pilot hole wanders when it is opened up. pin_place: a pin of the assembly jig from its fellow.
    pin_lean: a pin off the square over 100 mm. pin_play: of a pin in the sleeve's bore, over the diameter. packing:
    heights that the sleeves and the arm lie on. weld_pull: a weld's pull on its end of a sleeve, cold, in the jig.
    """

    bush_place_mm: float = 0.1
    drill_play_mm: float = 0.1
    opening_mm: float = 0.1
    pin_place_mm: float = 0.1
    pin_lean_mm: float = 0.1
    pin_play_mm: float = 0.1
    packing_mm: float = 0.2
    weld_pull_mm: float = 0.1


@dataclass(frozen=True)
class Source:
    """One cause. off_mm: plus or minus, of each of its independent parts. effects: a row for each of these, what it
    does to every one of OUTPUTS at its limit. by_jig: False for what no jig is to blame for."""

    name: str
    off_mm: float
    effects: Floats
    by_jig: bool = True

    @property
    def worst(self) -> Floats:
        """All its parts at their limits, each on its worse side."""
        return np.asarray(np.abs(self.effects).sum(axis=0))

    @property
    def likely(self) -> Floats:
        """Root-sum-square of its parts."""
        return np.asarray(np.sqrt((self.effects**2).sum(axis=0)))


@dataclass(frozen=True)
class Reach:
    """Of the arm. reach_mm: pivot to the bore at its loaded end; beyond_mm: from there to the furthest wheel's axle, of
    an arm that carries a beam; radius_mm: the wheel's, to the ground."""

    reach_mm: float
    radius_mm: float
    beyond_mm: float = 0.0

    def of(self, which: Which, along: float, up: float, lean_along: float, lean_up: float) -> list[float]:
        """What a shift [mm] and a lean [rad] of one bore do to OUTPUTS."""
        side = -1.0 if which == "pivot" else 1.0
        # A bore that leans along turns everything behind it about the upright at the bore; one that leans up twists.
        lever = self.beyond_mm + (self.reach_mm if which == "pivot" else 0.0)
        turn, twist = side * lean_along, side * lean_up
        swung = lever * turn
        return [
            side * along, side * up, swung + self.radius_mm * twist, swung + self.radius_mm * turn, turn, twist,
        ]  # fmt: skip

    def ends(self, which: Which, off_mm: float, span_mm: float) -> list[list[float]]:
        """Both ends of a bore off by so much along and up, each for itself."""
        half, lean = 0.5 * off_mm, off_mm / span_mm
        return [
            self.of(which, *(half if d == 0 else 0.0, half if d == 1 else 0.0), *(s * lean * (d == k) for k in (0, 1)))
            for s in (-1.0, 1.0)
            for d in (0, 1)
        ]


@dataclass(frozen=True)
class Sources:
    """Causes that add up, and what they come to."""

    of: tuple[Source, ...] = field(default=())

    def added(self, name: str, off_mm: float, effects: Sequence[Sequence[float]], by_jig: bool = True) -> Sources:
        """With one more."""
        return Sources((*self.of, Source(name, off_mm, np.array(effects, float).reshape(-1, len(OUTPUTS)), by_jig)))

    @property
    def worst(self) -> Floats:
        """Of all that a jig is to blame for, each on its worse side: one of OUTPUTS each."""
        return np.asarray(sum((s.worst for s in self.of if s.by_jig), np.zeros(len(OUTPUTS))))

    @property
    def likely(self) -> Floats:
        """Root-sum-square of them."""
        return np.asarray(np.sqrt(sum((s.likely**2 for s in self.of if s.by_jig), np.zeros(len(OUTPUTS)))))


@dataclass(frozen=True)
class BoreSize:
    """A bore as it is made. walls_mm: between the outer faces of the walls that it goes through, or the one's
    thickness; walls: how many. sleeve_mm: length of the sleeve that is welded in; None: the bolt runs in the walls.
    loose_mm: of that sleeve in its holes, over the diameter. bush_mm: length of its drill bush. pilot: it is opened up
    afterwards."""

    walls_mm: float
    walls: int
    bush_mm: float
    pilot: bool
    sleeve_mm: float | None = None
    loose_mm: float = 0.0


def drilled(reach: Reach, pivot: BoreSize, axle: BoreSize, care: Care) -> Sources:
    """Holes through the drilling jig, sleeves (where there are any) set by their holes alone and welded."""
    found = Sources().added("axle's bush from the pivot's", care.bush_place_mm, _placed(reach, care.bush_place_mm))
    found = found.added("drill in its bush", 0.5 * care.drill_play_mm, _drill(reach, pivot, axle, care))
    opened = _opened(reach, pivot, axle, care)
    if opened:
        found = found.added("pilot hole opened up", care.opening_mm, opened)
    loose = [(w, b) for w, b in (("pivot", pivot), ("axle", axle)) if b.sleeve_mm is not None and b.loose_mm > 0.0]
    if loose:
        rows = [row for w, b in loose for row in reach.ends(_which(w), 0.5 * b.loose_mm, b.walls_mm)]
        found = found.added("sleeve loose in its holes", max(0.5 * b.loose_mm for _, b in loose), rows)
    return _welded(found, reach, pivot, axle, care)


def pinned(reach: Reach, pivot: BoreSize, axle: BoreSize, care: Care) -> Sources:
    """Sleeves held by the assembly jig's pins while they are welded; a bore without a sleeve lies as it is drilled."""
    found = Sources().added("pin from its fellow", care.pin_place_mm, _placed(reach, care.pin_place_mm))
    play = 0.5 * care.pin_play_mm
    sleeved = [(_which(w), b) for w, b in (("pivot", pivot), ("axle", axle)) if b.sleeve_mm is not None]
    # All middles lie at one height over the base, where a leaning pin is off its place, too.
    height = 0.5 * max([pivot.walls_mm, axle.walls_mm, *(b.sleeve_mm or 0.0 for _, b in sleeved)])
    leans = [row for w, _ in sleeved for row in _leaning(reach, w, care.pin_lean_mm / 100.0, height)]
    found = found.added("pin off the square, over 100 mm", care.pin_lean_mm, leans)
    rows = [row for w, b in sleeved for row in reach.ends(w, play, b.sleeve_mm or 1.0)]
    found = found.added("sleeve on its pin", play, rows)
    sides = [[0.0, 0.0, care.packing_mm, care.packing_mm, 0.0, 0.0] for _ in sleeved]
    found = found.added("packing under sleeves and arm", care.packing_mm, sides)
    bare = [(_which(w), b) for w, b in (("pivot", pivot), ("axle", axle)) if b.sleeve_mm is None]
    if bare:
        drill = [row for w, b in bare for row in _drill_one(reach, w, b, care)]
        found = found.added("drill in its bush", 0.5 * care.drill_play_mm, drill)
    return _welded(found, reach, pivot, axle, care)


def plates(found: Sources, reach: Reach, apart_mm: float, drill_play_mm: float) -> Sources:
    """With what the pivot's two plates add, `apart_mm` apart, drilled one by one through the same bush."""
    play = 0.5 * drill_play_mm
    return found.added("pivot's plates, drill in its bush", play, reach.ends("pivot", play, apart_mm))


def running(found: Sources, reach: Reach, play_mm: float, span_mm: float) -> Sources:
    """With the play of the pivot's bolt in its sleeve, over the diameter, which no jig mends; shown, not counted."""
    rows = reach.ends("pivot", 0.5 * play_mm, span_mm)
    return found.added("for comparison: pivot's running play", 0.5 * play_mm, rows, by_jig=False)


def _which(word: str) -> Which:
    return "pivot" if word == "pivot" else "axle"


def _each(off: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Along alone, up alone."""
    return (off, 0.0), (0.0, off)


def _placed(reach: Reach, off: float) -> list[list[float]]:
    return [reach.of("axle", *d, 0.0, 0.0) for d in _each(off)]


def _leaning(reach: Reach, which: Which, lean: float, height_mm: float) -> list[list[float]]:
    """A pin that leans from its foot on the base, along and up: off its place at a height over it, too."""
    off = lean * height_mm
    return [reach.of(which, off, 0.0, lean, 0.0), reach.of(which, 0.0, off, 0.0, lean)]


def _drill(reach: Reach, pivot: BoreSize, axle: BoreSize, care: Care) -> list[list[float]]:
    return [*_drill_one(reach, "pivot", pivot, care), *_drill_one(reach, "axle", axle, care)]


def _drill_one(reach: Reach, which: Which, bore: BoreSize, care: Care) -> list[list[float]]:
    """Two walls are drilled from either side through the same bush: each is off for itself. Through one, the drill is
    off, and leans in its bush."""
    play = 0.5 * care.drill_play_mm
    if bore.walls > 1:
        return reach.ends(which, play, bore.walls_mm)
    lean = care.drill_play_mm / bore.bush_mm
    shifts = [reach.of(which, *d, 0.0, 0.0) for d in _each(play)]
    return shifts + [reach.of(which, 0.0, 0.0, *d) for d in _each(lean)]


def _opened(reach: Reach, pivot: BoreSize, axle: BoreSize, care: Care) -> list[list[float]]:
    rows: list[list[float]] = []
    for which, bore in (("pivot", pivot), ("axle", axle)):
        if not bore.pilot:
            continue
        if bore.walls > 1:
            rows += reach.ends(_which(which), care.opening_mm, bore.walls_mm)
        else:
            rows += [reach.of(_which(which), *d, 0.0, 0.0) for d in _each(care.opening_mm)]
    return rows


def _welded(found: Sources, reach: Reach, pivot: BoreSize, axle: BoreSize, care: Care) -> Sources:
    """A weld at each wall pulls its end of the sleeve its own way."""
    sleeved = [(_which(w), b) for w, b in (("pivot", pivot), ("axle", axle)) if b.sleeve_mm is not None]
    if not sleeved:
        return found
    rows = [row for w, b in sleeved for row in reach.ends(w, care.weld_pull_mm, b.walls_mm)]
    return found.added("weld pulls a sleeve's end", care.weld_pull_mm, rows)


def tooth_room_mm(wheels_apart_mm: float, tooth_width_mm: float) -> float:
    """How far a pair of wheels may be off to a side before a tyre touches the guide tooth [mm]."""
    return 0.5 * (wheels_apart_mm - tooth_width_mm)


def degrees(rad: float) -> float:
    """Of an angle [deg]."""
    return math.degrees(rad)
