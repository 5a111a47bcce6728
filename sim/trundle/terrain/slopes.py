"""Flat ground and ramps."""

from __future__ import annotations

import math
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.terrain.base import Floats, HeightMm, LevelObstacle, Obstacle, RunMm
from trundle.units import DEG, MM


class Flat(LevelObstacle):
    """A stretch of flat ground with a name or a speed of its own."""

    kind: Literal["flat"]
    length_mm: RunMm
    """How long, mm."""

    def length_m(self) -> float:
        """As given."""
        return self.length_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Zero throughout."""
        return np.zeros_like(x_m)

    def title(self) -> str:
        """`flat 2 m`."""
        return f"flat {self.length_mm * MM:g} m"


class _Ramp(Obstacle):
    """A straight slope between two levels, given by its height and either its length or its angle."""

    height_mm: HeightMm
    """From the lower level to the upper, mm."""

    length_mm: RunMm | None = None
    """Length measured along the flat, mm."""

    slope_deg: Annotated[float, Field(gt=0, le=60)] | None = None
    """Angle to the flat, degrees."""

    @model_validator(mode="after")
    def _one_way(self) -> _Ramp:
        if (self.length_mm is None) == (self.slope_deg is None):
            raise PlacedError("a ramp needs length_mm or slope_deg", "slope_deg", allowed="one of the two")
        return self

    def length_m(self) -> float:
        """Along the flat: as given, or height / tan(slope)."""
        if self.length_mm is not None:
            return self.length_mm * MM
        assert self.slope_deg is not None
        return self.height_mm * MM / math.tan(self.slope_deg * DEG)

    def _slope(self) -> str:
        angle = math.degrees(math.atan2(self.height_mm * MM, self.length_m()))
        return f"{self.height_mm:g} mm at {angle:.3g} deg"


class RampUp(_Ramp):
    """A slope to climb."""

    kind: Literal["ramp up"]

    def heights_m(self, x_m: Floats) -> Floats:
        """A straight line from 0 up to the height."""
        return np.asarray(self.height_mm * MM * (x_m / self.length_m()), dtype=np.float64)

    def rise_m(self) -> float:
        """Up by its height."""
        return self.height_mm * MM

    def title(self) -> str:
        """`ramp up 300 mm at 15 deg`."""
        return f"ramp up {self._slope()}"


class RampDown(_Ramp):
    """A slope to descend."""

    kind: Literal["ramp down"]

    def heights_m(self, x_m: Floats) -> Floats:
        """A straight line from 0 down to minus the height."""
        return np.asarray(-self.height_mm * MM * (x_m / self.length_m()), dtype=np.float64)

    def rise_m(self) -> float:
        """Down by its height."""
        return -self.height_mm * MM

    def title(self) -> str:
        """`ramp down 300 mm at 15 deg`."""
        return f"ramp down {self._slope()}"
