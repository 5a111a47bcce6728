"""Humps: up and down again to the level before."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.sketch import Mark, Note, Round, Span
from trundle.terrain.base import FaceMm, Floats, HeightMm, LevelObstacle, RunMm, cap, polyline
from trundle.units import MM


class HalfRound(LevelObstacle):
    """Half a round bar lying flat side down: the standard single bump for shock.

    Also called: half pipe, single bump, test bump
    """

    EXAMPLE: ClassVar[str] = 'kind = "half-round"\nradius_mm = 80\n'

    kind: Literal["half-round"]
    radius_mm: Annotated[float, Field(ge=10, le=2_000)]
    """Radius of the half circle, mm: it is as high as this and twice as long.

    Usual: 50 to 150.
    Measure: rule from the ground to its top.
    If wrong: the diameter put in for it is a bump of twice the height.
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """From the middle of its flat side."""
        r = self.radius_mm
        return Round("radius_mm", (r, 0.0), r, "radius", 60.0), Note("kind", (0.6 * r, 0.5 * r))


class RoundTopHump(LevelObstacle):
    """A road hump with a round top and a definite foot on both sides: a segment of a circle.

    Also called: speed bump, sleeping policeman, road hump
    """

    EXAMPLE: ClassVar[str] = 'kind = "round-top hump"\nheight_mm = 75\nlength_mm = 900\n'

    kind: Literal["round-top hump"]
    height_mm: HeightMm
    """At the middle, above the ground, mm.

    Usual: 50 to 100.
    Measure: level on the top, out over the ground, rule down from it.
    If wrong: the blow goes with it.
    """

    length_mm: RunMm
    """From foot to foot along the course (the chord), mm.

    Usual: 600 to 3700.
    Measure: tape along the ground.
    If wrong: shorter is harder.
    """

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
        """Radius of its circle, (c^2/4 + h^2) / (2 h) for chord c and height h (geometry of the circle) [m]."""
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

    def marks(self) -> tuple[Mark, ...]:
        """Foot to foot, and up to its middle."""
        return _hump_marks(self.length_mm, self.height_mm)


class SinusoidalHump(LevelObstacle):
    """A smooth hump, level at both feet and at the top: one full wave, h/2 (1 - cos(2 pi x / L)).

    Also called: speed hump, sine hump, smooth bump
    """

    EXAMPLE: ClassVar[str] = 'kind = "sinusoidal hump"\nheight_mm = 75\nlength_mm = 900\n'

    kind: Literal["sinusoidal hump"]
    height_mm: HeightMm
    """At the middle, above the ground, mm.

    Usual: 50 to 100.
    Measure: level on the top, out over the ground, rule down from it.
    If wrong: the blow goes with it.
    """

    length_mm: RunMm
    """From foot to foot along the course, mm.

    Usual: 900 to 4000.
    Measure: tape along the ground.
    If wrong: shorter is harder, by the square.
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """Foot to foot, and up to its middle."""
        return _hump_marks(self.length_mm, self.height_mm)


class FlatTopHump(LevelObstacle):
    """A ramp up, a flat top, a ramp down.

    Also called: speed table, hose ramp, cable ramp, raised crossing
    """

    EXAMPLE: ClassVar[str] = 'kind = "flat-top hump"\nheight_mm = 60\ntop_mm = 300\nramp_mm = 250\n'

    kind: Literal["flat-top hump"]
    height_mm: HeightMm
    """Of the top above the ground, mm.

    Usual: 40 to 100.
    Measure: level on the top, out over the ground, rule down from it.
    If wrong: the blow goes with it.
    """

    top_mm: RunMm
    """Length of the flat top along the course, mm.

    Usual: 100 to 2500.
    Measure: rule along the top.
    If wrong: shorter than the track on the ground it is climbed and left at once.
    """

    ramp_mm: FaceMm
    """Length of each ramp along the flat, mm; 0: a block with upright faces.

    Usual: two to ten times the height.
    Measure: tape along the ground from the foot to below the top's edge.
    If wrong: shorter is harder.
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """Ramp, top, and their height."""
        h, r, t = self.height_mm, self.ramp_mm, self.top_mm
        return (
            Span("height_mm", (r + 0.7 * t, 0.0), (r + 0.7 * t, h), "y"),
            Span("top_mm", (r, h), (r + t, h), "x"),
            Span("ramp_mm", (0.0, 0.0), (r, h), "x") if r else Note("ramp_mm", (0.0, 0.5 * h)),
            Note("kind", (r + 0.3 * t, 0.5 * h)),
        )


def _hump_marks(long: float, high: float) -> tuple[Mark, ...]:
    return (
        Span("height_mm", (0.5 * long, 0.0), (0.5 * long, high), "y"),
        Span("length_mm", (0.0, 0.0), (long, 0.0), "x"),
        Note("kind", (0.35 * long, 0.4 * high)),
    )
