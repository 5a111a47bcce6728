"""The shape of a leaf as it is bent: two arcs about a flat middle, ends down."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.fields.sketch import XY
from trundle.plans.ink import round_points


@dataclass(frozen=True)
class Bow:
    """length_mm: developed, flat_mm of it flat in the middle; radius_mm: of the middle of its thickness. Its own axes:
    the middle of the concave face is the origin, y up, so that its ends lie below."""

    length_mm: float
    flat_mm: float
    radius_mm: float
    thick_mm: float

    @property
    def turn_rad(self) -> float:
        """By how much each half turns down."""
        return 0.5 * (self.length_mm - self.flat_mm) / self.radius_mm

    @property
    def inside_mm(self) -> float:
        """Radius of the concave face."""
        return self.radius_mm - 0.5 * self.thick_mm

    @property
    def chord_mm(self) -> float:
        """Between the ends of the concave face."""
        return self.flat_mm + 2.0 * self.inside_mm * math.sin(self.turn_rad)

    @property
    def rise_mm(self) -> float:
        """Of the concave face's middle over its ends."""
        return self.inside_mm * (1.0 - math.cos(self.turn_rad))

    def face(self, radius_mm: float, up_mm: float) -> tuple[XY, ...]:
        """A face from its left end to its right one. up_mm: of its middle."""
        turn, half = math.degrees(self.turn_rad), 0.5 * self.flat_mm
        centre = up_mm - radius_mm
        step = max(turn / 48.0, 0.05)
        left = round_points((-half, centre), radius_mm, 90.0 + turn, 90.0, step)
        right = round_points((half, centre), radius_mm, 90.0, 90.0 - turn, step)
        return (*left, *right)

    @property
    def outline(self) -> tuple[XY, ...]:
        """Concave face forth, convex face back."""
        back = self.face(self.radius_mm + 0.5 * self.thick_mm, self.thick_mm)
        return (*self.face(self.inside_mm, 0.0), *reversed(back))
