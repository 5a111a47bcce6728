"""A spring stated by its rate at the pivot."""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from trundle.fields.sketch import Around, Note, Sketch
from trundle.fields.step import By, Times
from trundle.fields.stock import TurnDeg
from trundle.springs.doubtful import Doubts, On, rate
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, PivotLaw
from trundle.springs.on_arm import Curve
from trundle.springs.stated_rate import StatedRate
from trundle.units import DEG, NM_PER_DEG


class PivotRate(StatedRate):
    """A spring known by its torque at the pivot: torque = rate x (free angle - arm angle). It holds the arm both ways,
    like a bar, unless `one_way`.

    Also called: torsional rate, rubber torsion axle, rotary spring
    """

    EXAMPLE: ClassVar[str] = 'kind = "pivot rate"\nrate_Nm_per_deg = 5\nfree_angle_deg = 32\n'

    kind: Literal["pivot rate"] = "pivot rate"

    rate_Nm_per_deg: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Torque at the pivot for each degree that the arm is pushed up, one side's, N.m/deg.

    Usual: load on the arm x its length / 12 deg: 300 N on 0.2 m wants 4 to 6.
    Measure: hang a known mass on the arm's end, read the degrees on a phone: kilograms x 9.81 x arm length in metres /
    degrees.
    If wrong: the vehicle stands and bounces otherwise than in life: twice the rate is half the sag and 1.4 times the
    frequency.
    Also called: torsional rate, rotational stiffness
    """

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle at which the spring carries nothing, from the hull's horizontal down to the line from pivot to axle,
    deg; negative above it.

    Usual: 10 to 25 deg lower than the arm stands.
    Measure: lift the hull until the wheel hangs loose, phone or level on the arm; or rise of pivot over axle / arm
    length is its sine.
    If wrong: a degree too low and the hull stands about arm length / 60 too high.
    """

    one_way: bool = False
    """true: the spring only pushes the axle down and goes loose below its free angle; false: it also holds the arm up
    there.

    Usual: false for what is fixed at both ends (bars, bonded rubber), true for what only rests on the arm.
    Measure: lift the hull: does the arm drop loose on to its stop? Then true.
    If wrong: with false a wheel over a hollow is held up that would drop into it.
    """

    def _torque(self, angle_rad: Floats) -> Floats:
        torque = self.rate_Nm_per_deg * NM_PER_DEG * (self.free_angle_deg * DEG - angle_rad)
        return np.maximum(torque, 0.0) if self.one_way else torque

    def doubtful(self, on: On) -> Doubts:
        """The same, by the arm."""
        yield from rate("rate_Nm_per_deg", math.degrees(self.rate_Nm_per_deg) * 1e3 / on.arm_mm**2, on)

    def law(self, arm: Arm) -> PivotLaw:
        """The spring's law on this arm."""
        angles = arm.angles()
        return PivotLaw(angles, self._torque(angles))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, twist from free and stored energy at `angle_rad` [rad]; no stress is known."""
        torque = float(self._torque(np.array([angle_rad]))[0])
        twist = torque / (self.rate_Nm_per_deg * NM_PER_DEG)
        return SpringFigures(torque, 0.0, twist, "rad", 0.0, "none", 0.5 * torque * twist)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The arm, and the torque over its angle."""
        up = np.linspace(-10.0, 30.0, 41)
        law = Curve(up, self._torque((self.free_angle_deg - up) * DEG))
        marks = (Note("rate_Nm_per_deg", law.on(0.7)), Note("one_way", law.on(0.1)))
        curve = Sketch("torque over degrees up from free", "curve", law.shapes(), marks)
        return self.arm_sketch(around, self.free_angle_deg), curve
