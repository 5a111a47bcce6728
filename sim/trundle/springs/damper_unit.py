"""A bought spring-and-damper unit: a coil round a damper, with an eye at each end."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, line
from trundle.fields.step import By, Kept, Times
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Pose, StockRow
from trundle.springs.bought_unit import BoughtUnit
from trundle.springs.laws import Floats
from trundle.units import MM, N_PER_MM


class DamperUnit(BoughtUnit):
    """Force = preload + rate x (free length - length); its damper acts along the same line.

    Out at its free length the damper holds it together against its preload; in, it is solid. Between the stops the
    arm may ask for neither.
    """

    kind: Literal["spring and damper"] = "spring and damper"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Rate of the spring along the unit, N/mm."""

    free_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """Eye to eye with nothing on it, mm."""

    solid_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """Eye to eye pressed solid, or on its own bump rubber, mm."""

    preload_N: Annotated[float, Field(ge=0, le=100_000), By(50, least=0)] = 0.0
    """Force at which it begins to shorten (a collar that presses the spring together), N."""

    @model_validator(mode="after")
    def _has_a_stroke(self) -> DamperUnit:
        if self.solid_length_mm >= self.free_length_mm:
            raise PlacedError(
                f"solid_length_mm {self.solid_length_mm:g} leaves no stroke of {self.free_length_mm:g} mm free",
                "solid_length_mm",
                allowed=f"below {self.free_length_mm:g}",
            )
        return self

    @property
    def longest_m(self) -> float:
        """Its free length [m]."""
        return self.free_length_mm * MM

    @property
    def shortest_m(self) -> float:
        """Its solid length [m]."""
        return self.solid_length_mm * MM

    def force_at(self, pressed_m: Floats) -> Floats:
        """The preload and the spring [N]."""
        return np.asarray(self.preload_N + self.rate_N_per_mm * N_PER_MM * pressed_m)

    def work_J(self, pressed_m: float) -> float:
        """The preload's and the spring's [J]."""
        return self.preload_N * pressed_m + 0.5 * self.rate_N_per_mm * N_PER_MM * pressed_m**2

    def stock(self) -> tuple[StockRow, ...]:
        """As it is asked for at the counter."""
        preload = f", preload {self.preload_N:g} N" if self.preload_N else ""
        stock = f"spring and damper, {self.rate_N_per_mm:g} N/mm{preload}, solid at {self.solid_length_mm:g}"
        return (StockRow("spring and damper", 1, stock, "bought", f"{self.free_length_mm:g} eye to eye, free"),)

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The damper's tube on the hull and its rod on the arm, and the coil round both."""
        low, high = self._seats_mm(pose)
        tube = self._tube_and_rod(pose, 0.6 * self.solid_length_mm, 18.0)
        along = (high - low) / max(float(np.hypot(*(high - low))), 1e-6)
        across = 20.0 * np.array([-along[1], along[0]])
        t = np.linspace(0.12, 0.88, 19)[:, None]
        swing = np.where(np.arange(19) % 2 == 0, -1.0, 1.0)[:, None]
        return *tube, line("spring", low + t * (high - low) + swing * across, 6.0), *self._eyes(pose)
