"""Humps: up and down again to the level before."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.terrain.base import FaceMm, Floats, HeightMm, LevelObstacle, RunMm, cap, polyline
from trundle.units import MM


class HalfRound(LevelObstacle):
    """Half a round bar lying flat side down: the standard single bump for shock."""

    kind: Literal["half-round"]
    radius_mm: Annotated[float, Field(ge=10, le=2_000)]
    """Radius of the semicircle, mm: it is as high as this and twice as long."""

    def length_m(self) -> float:
        """The flat side."""
        return 2.0 * self.radius_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """A semicircle."""
        r = self.radius_mm * MM
        return cap(np.clip(x_m, 0.0, 2.0 * r), r, 0.0, r)

    def title(self) -> str:
        """`half-round 100 mm` (its radius)."""
        return f"half-round {self.radius_mm:g} mm"


class RoundTopHump(LevelObstacle):
    """A segment of a circle: a road hump with a round top and a definite foot on both sides.

    Radius R = (c^2/4 + h^2) / (2 h) for chord c and height h (geometry of the circle).
    """

    kind: Literal["round-top hump"]
    height_mm: HeightMm
    """At the middle, mm."""

    length_mm: RunMm
    """Chord: from foot to foot, mm."""

    @model_validator(mode="after")
    def _no_overhang(self) -> RoundTopHump:
        if self.height_mm > self.length_mm / 2.0:
            raise PlacedError(
                f"height_mm is more than half the length ({self.length_mm / 2:g} mm): no circle segment; "
                'use "half-round" or "log"',
                "height_mm",
                allowed=f"up to {self.length_mm / 2:g}",
            )
        return self

    def radius_m(self) -> float:
        """Radius of its circle [m]."""
        c, h = self.length_mm * MM, self.height_mm * MM
        h = max(h, 1e-9)  # a height that is next to nothing has no radius that a number can hold
        return (c * c / 4.0 + h * h) / (2.0 * h)

    def length_m(self) -> float:
        """The chord."""
        return self.length_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """The circle above its chord."""
        r, c = self.radius_m(), self.length_m()
        return np.maximum(cap(np.clip(x_m, 0.0, c), c / 2.0, self.height_mm * MM - r, r), 0.0)

    def title(self) -> str:
        """`round-top hump 75 mm x 900 mm`."""
        return f"round-top hump {self.height_mm:g} mm x {self.length_mm:g} mm"


class SinusoidalHump(LevelObstacle):
    """One full wave: h/2 (1 - cos(2 pi x / L)), level at both feet and at the top."""

    kind: Literal["sinusoidal hump"]
    height_mm: HeightMm
    """At the middle, mm."""

    length_mm: RunMm
    """From foot to foot, mm."""

    def length_m(self) -> float:
        """As given."""
        return self.length_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Raised cosine."""
        wave = 1.0 - np.cos(2.0 * np.pi * x_m / self.length_m())
        return np.asarray(self.height_mm * MM / 2.0 * wave, dtype=np.float64)

    def title(self) -> str:
        """`sinusoidal hump 75 mm x 900 mm`."""
        return f"sinusoidal hump {self.height_mm:g} mm x {self.length_mm:g} mm"


class FlatTopHump(LevelObstacle):
    """A ramp up, a flat top, a ramp down."""

    kind: Literal["flat-top hump"]
    height_mm: HeightMm
    """Of the top, mm."""

    top_mm: RunMm
    """Length of the flat top, mm."""

    ramp_mm: FaceMm
    """Length of each ramp along the flat, mm: 0 is a block with upright faces."""

    def length_m(self) -> float:
        """Top and both ramps."""
        return (self.top_mm + 2.0 * self.ramp_mm) * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Straight lines."""
        h, r, t = self.height_mm, self.ramp_mm, self.top_mm
        return polyline(x_m, [(0, 0), (r, h), (r + t, h), (2 * r + t, 0)])

    def title(self) -> str:
        """`flat-top hump 75 mm`."""
        return f"flat-top hump {self.height_mm:g} mm"
