"""Flat ground and ramps."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape
from trundle.fields.sketch import Mark, Note, Span, Turn
from trundle.fields.sketch_parts import thin
from trundle.terrain.base import Floats, HeightMm, LevelObstacle, Obstacle, RunMm
from trundle.units import DEG, MM


class Flat(LevelObstacle):
    """A stretch of flat ground with a name or a speed of its own.

    Also called: level, straight, rest
    """

    EXAMPLE: ClassVar[str] = 'kind = "flat"\nlength_mm = 2000\n'

    kind: Literal["flat"]
    length_mm: RunMm
    """How long, along the course, mm.

    Usual: 2000.
    Measure: tape along the ground.
    If wrong: nothing but where the next one lies.
    """

    def length_m(self) -> float:
        """As given."""
        return self.length_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Zero throughout."""
        return np.zeros_like(x_m)

    def title(self) -> str:
        """`flat 2 m`."""
        return f"flat {self.length_mm * MM:g} m"

    def marks(self) -> tuple[Mark, ...]:
        """Along it."""
        long = self.length_mm
        return Span("length_mm", (0.0, 0.0), (long, 0.0), "x"), Note("kind", (0.5 * long, 0.0))


class _Ramp(Obstacle):
    """A straight slope between two levels, given by its height and either its length or its angle."""

    height_mm: HeightMm
    """From the lower level to the upper, mm.

    Usual: 200 to 1000.
    Measure: level and rule in pieces along it, added up; or a hose full of water from end to end.
    If wrong: it is longer or steeper than in life.
    Also called: rise
    """

    length_mm: RunMm | None = None
    """From foot to top measured along the flat, not along the slope, mm; this or slope_deg.

    Usual: three to ten times the height.
    Measure: level held out from the top, plumb line down to the foot: tape along the level.
    If wrong: measured along the slope it is too long, by 3 % at 15 deg.
    Also called: run
    """

    slope_deg: Annotated[float, Field(gt=0, le=60)] | None = None
    """Angle to the flat, degrees; this or length_mm.

    Usual: 5 to 20; what signs give in percent is 100 x rise / run: 10 % is 5.7 deg.
    Measure: phone on a straight board on the slope; or rise over run, whose arc tangent it is.
    If wrong: drive and grip pass their limits within a few degrees: percent put in for degrees is nearly twice too
    steep.
    Also called: gradient, incline, grade
    """

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

    def marks(self) -> tuple[Mark, ...]:
        """Its height at its end; length and angle, of which the file has one."""
        long, rise = self.length_m() / MM, self.rise_m() / MM
        slope = math.degrees(math.atan2(rise, long))
        return (
            Span("height_mm", (long, 0.0), (long, rise), "y"),
            Span("length_mm", (0.0, 0.0), (long, rise), "x"),
            Turn("slope_deg", (0.0, 0.0), 0.5 * long, 0.0, slope),
            Note("kind", (0.75 * long, 0.75 * rise)),
        )

    def in_front(self) -> tuple[Shape, ...]:
        """The flat that its angle is measured from."""
        return (thin(((0.0, 0.0), (self.length_m() / MM, 0.0))),)


class RampUp(_Ramp):
    """A slope to climb.

    Also called: hill, incline, slope, loading ramp
    """

    EXAMPLE: ClassVar[str] = 'kind = "ramp up"\nheight_mm = 300\nslope_deg = 15\n'

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
    """A slope to descend.

    Also called: descent, downhill
    """

    EXAMPLE: ClassVar[str] = 'kind = "ramp down"\nheight_mm = 300\nlength_mm = 1500\n'

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
