"""Pads of bump and droop stops: force against how far they are pressed."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError, PointMm, Spec
from trundle.fields.stock import StockMm
from trundle.steel import rubber
from trundle.units import MM

Positive = Annotated[float, Field(ge=0, le=1e6)]


class CurvePad(Spec):
    """Force = rate x + square x^2 + cube x^3, x pressed in mm: the plain and the progressive pad."""

    kind: Literal["curve pad"] = "curve pad"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=1e6)]
    """Rate at first touch, N/mm."""

    square_N_per_mm2: Positive = 0.0
    """Progressive part, N/mm2."""

    cube_N_per_mm3: Positive = 0.0
    """Steeper progressive part, N/mm3."""

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        x = max(deflection_m, 0.0) / MM
        return x * (self.rate_N_per_mm + x * (self.square_N_per_mm2 + x * self.cube_N_per_mm3))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        x = max(deflection_m, 0.0) / MM
        area = x * x * (self.rate_N_per_mm / 2.0 + x * (self.square_N_per_mm2 / 3.0 + x * self.cube_N_per_mm3 / 4.0))
        return area * MM


class TablePad(Spec):
    """Measured pad: points [pressed mm, force N], straight between, the last slope kept beyond."""

    kind: Literal["table pad"] = "table pad"

    points: Annotated[tuple[PointMm, ...], Field(strict=False, min_length=2, max_length=200)]
    """Points [pressed mm, force N], both rising, the first at [0, 0]."""

    @model_validator(mode="after")
    def _rises(self) -> TablePad:
        if self.points[0] != (0.0, 0.0):
            raise PlacedError("the first point of a pad is [0, 0]", "points", 0, allowed="[0, 0]")
        for i, ((x0, f0), (x1, f1)) in enumerate(itertools.pairwise(self.points), 1):
            if x1 <= x0 or f1 <= f0:
                raise PlacedError(
                    f"the pad's points must rise: [{x1:g}, {f1:g}] comes after [{x0:g}, {f0:g}]",
                    "points",
                    i,
                    allowed=f"above {x0:g} mm and above {f0:g} N",
                )
        return self

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        x = max(deflection_m, 0.0) / MM
        xs, fs = np.array(self.points).T
        if x <= xs[-1]:
            return float(np.interp(x, xs, fs))
        return float(fs[-1] + (x - xs[-1]) * (fs[-1] - fs[-2]) / (xs[-1] - xs[-2]))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        x = max(deflection_m, 0.0) / MM
        xs = [p[0] for p in self.points if p[0] < x] + [x]
        fs = [self.force_N(at * MM) for at in xs]
        return float(np.trapezoid(fs, xs)) * MM


class RubberPad(Spec):
    """A rubber pad from hardness and size. An estimate: force = Ec A/3 (1/q^2 - q), q = height left / height.

    The statistical theory of rubber in compression with the bonded block's modulus (Gent & Lindley) for
    3 G; past 70 % pressed the curve goes on straight.
    """

    kind: Literal["rubber pad"] = "rubber pad"

    hardness_irhd: Annotated[float, Field(ge=rubber.HARDNESS_RANGE[0], le=rubber.HARDNESS_RANGE[1])]
    """Hardness, IRHD or Shore A."""

    diameter_mm: StockMm
    """Diameter of the pad, mm."""

    height_mm: StockMm
    """Height untouched, mm."""

    @property
    def _scale_N(self) -> float:
        e0, _, k = rubber.moduli(self.hardness_irhd)
        shape = rubber.disc_shape(self.diameter_mm, self.height_mm)
        modulus = rubber.compression_modulus(e0, k, shape, rubber.BULK_PA)
        return modulus * np.pi / 4.0 * (self.diameter_mm * MM) ** 2 / 3.0

    def force_N(self, deflection_m: float) -> float:
        """Force pressed by `deflection_m` [m], N; 0 when not touched."""
        height = self.height_mm * MM
        x = max(deflection_m, 0.0)
        q = 1.0 - min(x / height, 0.7)
        over = max(x / height - 0.7, 0.0)
        return self._scale_N * (q**-2 - q + over * (2.0 * q**-3 + 1.0))

    def energy_J(self, deflection_m: float) -> float:
        """Energy taken up [J], the area under `force_N`."""
        height = self.height_mm * MM
        x = max(deflection_m, 0.0)
        q = 1.0 - min(x / height, 0.7)
        over = max(x / height - 0.7, 0.0)
        area = (1.0 / q - 1.0) - (1.0 - q**2) / 2.0
        area += over * (q**-2 - q) + over**2 / 2.0 * (2.0 * q**-3 + 1.0)
        return self._scale_N * height * area


PadKind = Annotated[CurvePad | TablePad | RubberPad, Field(discriminator="kind")]
"""Any pad, told apart by its `kind`."""
