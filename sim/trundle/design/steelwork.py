"""Bolts, arms and brackets of a first design: sizes that are sold, by the vehicle's mass, larger where the sheet's
margins want it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from trundle.design.known import Known
from trundle.steel.bolts import thread
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
        """A tube in which the pivot's hole is at most half its side."""
        tube = self.tube
        while tube + 1 < len(_TUBES) and self._mm(self.pivot) > 0.5 * _TUBES[tube][0]:
            tube += 1
        return replace(self, tube=tube)

    @staticmethod
    def _mm(place: int) -> float:
        return thread(_THREADS[place]).diameter_m / MM

    @property
    def side_mm(self) -> float:
        """Of the arm's tube."""
        return float(_TUBES[self.tube][0])

    @property
    def clear_mm(self) -> float:
        """What a spring across two arms keeps above the line of their pivots: the sleeves, and a little."""
        return round(0.75 * self._mm(self.pivot) + 6.0)

    def arm_kg(self, arm_mm: float) -> float:
        """An arm of this tube with its two sleeves and its bolts."""
        side, wall = _TUBES[self.tube]
        tube = 7.85e-6 * (side**2 - (side - 2.0 * wall) ** 2) * (arm_mm + 1.2 * side)
        sleeves = 7.85e-6 * 3.1416 * (self._mm(self.pivot) ** 2 + self._mm(self.axle) ** 2) * 1.6 * side
        return float(f"{tube + sleeves:.2g}")

    def tables(self, known: Known, arm_mm: float, apart_mm: float, hang_mm: float) -> Mapping[str, Any]:
        """[bogie.NAME.build]. apart_mm: of the pivots, 0 of one arm; hang_mm: pivot over the belly datum."""
        side, wall = _TUBES[self.tube]
        axle, pivot, plate = self._mm(self.axle), self._mm(self.pivot), float(_PLATES[self.plate])
        hull = _THREADS[max(self.axle - 1, 0)]
        hull_mm = thread(hull).diameter_m / MM
        long = round((apart_mm + 3.2 * pivot + 2.0 * hull_mm + 20.0) / 10.0) * 10.0
        held = {1: "one side", 2: "between wheels"}.get(known.abreast, "both sides")
        bolt: dict[str, Any] = {"thread": _THREADS[self.axle], "grade": "8.8", "held": held}
        if known.abreast == 2:
            bolt |= {"wheels_apart_mm": max(known.gap_mm, side + 4.0)}
        return {
            "axle": bolt,
            "pivot": {
                "thread": _THREADS[self.pivot],
                "grade": "8.8",
                "held": "both sides",
                "sleeve_mm": side + 2.0,
            },
            "arm": {
                "kind": "square tube",
                "side_mm": float(side),
                "thickness_mm": float(wall),
                "steel": "S235",
                "pivot_from_end_mm": round(0.5 * side + 2.0),
                "axle_to_end_mm": round(0.5 * side + 2.0),
            },
            "bracket": {
                "plate_mm": plate,
                "length_mm": long,
                "height_mm": round((max(hang_mm, 0.0) + 5.0 * pivot + 3.0 * hull_mm) / 5.0) * 5.0,
                "pivots_from_bottom_mm": round(1.6 * pivot),
                "steel": "S235",
                "hull_thread": hull,
                "hull_grade": "8.8",
                "hull_bolts_apart_mm": round(long - 3.2 * hull_mm),
                "hull_bolts_from_top_mm": round(1.6 * hull_mm),
            },
            "weld": {"sleeve_mm": round(1.5 * axle), "throat_mm": float(wall)},
        }


def usual(mass_kg: float) -> Steelwork:
    """Sizes by the vehicle's mass."""
    axle, pivot, tube, plate = next(row[1:] for row in _BY_MASS if mass_kg <= row[0])
    return Steelwork(axle, pivot, tube, plate).with_room()
