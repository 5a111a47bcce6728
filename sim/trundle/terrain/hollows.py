"""Trenches and dips: down and up again to the level before."""

from __future__ import annotations

from typing import Literal

import numpy as np

from trundle.terrain.base import FaceMm, Floats, HeightMm, LevelObstacle, RunMm, polyline
from trundle.units import MM


class Trench(LevelObstacle):
    """A ditch with a flat bottom and two equal sides, upright or sloping."""

    kind: Literal["trench"]
    depth_mm: HeightMm
    """Of the bottom below the ground, mm."""

    bottom_mm: RunMm
    """Length of the flat bottom along the course, mm."""

    side_mm: FaceMm = 0.0
    """How far each side reaches along the course, mm: 0 is upright."""

    def length_m(self) -> float:
        """From edge to edge."""
        return (self.bottom_mm + 2.0 * self.side_mm) * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Straight lines; the edges themselves are at ground height."""
        d, s, b = self.depth_mm, self.side_mm, self.bottom_mm
        return polyline(x_m, [(0, 0), (s, -d), (s + b, -d), (2 * s + b, 0)])

    def title(self) -> str:
        """`trench 300 mm x 120 mm` (width at the top, depth)."""
        return f"trench {self.length_m() / MM:.4g} mm x {self.depth_mm:g} mm"


class Dip(LevelObstacle):
    """A smooth hollow, one full wave: -d/2 (1 - cos(2 pi x / L))."""

    kind: Literal["dip"]
    depth_mm: HeightMm
    """At the middle, mm."""

    length_mm: RunMm
    """From edge to edge, mm."""

    def length_m(self) -> float:
        """As given."""
        return self.length_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Raised cosine, downwards."""
        wave = 1.0 - np.cos(2.0 * np.pi * x_m / self.length_m())
        return np.asarray(-self.depth_mm * MM / 2.0 * wave, dtype=np.float64)

    def title(self) -> str:
        """`dip 100 mm x 2000 mm`."""
        return f"dip {self.depth_mm:g} mm x {self.length_mm:g} mm"
