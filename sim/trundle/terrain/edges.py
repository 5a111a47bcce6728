"""Kerbs and steps: the ground is higher or lower behind them than before."""

from __future__ import annotations

from typing import Literal

import numpy as np
from pydantic import model_validator

from trundle.fields.base import PlacedError
from trundle.terrain.base import EDGE_M, Count, FaceMm, Floats, HeightMm, Obstacle, RunMm, cap
from trundle.units import MM


class _Kerb(Obstacle):
    """A kerb stone: a face, upright, battered or with a rounded top edge, and the stone's flat top."""

    height_mm: HeightMm
    """From the lower ground to the upper, mm."""

    edge_radius_mm: FaceMm = 0.0
    """Radius of the rounded top edge (bullnose), mm: at most the height. 0 is a sharp edge."""

    batter_mm: FaceMm = 0.0
    """How far the top edge lies behind the foot of the face, mm. 0 is an upright face."""

    stone_mm: RunMm = 125.0
    """Width of the stone along the course, its face included, mm: the part the verdict calls the kerb."""

    @model_validator(mode="after")
    def _one_face(self) -> _Kerb:
        if self.edge_radius_mm and self.batter_mm:
            raise PlacedError(
                "edge_radius_mm and batter_mm are both given; a kerb has one or the other",
                "batter_mm",
                allowed="one of them",
            )
        if self.edge_radius_mm > self.height_mm:
            raise PlacedError(
                f"edge_radius_mm is more than the height ({self.height_mm:g} mm)",
                "edge_radius_mm",
                allowed=f"up to {self.height_mm:g}",
            )
        return self

    def length_m(self) -> float:
        """The stone, and never less than its face."""
        return max(self.stone_mm, self.edge_radius_mm, self.batter_mm) * MM

    def _climb_m(self, x_m: Floats) -> Floats:
        """Height of the face and the stone [m], met from the lower side, shape (n,)."""
        h, r, b = self.height_mm * MM, self.edge_radius_mm * MM, self.batter_mm * MM
        if r:
            return np.where(x_m < r, cap(np.minimum(x_m, r), r, h - r, r), h)
        if b:
            return np.asarray(h * np.clip(x_m / b, 0.0, 1.0), dtype=np.float64)
        return np.full_like(x_m, h)


class KerbUp(_Kerb):
    """A kerb to climb."""

    kind: Literal["kerb up"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The face starts at 0."""
        return self._climb_m(x_m)

    def rise_m(self) -> float:
        """Up by the kerb's height."""
        return self.height_mm * MM

    def title(self) -> str:
        """`kerb 100 mm`."""
        return f"kerb {self.height_mm:g} mm"


class KerbDown(_Kerb):
    """A kerb to drop off: the same stone, met from behind."""

    kind: Literal["kerb down"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The foot of the face is at the end."""
        return self._climb_m(np.maximum(self.length_m() - x_m, 0.0)) - self.height_mm * MM

    def rise_m(self) -> float:
        """Down by the kerb's height."""
        return -self.height_mm * MM

    def title(self) -> str:
        """`kerb down 100 mm`."""
        return f"kerb down {self.height_mm:g} mm"


class _Steps(Obstacle):
    """One step, or a flight of equal ones, with upright faces."""

    height_mm: HeightMm
    """Height of each step, mm."""

    going_mm: RunMm = 280.0
    """Depth of each tread, mm."""

    count: Count = 1
    """How many steps."""

    def length_m(self) -> float:
        """All treads."""
        return self.count * self.going_mm * MM

    def _climb_m(self, x_m: Floats) -> Floats:
        treads = np.floor((x_m + EDGE_M) / (self.going_mm * MM)) + 1.0
        return np.asarray(np.clip(treads, 1, self.count) * (self.height_mm * MM), dtype=np.float64)

    def _total_m(self) -> float:
        return self.count * self.height_mm * MM

    def _many(self) -> str:
        return f"{self.height_mm:g} mm" if self.count == 1 else f"{self.count} x {self.height_mm:g} mm"


class StepUp(_Steps):
    """Steps to climb: each rises at the start of its tread."""

    kind: Literal["step up"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The first face is at 0."""
        return self._climb_m(x_m)

    def rise_m(self) -> float:
        """Up by all steps."""
        return self._total_m()

    def title(self) -> str:
        """`step 150 mm`, `steps 3 x 150 mm`."""
        return f"{'step' if self.count == 1 else 'steps'} {self._many()}"


class StepDown(_Steps):
    """Steps to drop off: each falls at the end of its tread."""

    kind: Literal["step down"]

    def heights_m(self, x_m: Floats) -> Floats:
        """The last face is at the end."""
        return self._climb_m(np.maximum(self.length_m() - x_m, 0.0)) - self._total_m()

    def rise_m(self) -> float:
        """Down by all steps."""
        return -self._total_m()

    def title(self) -> str:
        """`step down 150 mm`, `steps down 3 x 150 mm`."""
        return f"{'step' if self.count == 1 else 'steps'} down {self._many()}"
