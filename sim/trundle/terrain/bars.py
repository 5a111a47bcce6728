"""Sleepers and logs: loose timber lying across the course."""

from __future__ import annotations

import math
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.terrain.base import EDGE_M, Count, Floats, HeightMm, LevelObstacle, RunMm, cap, within
from trundle.units import MM


class Sleepers(LevelObstacle):
    """Square-cut bars, equally spaced, lying on the ground."""

    kind: Literal["sleepers"]
    height_mm: HeightMm
    """Of each bar, mm."""

    width_mm: RunMm
    """Of each bar along the course, mm."""

    pitch_mm: RunMm
    """From the front of one bar to the front of the next, mm."""

    count: Count
    """How many bars."""

    @model_validator(mode="after")
    def _apart(self) -> Sleepers:
        if self.count > 1 and self.pitch_mm < self.width_mm + 20.0:
            raise PlacedError(
                f"pitch_mm must leave 20 mm or more between bars {self.width_mm:g} mm wide",
                "pitch_mm",
                allowed=f"{self.width_mm + 20:g} mm or more",
            )
        return self

    def length_m(self) -> float:
        """From the front of the first to the back of the last."""
        return ((self.count - 1) * self.pitch_mm + self.width_mm) * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Full height on a bar, zero between."""
        along = np.mod(x_m + EDGE_M, self.pitch_mm * MM) - EDGE_M
        on_bar = along <= self.width_mm * MM + EDGE_M if self.count > 1 else np.ones_like(x_m, dtype=bool)
        return np.where(on_bar, self.height_mm * MM, 0.0)

    def title(self) -> str:
        """`sleepers 5 x 100 mm`."""
        return f"{'sleeper' if self.count == 1 else f'sleepers {self.count} x'} {self.height_mm:g} mm"


class Log(LevelObstacle):
    """A round log lying on the ground, or sunk into it.

    The heights are its upper side; below its middle it curves back in, which heights cannot show, so
    there it stands upright (a track or wheel cannot reach under it either).
    """

    kind: Literal["log"]
    diameter_mm: Annotated[float, Field(ge=20, le=2_000)]
    """Of the log, mm."""

    sunk_mm: Annotated[float, Field(ge=0, le=2_000)] = 0.0
    """How far its underside lies below the ground, mm."""

    @model_validator(mode="after")
    def _shows(self) -> Log:
        if self.sunk_mm >= self.diameter_mm:
            raise PlacedError(
                f"sunk_mm must be less than the diameter ({self.diameter_mm:g} mm)",
                "sunk_mm",
                allowed=f"below {self.diameter_mm:g}",
            )
        return self

    def _half_m(self) -> float:
        r, s = self.diameter_mm * MM / 2.0, self.sunk_mm * MM
        return r if s <= r else math.sqrt(r * r - (s - r) ** 2)

    def length_m(self) -> float:
        """As much of its width as lies above the ground."""
        return 2.0 * self._half_m()

    def heights_m(self, x_m: Floats) -> Floats:
        """Top of the circle."""
        r, half = self.diameter_mm * MM / 2.0, self._half_m()
        heights = cap(np.clip(x_m, 0.0, 2.0 * half), half, r - self.sunk_mm * MM, r)
        return np.where(within(x_m, 0.0, 2.0 * half), np.maximum(heights, 0.0), 0.0)

    def title(self) -> str:
        """`log 150 mm`, `log 150 mm sunk 50 mm`."""
        return f"log {self.diameter_mm:g} mm" + (f" sunk {self.sunk_mm:g} mm" if self.sunk_mm else "")
