"""A spring stated by its rate at the axle.

Travel is r (sin(free) - sin(angle)); torque about the pivot is force x r cos(angle).
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from trundle.fields.sketch import Around, Note, Sketch
from trundle.fields.step import By, Times
from trundle.fields.stock import SwingDeg
from trundle.springs.doubtful import Doubts, On, rate
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, PivotLaw
from trundle.springs.on_arm import Curve, on_arm
from trundle.springs.stated_rate import StatedRate
from trundle.units import DEG, N_PER_MM


class AxleRate(StatedRate):
    """A spring known by its rate at the axle: vertical force there = rate x how far the axle has risen from free, both
    ways unless `one_way`.

    Also called: wheel rate, unknown spring
    """

    EXAMPLE: ClassVar[str] = 'kind = "axle rate"\nrate_N_per_mm = 8\nfree_angle_deg = 32\n'

    kind: Literal["axle rate"] = "axle rate"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=100_000), Times(1.25)]
    """Vertical force at the axle for each millimetre that it rises, one side's, N/mm.

    Usual: load on the arm / 40: a wheel that carries 30 kg, 300 N, wants 6 to 10.
    Measure: hull on blocks, a bathroom scale under the wheel on a jack: lift it by 20 mm, kilograms more x 0.49.
    If wrong: the vehicle stands and bounces otherwise than in life: twice the rate is half the sag and 1.4 times the
    frequency.
    Also called: wheel rate, spring rate
    """

    free_angle_deg: Annotated[SwingDeg, By(2)]
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

    Usual: false for what is bolted at both ends (bars, bonded rubber), true for what only rests (a coil, a leaf, a bump
    rubber).
    Measure: lift the hull: does the arm drop loose on to its stop? Then true.
    If wrong: with false a wheel over a hollow is held up that would drop into it.
    """

    def _travel(self, angle_rad: Floats, arm: Arm) -> Floats:
        travel = np.asarray(arm.length_m * (np.sin(self.free_angle_deg * DEG) - np.sin(angle_rad)))
        return np.maximum(travel, 0.0) if self.one_way else travel

    def _torque(self, angle_rad: Floats, arm: Arm) -> Floats:
        force = self.rate_N_per_mm * N_PER_MM * self._travel(angle_rad, arm)
        return np.asarray(force * arm.length_m * np.cos(angle_rad))

    def doubtful(self, on: On) -> Doubts:
        """What the load presses it by."""
        yield from rate("rate_N_per_mm", self.rate_N_per_mm, on)

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

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The arm, and the force over the axle's travel."""
        arm = on_arm(around).law_arm
        angles = np.linspace(self.free_angle_deg * DEG - 0.6, self.free_angle_deg * DEG + 0.25, 60)[::-1]
        travel = arm.length_m * (np.sin(self.free_angle_deg * DEG) - np.sin(angles))
        law = Curve(travel, self.rate_N_per_mm * N_PER_MM * self._travel(angles, arm))
        marks = (Note("rate_N_per_mm", law.on(0.7)), Note("one_way", law.on(0.1)))
        curve = Sketch("force over rise of the axle", "curve", law.shapes(), marks)
        return self.arm_sketch(around, self.free_angle_deg), curve
