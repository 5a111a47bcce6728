"""Road wheels: rubber-tyred, turning freely on their bearings."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field

from trundle.fields.base import LengthMm, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Along, Kept, Stock, Times
from trundle.spec.wheel_drawing import wheel_sketches
from trundle.steel.sizes import WHEEL_RADII_MM

USUAL_DRAG = 0.015
"""Rolling drag of a rubber tyre on hard ground that nobody has measured, as a share of its load (common practice, no
source)."""


class Wheel(Spec):
    """One road wheel."""

    EXAMPLE: ClassVar[str] = """radius_mm = 90
width_mm = 40
mass_kg = 1.5
abreast = 2
rubber_rate_N_per_mm = 300
rubber_loss = 0.35
"""

    radius_mm: Annotated[LengthMm, Stock(WHEEL_RADII_MM, along=(Along(("mass_kg",), power=2.0),))]
    """Outside radius of the tyre, unloaded, mm."""

    width_mm: Annotated[LengthMm, Kept("comes with the wheel")] = 50.0
    """Tread width, mm."""

    mass_kg: Annotated[float, Field(ge=0.01, le=200), Kept("what it weighs")]
    """One wheel with its bearing, kg."""

    abreast: Annotated[int, Field(ge=1, le=4), Kept("the track wants it so")] = 2
    """Wheels side by side on one axle, on one side of the hull (2 = a pair astride the guide tooth)."""

    rubber_rate_N_per_mm: Annotated[float, Field(ge=5, le=50_000), Times(1.5)]
    """How stiff one tyre is at its standing load (or at rated_load_N), N per mm."""

    rated_load_N: Annotated[float, Field(ge=1, le=100_000), Kept("measured")] | None = None
    """Load on one wheel at which rubber_rate holds. Left out: an equal share of the weight."""

    rubber_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.35
    """Share of the energy that a bounce at 0.5 m/s (dropped from 13 mm) loses."""

    spin_inertia_kg_m2: Annotated[float, Field(ge=0, le=100), Kept("what it weighs")] | None = None
    """About its axle. Left out: 0.6 m r2, between a disc and a ring."""

    rolling_drag: Annotated[float, Field(ge=0, le=0.5), Kept("a property, not a choice")] | None = None
    """Without a track: what it takes to keep it rolling, tyre and bearing, as a share of its load at any speed. Left
    out: 0.015, an estimate (rubber on hard ground has 0.01 to 0.03). With a track, track.rolling_drag is for both."""

    @property
    def drag(self) -> float:
        """Rolling drag without a track, as given or estimated, as a share of the load."""
        return USUAL_DRAG if self.rolling_drag is None else self.rolling_drag

    @property
    def spin_kg_m2(self) -> float:
        """Spin inertia, as given or estimated [kg.m2]."""
        if self.spin_inertia_kg_m2 is not None:
            return self.spin_inertia_kg_m2
        return 0.6 * self.mass_kg * (self.radius_mm * 1e-3) ** 2

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, and cut through with those abreast."""
        return wheel_sketches(self)
