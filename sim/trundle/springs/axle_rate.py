"""A spring stated by its rate at the axle."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from trundle.fields.step import By, Times
from trundle.fields.stock import SwingDeg
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, PivotLaw
from trundle.springs.stated_rate import StatedRate
from trundle.units import DEG, N_PER_MM


class AxleRate(StatedRate):
    """Vertical force at the axle = rate x vertical travel up from free. Both ways unless `one_way`.

    Travel is r (sin(free) - sin(angle)); torque about the pivot is force x r cos(angle).
    """

    kind: Literal["axle rate"] = "axle rate"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=100_000), Times(1.25)]
    """Vertical force per vertical travel of the axle, N/mm, one side's."""

    free_angle_deg: Annotated[SwingDeg, By(2)]
    """Arm angle below horizontal at which the spring carries nothing, deg."""

    one_way: bool = False
    """true: only pushes the axle down, and lets go below the free angle."""

    def _travel(self, angle_rad: Floats, arm: Arm) -> Floats:
        travel = np.asarray(arm.length_m * (np.sin(self.free_angle_deg * DEG) - np.sin(angle_rad)))
        return np.maximum(travel, 0.0) if self.one_way else travel

    def _torque(self, angle_rad: Floats, arm: Arm) -> Floats:
        force = self.rate_N_per_mm * N_PER_MM * self._travel(angle_rad, arm)
        return np.asarray(force * arm.length_m * np.cos(angle_rad))

    def law(self, arm: Arm) -> PivotLaw:
        """The spring's law on this arm."""
        angles = arm.angles()
        return PivotLaw(angles, self._torque(angles, arm))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, axle load, travel from free and stored energy at `angle_rad` [rad]; no stress is known."""
        at = np.array([angle_rad])
        travel = float(self._travel(at, arm)[0])
        load = self.rate_N_per_mm * N_PER_MM * travel
        torque = float(self._torque(at, arm)[0])
        return SpringFigures(torque, load, travel, "m", 0.0, "none", 0.5 * load * travel)
