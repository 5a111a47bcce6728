"""Bolts, arms and brackets of a first design: sizes that are sold, by the vehicle's mass, larger where the sheet's
margins want it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from trundle.design.known import Known
from trundle.steel.bolts import thread
from trundle.steel.sizes import ROUND_TUBES_MM, ROUNDS_MM
from trundle.units import MM

ENOUGH = 1.5
"""Margin that each part is to have at three times its standing load."""

_THREADS = ("M6", "M8", "M10", "M12", "M14", "M16", "M20", "M24")
_TUBES = ((15, 2), (20, 2), (25, 2.5), (30, 3), (35, 3), (40, 3), (40, 4), (50, 4), (50, 5), (60, 5), (70, 5), (80, 6))
_PLATES = (4, 5, 6, 8, 10, 12, 15)
"""Sizes in steps, as they are sold (trundle.steel.sizes)."""

_BY_MASS = ((60.0, 1, 2, 1, 0), (120.0, 2, 3, 3, 1), (220.0, 3, 4, 4, 2), (380.0, 4, 5, 5, 3), (1e9, 5, 6, 7, 4))
"""Up to this mass [kg]: place of axle, pivot, tube and plate in the rows above (as the vehicles that come with Trundle
have them)."""


@dataclass(frozen=True)
class Room:
    """What wheels leave a bracket, mm. apart_mm: of its pivots, 0 of one arm. arm_mm, radius_mm: pivot to axle, and of
    the tyre. next_mm: from its middle to that of the next bracket. swing_rad: of the arms, from bump to droop."""

    apart_mm: float
    arm_mm: float
    radius_mm: float
    next_mm: float
    swing_rad: tuple[float, float]

    def beside_mm(self, low_mm: float) -> float:
        """From its middle to the nearest place that a tyre comes to, above `low_mm` below its pivots."""
        least = math.inf
        for angle in np.linspace(*self.swing_rad, 15):
            reach = 0.5 * self.apart_mm + self.arm_mm * math.cos(angle)
            under = max(self.arm_mm * math.sin(angle) - low_mm, 0.0)
            tyre = math.sqrt(max((self.radius_mm + 1.0) ** 2 - under**2, 0.0))
            least = min(least, reach - tyre, self.next_mm - reach - tyre)
        return least


def _round_at_least(outside_mm: float) -> float:
    """The next outside of round bar and tube that is sold."""
    return min(s for s in {*ROUNDS_MM, *ROUND_TUBES_MM} if s >= outside_mm)


@dataclass(frozen=True)
class Steelwork:
    """Places in the rows of sizes."""

    axle: int
    pivot: int
    tube: int
    plate: int

    def larger(self, kind: str) -> Steelwork | None:
        """The same with the parts of a kind (as margins call them) a size up; None if there is none."""
        field, row = {
            "axle bolt": ("axle", _THREADS), "weld": ("axle", _THREADS), "pivot bolt": ("pivot", _THREADS),
            "arm": ("tube", _TUBES), "bracket": ("plate", _PLATES), "hull bolts": ("plate", _PLATES),
        }[kind]  # fmt: skip
        now = getattr(self, field)
        if now + 1 >= len(row):
            return None
        more = replace(self, **{field: now + 1})
        # A pivot is no thinner than the axle, and a tube has room for it.
        return replace(more, pivot=max(more.pivot, more.axle)).with_room()

    def with_room(self) -> Steelwork:
        """A tube that leaves steel above and below its sleeves' holes."""
        tube = self.tube
        while tube + 1 < len(_TUBES) and max(self.pivot_sleeve_mm, self.axle_sleeve_mm) + 6.0 > _TUBES[tube][0]:
            tube += 1
        return replace(self, tube=tube)

    @property
    def pivot_sleeve_mm(self) -> float:
        """Outside of the sleeve that turns on the pivot bolt: a wall of 2 mm and more."""
        return _round_at_least(1.1 * self._mm(self.pivot) + 4.3)

    @property
    def axle_sleeve_mm(self) -> float:
        """Outside of the sleeve that is welded in for the axle bolt: a wall of about 4 mm."""
        return _round_at_least(self._mm(self.axle) + 7.9)

    @property
    def throat_mm(self) -> float:
        """Of the weld round it: what the thinner wall bears."""
        wall = min(float(_TUBES[self.tube][1]), 0.5 * (self.axle_sleeve_mm - self._mm(self.axle) - 0.3))
        return math.floor(7.0 * wall) / 10.0

    @property
    def end_mm(self) -> float:
        """Middle of the pivot's hole to the arm's end: no more than its sleeve wants, so that a pair's arms clear."""
        return math.ceil(0.5 * self.pivot_sleeve_mm + 3.0)

    def apart_mm(self, known: Known, spring_mm: float) -> float:
        """Between the wheels of a pair: arm and weld, or the spring on it, and a washer on each side; the guide tooth
        besides. spring_mm: how wide the spring is."""
        own = math.ceil(_TUBES[self.tube][0] + 2.0 * math.sqrt(2.0) * self.throat_mm) + 2.0
        return max(known.gap_mm, own, math.ceil(spring_mm) + 2.0)

    def wheel_mm(self, known: Known, spring_mm: float) -> float:
        """Width of a wheel: as known; a guessed one is no wider than the track has room for beside that gap."""
        if known.abreast != 2 or "wheels.width_mm" not in known.why:
            return known.wheel_width_mm
        room = math.floor(0.5 * (known.track_mm - self.apart_mm(known, spring_mm)))
        return min(known.wheel_width_mm, max(room, 8.0))

    @staticmethod
    def _mm(place: int) -> float:
        return thread(_THREADS[place]).diameter_m / MM

    @property
    def side_mm(self) -> float:
        """Of the arm's tube."""
        return float(_TUBES[self.tube][0])

    @property
    def clear_mm(self) -> float:
        """What a spring across two arms keeps above the line of their pivots: the arms' inner ends as they swing, and a
        little."""
        return math.ceil(math.hypot(self.end_mm, 0.5 * self.side_mm) + 1.5)

    def arm_kg(self, arm_mm: float) -> float:
        """An arm of this tube with its two sleeves and its bolts."""
        side, wall = _TUBES[self.tube]
        tube = 7.85e-6 * (side**2 - (side - 2.0 * wall) ** 2) * (arm_mm + 1.2 * side)
        sleeves = 7.85e-6 * 3.1416 * (self._mm(self.pivot) ** 2 + self._mm(self.axle) ** 2) * 1.6 * side
        return float(f"{tube + sleeves:.2g}")

    def bracket_mm(self, room: Room) -> float:
        """Length of its plate: what its bolts want, no longer than the wheels leave it."""
        pivot, hull = self._mm(self.pivot), self._mm(self.hull_place(room)) + 1.0
        usual = round((room.apart_mm + 3.2 * pivot + 2.0 * hull + 18.0) / 10.0) * 10.0
        least = max(room.apart_mm + 2.4 * pivot, 4.6 * hull)
        return max(min(self._between_wheels_mm(room), usual), math.ceil(least))

    def _between_wheels_mm(self, room: Room) -> float:
        return 2.0 * math.floor(room.beside_mm(self.pivot_low_mm) - 1.5)

    def hull_place(self, room: Room) -> int:
        """Of the hull bolts' thread: a size below the axle's, or less where two of them have no room beside each
        other."""
        place = max(self.axle - 1, 0)
        while place > 0 and 4.6 * (self._mm(place) + 1.0) > self._between_wheels_mm(room):
            place -= 1
        return place

    @property
    def pivot_low_mm(self) -> float:
        """Pivots' middle over a plate's lower edge."""
        return float(math.ceil(1.25 * self._mm(self.pivot)))

    def tables(self, known: Known, room: Room, hang_mm: float, spring_mm: float) -> Mapping[str, Any]:
        """[bogie.NAME.build]. hang_mm: pivot over the belly datum; spring_mm: how wide its spring is."""
        side, wall = _TUBES[self.tube]
        pivot, plate = self._mm(self.pivot), float(_PLATES[self.plate])
        hull = _THREADS[self.hull_place(room)]
        hull_mm = thread(hull).diameter_m / MM
        long = self.bracket_mm(room)
        held = {1: "one side", 2: "between wheels"}.get(known.abreast, "both sides")
        bolt: dict[str, Any] = {"thread": _THREADS[self.axle], "grade": "8.8", "held": held}
        sleeve = float(math.ceil(side + 2.0 * math.sqrt(2.0) * self.throat_mm))
        if known.abreast == 2:
            bolt["wheels_apart_mm"] = self.apart_mm(known, spring_mm)
            sleeve = bolt["wheels_apart_mm"] - 2.0
        elif known.abreast == 1:
            bolt["side_gap_mm"] = 0.5 * (sleeve - side) + 1.0
        return {
            "axle": bolt,
            "pivot": {
                "thread": _THREADS[self.pivot],
                "grade": "8.8",
                "held": "both sides",
                "sleeve_mm": max(side + 2.0, math.ceil(spring_mm) if room.apart_mm > 0.0 else 0.0),
                "sleeve_outside_mm": self.pivot_sleeve_mm,
            },
            "arm": {
                "kind": "square tube",
                "side_mm": float(side),
                "thickness_mm": float(wall),
                "steel": "S235",
                "pivot_from_end_mm": self.end_mm,
                "axle_to_end_mm": max(round(0.5 * side + 2.0), math.ceil(0.5 * self.axle_sleeve_mm + 3.0)),
            },
            "bracket": {
                "plate_mm": plate,
                "length_mm": long,
                "height_mm": round((max(hang_mm, 0.0) + 5.0 * pivot + 3.0 * hull_mm) / 5.0) * 5.0,
                "pivots_from_bottom_mm": self.pivot_low_mm,
                "steel": "S235",
                "hull_thread": hull,
                "hull_grade": "8.8",
                "hull_bolts_apart_mm": math.floor(10.0 * (long - 2.4 * (hull_mm + 1.0)) + 1e-6) / 10.0,
                "hull_bolts_from_top_mm": max(round(1.6 * hull_mm), math.ceil(1.2 * (hull_mm + 1.0))),
            },
            "weld": {"sleeve_mm": self.axle_sleeve_mm, "sleeve_length_mm": sleeve, "throat_mm": self.throat_mm},
        }


def usual(mass_kg: float) -> Steelwork:
    """Sizes by the vehicle's mass."""
    axle, pivot, tube, plate = next(row[1:] for row in _BY_MASS if mass_kg <= row[0])
    return Steelwork(axle, pivot, tube, plate).with_room()
