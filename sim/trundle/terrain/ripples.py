"""Ripples: a train of equal waves."""

from __future__ import annotations

from typing import Literal

import numpy as np

from trundle.terrain.base import Count, Floats, HeightMm, LevelObstacle, RunMm
from trundle.units import MM


class Ripples(LevelObstacle):
    """Waves h/2 (1 - cos(2 pi x / L)) standing on the ground: they begin and end level, in a trough."""

    kind: Literal["ripples"]
    height_mm: HeightMm
    """From trough to crest, mm."""

    wavelength_mm: RunMm
    """From crest to crest, mm."""

    count: Count
    """How many crests."""

    def length_m(self) -> float:
        """All waves."""
        return self.count * self.wavelength_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Raised cosine."""
        wave = 1.0 - np.cos(2.0 * np.pi * x_m / (self.wavelength_mm * MM))
        return np.asarray(self.height_mm * MM / 2.0 * wave, dtype=np.float64)

    def title(self) -> str:
        """`ripples 8 x 40 mm`."""
        return f"ripples {self.count} x {self.height_mm:g} mm"
