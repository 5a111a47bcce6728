"""Trenches and dips: down and up again to the level before."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np

from trundle.fields.sketch import Mark, Note, Span
from trundle.terrain.base import FaceMm, Floats, HeightMm, LevelObstacle, RunMm, polyline
from trundle.units import MM


class Trench(LevelObstacle):
    """A ditch with a flat bottom and two equal sides, upright or sloping.

    Also called: ditch, gap, drain, pothole, gully, rut
    """

    EXAMPLE: ClassVar[str] = 'kind = "trench"\ndepth_mm = 120\nbottom_mm = 250\nside_mm = 60\n'

    kind: Literal["trench"]
    depth_mm: HeightMm
    """From the ground down to the bottom, mm.

    Usual: 60 to 300.
    Measure: board across it, rule down from the board.
    If wrong: deeper than the nose reaches it makes no difference: the width decides.
    """

    bottom_mm: RunMm
    """Length of the flat bottom along the course, mm.

    Usual: 100 to 500.
    Measure: rule along the bottom, between the feet of the sides.
    If wrong: wider than some 0.4 of the track on the ground, the nose falls in.
    """

    side_mm: FaceMm = 0.0
    """How far each side reaches along the course, from its edge to its foot, mm; 0: upright.

    Usual: 0 for a drain, the depth for a ditch in earth.
    Measure: board across it: (width at the top less bottom) / 2.
    If wrong: upright sides stop what sloping ones let climb.
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """On its bottom and at a side."""
        d, b, s = self.depth_mm, self.bottom_mm, self.side_mm
        return (
            Span("depth_mm", (s + 0.6 * b, 0.0), (s + 0.6 * b, -d), "y"),
            Span("bottom_mm", (s, -d), (s + b, -d), "x"),
            Span("side_mm", (0.0, 0.0), (s, -d), "x") if s else Note("side_mm", (0.0, -0.5 * d)),
            Note("kind", (s + 0.2 * b, -d)),
        )


class Dip(LevelObstacle):
    """A smooth hollow, level at both edges and at the bottom: one full wave, -d/2 (1 - cos(2 pi x / L)).

    Also called: hollow, swale, sag, depression
    """

    EXAMPLE: ClassVar[str] = 'kind = "dip"\ndepth_mm = 100\nlength_mm = 1600\n'

    kind: Literal["dip"]
    depth_mm: HeightMm
    """From the ground down to the middle, mm.

    Usual: 50 to 200.
    Measure: string from edge to edge, rule down from it in the middle.
    If wrong: how far the springs are pressed at the bottom goes with it.
    """

    length_mm: RunMm
    """From edge to edge, mm.

    Usual: one to three vehicle lengths.
    Measure: tape along the string, between the places where the ground begins to fall.
    If wrong: shorter is harder, by the square.
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """Edge to edge, and down to its middle."""
        long, d = self.length_mm, self.depth_mm
        return (
            Span("depth_mm", (0.5 * long, 0.0), (0.5 * long, -d), "y"),
            Span("length_mm", (0.0, 0.0), (long, 0.0), "x"),
            Note("kind", (0.25 * long, -0.5 * d)),
        )
