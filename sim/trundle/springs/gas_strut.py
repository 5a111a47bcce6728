"""A bought gas strut between an eye on the arm and an eye on the hull."""

from __future__ import annotations

import math
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape
from trundle.fields.step import Kept, Times
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Pose, StockRow
from trundle.springs.bought_unit import BoughtUnit
from trundle.springs.laws import Floats, Mount
from trundle.units import MM

PRINTED_AT_MM = 5.0
"""The printed force is measured this far from full extension, the end of the progression as far from full
compression, mm (common practice of the trade, no source)."""


class GasStrut(BoughtUnit):
    """F = F1 / (1 - (x / s) (1 - 1/K)): a closed volume of gas pressed together isothermally (Boyle's law).

    x: how far the rod is in, s: the stroke, both counted between the two places where the trade measures; K: force at
    the second over force at the first. At 20 degC. The gas of a fast stroke has no time to cool and presses harder
    than this, by up to K^0.4 (adiabatic, nitrogen); that is left out.
    """

    kind: Literal["gas strut"] = "gas strut"

    force_N: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Force printed on the tube (P1 or F1): coming out, 5 mm from full extension, N."""

    progression: Annotated[float, Field(gt=1, le=5), Kept("comes with the unit that is bought")]
    """Force 5 mm before it is fully in over the printed force (K or x)."""

    stroke_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """How far the rod goes in, mm."""

    extended_length_mm: Annotated[SpanMm, Kept("comes with the unit that is bought")]
    """Eye to eye with the rod fully out, mm."""

    @model_validator(mode="after")
    def _makes_a_strut(self) -> GasStrut:
        if self.stroke_mm < 4.0 * PRINTED_AT_MM:
            raise PlacedError(
                f"stroke_mm {self.stroke_mm:g} is too short to measure a progression over",
                "stroke_mm",
                allowed=f"{4.0 * PRINTED_AT_MM:g} or more",
            )
        if self.extended_length_mm <= 2.0 * self.stroke_mm:
            raise PlacedError(
                f"extended_length_mm {self.extended_length_mm:g} leaves no tube for a stroke of {self.stroke_mm:g} mm",
                "extended_length_mm",
                allowed=f"more than {2 * self.stroke_mm:g}",
            )
        return self

    @property
    def longest_m(self) -> float:
        """Eye to eye, fully out [m]."""
        return self.extended_length_mm * MM

    @property
    def shortest_m(self) -> float:
        """Eye to eye, fully in [m]."""
        return (self.extended_length_mm - self.stroke_mm) * MM

    @property
    def _rise_per_m(self) -> float:
        """Share of the gas that a metre of rod takes up [1/m], counted from where the printed force is measured."""
        return (1.0 - 1.0 / self.progression) / ((self.stroke_mm - 2.0 * PRINTED_AT_MM) * MM)

    def force_at(self, pressed_m: Floats) -> Floats:
        """Between pressing in and coming out: the gas, and the friction that the printed force is short of [N]."""
        gas = self.force_N / (1.0 - (pressed_m - PRINTED_AT_MM * MM) * self._rise_per_m)
        return np.asarray(gas + self.friction_N)

    def work_J(self, pressed_m: float) -> float:
        """The logarithm of what is left of the gas, and the friction's part [J]."""
        rise = self._rise_per_m
        left = 1.0 - (pressed_m - PRINTED_AT_MM * MM) * rise
        return self.force_N / rise * math.log((1.0 + PRINTED_AT_MM * MM * rise) / left) + self.friction_N * pressed_m

    def unranked(self) -> frozenset[str]:
        """Its friction counts: the printed force is short of it."""
        return super().unranked() - {"friction_N"}

    def stock(self) -> tuple[StockRow, ...]:
        """As it is asked for at the counter."""
        stock = f"gas strut, {self.force_N:g} N (P1), progression {self.progression:g}, stroke {self.stroke_mm:g}"
        return (StockRow("gas strut", 1, stock, "bought", f"{self.extended_length_mm:g} eye to eye, out"),)

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """What changes its force, and how it is mounted."""
        return (
            *super().remarks(mount),
            "a gas strut's force is for 20 degC; it changes by 0.34 % a degree (gas law), and a fast stroke presses "
            "harder than these figures",
            "mount a gas strut rod down, so that its oil wets the seal (common practice, no source)",
        )

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The tube on the hull, the rod on the arm."""
        return *self._tube_and_rod(pose, self.extended_length_mm - self.stroke_mm, 20.0), *self._eyes(pose)
