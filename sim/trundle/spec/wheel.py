"""Road wheels: rubber-tyred, turning freely on their bearings."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from trundle.fields.base import LengthMm, Spec


class Wheel(Spec):
    """One road wheel."""

    radius_mm: LengthMm
    """Outside radius of the tyre, unloaded, mm."""

    width_mm: LengthMm = 50.0
    """Tread width, mm."""

    mass_kg: Annotated[float, Field(ge=0.01, le=200)]
    """One wheel with its bearing, kg."""

    abreast: Annotated[int, Field(ge=1, le=4)] = 2
    """Wheels side by side on one axle, on one side of the hull (2 = a pair astride the guide tooth)."""

    rubber_rate_N_per_mm: Annotated[float, Field(ge=5, le=50_000)]
    """How stiff one tyre is at its standing load (or at rated_load_N), N per mm."""

    rated_load_N: Annotated[float, Field(ge=1, le=100_000)] | None = None
    """Load on one wheel at which rubber_rate holds. Left out: an equal share of the weight."""

    rubber_loss: Annotated[float, Field(ge=0, le=0.95)] = 0.35
    """Share of the energy that a bounce at 0.5 m/s (dropped from 13 mm) loses."""

    spin_inertia_kg_m2: Annotated[float, Field(ge=0, le=100)] | None = None
    """About its axle. Left out: 0.6 m r2, between a disc and a ring."""

    @property
    def spin_kg_m2(self) -> float:
        """Spin inertia, as given or estimated [kg.m2]."""
        if self.spin_inertia_kg_m2 is not None:
            return self.spin_inertia_kg_m2
        return 0.6 * self.mass_kg * (self.radius_mm * 1e-3) ** 2
