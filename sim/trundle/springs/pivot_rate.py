"""A spring stated by its rate at the pivot."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from trundle.fields.step import By, Times
from trundle.fields.stock import TurnDeg
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, PivotLaw
from trundle.springs.stated_rate import StatedRate
from trundle.units import DEG, NM_PER_DEG


class PivotRate(StatedRate):
    """Torque = rate x (free angle - arm angle). Holds the arm both ways, like a bar, unless `one_way`."""

    kind: Literal["pivot rate"] = "pivot rate"

    rate_Nm_per_deg: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Torque per degree that the arm is pushed up, N.m/deg."""

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle below horizontal at which the spring carries nothing, deg."""

    one_way: bool = False
    """true: only pushes the axle down, and lets go below the free angle."""

    def _torque(self, angle_rad: Floats) -> Floats:
        torque = self.rate_Nm_per_deg * NM_PER_DEG * (self.free_angle_deg * DEG - angle_rad)
        return np.maximum(torque, 0.0) if self.one_way else torque

    def law(self, arm: Arm) -> PivotLaw:
        """The spring's law on this arm."""
        angles = arm.angles()
        return PivotLaw(angles, self._torque(angles))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, twist from free and stored energy at `angle_rad` [rad]; no stress is known."""
        torque = float(self._torque(np.array([angle_rad]))[0])
        twist = torque / (self.rate_Nm_per_deg * NM_PER_DEG)
        return SpringFigures(torque, 0.0, twist, "rad", 0.0, "none", 0.5 * torque * twist)
