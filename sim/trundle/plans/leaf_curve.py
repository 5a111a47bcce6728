"""The curve of a bent leaf: flat in the middle where it is made so, a circle outwards on each side.

A line parallel to the middle of its thickness is a circle of another radius, with the same ends' directions: the
former's face, the leaf's back and belly are all of that kind.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.drawing.clip import arc_points
from trundle.drawing.pens import Corner


@dataclass(frozen=True)
class Curve:
    """A leaf `length_mm` long, bent to `radius_mm` at the middle of its thickness but for `flat_mm` in its middle.

    In its own axes: x along the leaf from its middle, y up, 0 at the middle of its thickness there, ends hanging down.
    """

    length_mm: float
    radius_mm: float
    flat_mm: float = 0.0

    @property
    def turn_rad(self) -> float:
        """How far the ends are turned down."""
        return 0.5 * (self.length_mm - self.flat_mm) / self.radius_mm

    def at(self, along_mm: float, off_mm: float = 0.0) -> Corner:
        """The place so far along the middle of the thickness from the leaf's middle, and so far out from there, away
        from the curve's centre."""
        half = 0.5 * self.flat_mm
        out = abs(along_mm) - half
        if out <= 0.0:
            return along_mm, off_mm
        turn = out / self.radius_mm
        x = half + self.radius_mm * math.sin(turn) + off_mm * math.sin(turn)
        y = self.radius_mm * (math.cos(turn) - 1.0) + off_mm * math.cos(turn)
        return math.copysign(x, along_mm), y

    def line(self, off_mm: float = 0.0, beyond_mm: float = 0.0) -> list[Corner]:
        """Corners from the left end to the right one, so far out from the middle of the thickness; beyond: how far the
        same circles go on past the ends."""
        half, radius = 0.5 * self.flat_mm, self.radius_mm + off_mm
        turn = self.turn_rad + beyond_mm / self.radius_mm
        right = arc_points(half, -self.radius_mm, radius, 0.5 * math.pi, 0.5 * math.pi - turn)
        left = [(-x, y) for x, y in reversed(right)]
        return left + (right if self.flat_mm > 0.0 else right[1:])

    @property
    def chord_mm(self) -> float:
        """End to end, at the middle of the thickness."""
        return 2.0 * self.at(0.5 * self.length_mm)[0]

    @property
    def rise_mm(self) -> float:
        """Middle over its ends."""
        return -self.at(0.5 * self.length_mm)[1]
