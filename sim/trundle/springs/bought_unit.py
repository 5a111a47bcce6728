"""What the units have in common that are bought ready, with an eye at each end."""

from __future__ import annotations

import math
from abc import abstractmethod
from functools import partial
from typing import Annotated

import numpy as np
from pydantic import Field

from trundle.fields.shape import Shape, area, disc, line
from trundle.fields.sketch import XY, Note, Round
from trundle.fields.step import Along, Kept, Stock
from trundle.fields.stock import StockMm
from trundle.springs.answers import ArmHole, Bending, MadeOf, Pose
from trundle.springs.bearing import refuse
from trundle.springs.between_seats import BetweenSeats
from trundle.springs.doubtful import Doubts, On
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.on_arm import Curve
from trundle.steel.sizes import DAMPERS_N_S_PER_MM
from trundle.units import MM, N_PER_MM

ROOM_MM = 3.0
"""The sheet says so when a unit comes closer than this to the end of its stroke, mm."""

LineDamping = Annotated[float, Field(ge=0, le=1_000)]
"""Force per speed along a damper, N per mm/s."""


class BoughtUnit(BetweenSeats):
    """A unit bought ready with an eye at each end: it has a longest and a shortest length, and may damp.

    Its damping and dry friction act along it; at the pivot and the axle they are taken with the lever halfway
    between the stops (`remarks` says how much the lever changes over the travel).
    """

    damping_bump_N_s_per_mm: Annotated[
        LineDamping, Stock(DAMPERS_N_S_PER_MM, along=(Along(("damping_droop_N_s_per_mm",)),))
    ] = 0.0
    """Force along the unit for its speed as it is pressed together, N per mm/s; 0: no damper.

    Usual: 0.3 to 2, half of that in droop.
    Measure: hang the unit with its spring off and a mass on it: kilograms x 9.81 / speed in mm/s at which it creeps.
    If wrong: too little and the hull goes on bouncing, too much and blows go through to it.
    Also called: compression damping, bump damping
    """

    damping_droop_N_s_per_mm: Annotated[LineDamping, Stock(DAMPERS_N_S_PER_MM)] | None = None
    """The same as it lengthens, N per mm/s. Left out: as in bump.

    Usual: one and a half to three times that in bump.
    Measure: as in bump, with the unit the other way up.
    If wrong: too much and the wheels stay up after each bump, until the springs are used up.
    Also called: rebound damping, extension damping
    """

    friction_N: Annotated[float, Field(ge=0, le=5_000), Kept("comes with the unit that is bought")] = 0.0
    """Dry friction along the unit, each way: half of what it takes more to press in than it gives coming out, N.

    Usual: 10 to 40.
    Measure: on a bathroom scale: read pressing slowly in, then letting slowly out, at the same length; half the
    difference x 9.81.
    If wrong: too much damps small bumps in the figures that the rider will feel.
    Also called: stiction, seal friction
    """

    eye_mm: Annotated[StockMm, Kept("comes with the unit that is bought")] = 8.0
    """Bolt through its eyes, mm.

    Usual: 8 or 10.
    Measure: calliper on the bolt, or a drill that just fits the eye.
    If wrong: the hole on the arm's template is drilled to the wrong size.
    """

    @property
    @abstractmethod
    def longest_m(self) -> float:
        """Eye to eye, fully out [m]."""

    @property
    @abstractmethod
    def shortest_m(self) -> float:
        """Eye to eye, fully in [m]."""

    @abstractmethod
    def force_at(self, pressed_m: Floats) -> Floats:
        """Force pressed in by `pressed_m` from its longest [N], shape of `pressed_m`, within its stroke."""

    @abstractmethod
    def work_J(self, pressed_m: float) -> float:
        """The integral of that: what it stores [J], within its stroke."""

    @property
    def stroke_m(self) -> float:
        """Longest less shortest [m]."""
        return self.longest_m - self.shortest_m

    def push_N(self, length_m: Floats) -> Floats:
        """Its force [N]; beyond either end of the stroke it stays as it is there."""
        return self.force_at(np.clip(self.longest_m - length_m, 0.0, self.stroke_m))

    def energy_J(self, length_m: float) -> float:
        """What it stores when pressed from its longest to `length_m` [J]."""
        pressed = self.longest_m - length_m
        within = min(max(pressed, 0.0), self.stroke_m)
        return self.work_J(within) + (pressed - within) * float(self.push_N(np.array([length_m]))[0])

    def law(self, arm: Arm) -> PivotLaw:
        """The unit's law on this arm; past the stops, where the table only runs on, it keeps its end forces.

        Raises InputError if the arm's travel pulls it longer than it is or presses it shorter, if its eyes meet, if
        one lies beyond the axle, or if it lifts the axle.
        """
        name = self.kind_name()
        if (over := self.on_arm_mm - arm.length_m / MM) > 0.0:
            raise refuse(
                f"the {name}'s eye lies {over:.0f} mm beyond the axle", "on_arm_mm", f"up to {arm.length_m / MM:g}"
            )
        angles = arm.angles()
        torque = self._torque(angles, name, 1.0 * MM)
        between = (angles >= arm.bump_rad - 1e-9) & (angles <= arm.droop_rad + 1e-9)
        length = self._length(angles[between])[0]
        if (most := float(length.max())) > self.longest_m:
            raise refuse(
                f"the {name} is too short: between the stops its eyes come {most / MM:.0f} mm apart, "
                f"and it is {self.longest_m / MM:.0f} mm long",
                "anchor_mm",
                f"eyes at most {self.longest_m / MM:.0f} mm apart at the droop stop, or a longer one",
            )
        if (least := float(length.min())) < self.shortest_m:
            raise refuse(
                f"the {name} is too long: between the stops its eyes come within {least / MM:.0f} mm, "
                f"and it cannot be shorter than {self.shortest_m / MM:.0f} mm",
                "anchor_mm",
                f"eyes at least {self.shortest_m / MM:.0f} mm apart at the bump stop, or one with more stroke",
            )
        droop = self.damping_bump_N_s_per_mm if self.damping_droop_N_s_per_mm is None else self.damping_droop_N_s_per_mm
        ratio = self._ratio(arm, arm.middle_rad) ** 2 * N_PER_MM
        friction = self.friction_N * self._at(arm.middle_rad)[1]
        return PivotLaw(angles, torque, friction, self.damping_bump_N_s_per_mm * ratio, droop * ratio)

    def _ratio(self, arm: Arm, angle_rad: float) -> float:
        """Speed of the unit over vertical speed of the axle: d(length)/d(angle) over r cos(angle)."""
        return self._at(angle_rad)[1] / (arm.length_m * math.cos(angle_rad))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, load along it, how far it is pressed in, stored energy at `angle_rad` [rad]; no stress is known."""
        length, turn = self._at(angle_rad)
        load = float(self.push_N(np.array([length]))[0])
        pressed = self.longest_m - length
        notes = partial(self._notes, pressed / MM)
        return SpringFigures(load * turn, load, pressed, "m", 0.0, "none", self.energy_J(length), notes_of=notes)

    def _notes(self, pressed_mm: float) -> tuple[str, ...]:
        """What is near the end of its stroke, or past it: a bump pad gives way beyond the stop."""
        name, left = self.kind_name(), self.stroke_m / MM - pressed_mm
        if left < -0.05:
            return (f"the {name} is driven {-left:.1f} mm past its end where the pad gives way: it will break",)
        if left < ROOM_MM:
            return (f"the {name} has only {max(left, 0.0):.1f} mm of its stroke left",)
        if pressed_mm < 0.0:
            return (f"the {name} is pulled {-pressed_mm:.1f} mm past its full length before the stop holds the arm",)
        return ()

    def made_of(self) -> MadeOf:
        """It is bought: nothing of its inside is known."""
        return MadeOf(None, "bought: what it bears is its maker's to say")

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is not bent."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """For the bolt of its lower eye."""
        return (ArmHole(f"{self.kind_name()}'s eye", self.on_arm_mm, self.above_arm_mm, self.eye_mm),)

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """How its damping is taken to the axle, if it has any."""
        arm = mount.arm
        if self.damping_bump_N_s_per_mm == 0.0 and not self.damping_droop_N_s_per_mm:
            return ()
        low, middle, high = (self._ratio(arm, a) for a in (arm.bump_rad, arm.middle_rad, arm.droop_rad))
        return (
            f"it moves {middle:.2f} mm for a millimetre of the axle halfway between the stops ({low:.2f} at bump, "
            f"{high:.2f} at droop); its damping is taken as it is halfway",
        )

    def doubtful(self, on: On) -> Doubts:
        """Its eyes."""
        yield from self.seats_doubtful(on)

    def unranked(self) -> frozenset[str]:
        """Damping and friction move no figure of the standing sheet."""
        return frozenset({"damping_bump_N_s_per_mm", "damping_droop_N_s_per_mm", "friction_N", "eye_mm"})

    def _eyes(self, pose: Pose) -> tuple[Shape, ...]:
        """Both eyes with their bolts."""
        rims = [disc("steel", float(x), float(y), self.eye_mm) for x, y in self._seats_mm(pose)]
        return *rims, *(disc("hole", float(x), float(y), 0.5 * self.eye_mm) for x, y in self._seats_mm(pose))

    def _tube_and_rod(self, pose: Pose, tube_mm: float, across_mm: float) -> tuple[Shape, ...]:
        """A tube `tube_mm` long that hangs from the hull, its rod reaching the arm."""
        low, high = self._seats_mm(pose)
        along = (low - high) / max(float(np.hypot(*(low - high))), 1e-6)
        side = np.array([-along[1], along[0]]) * 0.5 * across_mm
        end = high + along * tube_mm
        tube = np.array([high + side, high - side, end - side, end + side])
        return line("steel", np.array([end, low]), 0.4 * across_mm), area("spring", tube)

    def _lying(self, length_m: float, up_mm: float) -> tuple[Shape, ...]:
        """By itself, its hull's eye at the origin's side and its arm's eye ahead, at this length [m]."""
        change = {"on_arm_mm": length_m / MM, "above_arm_mm": 0.0, "anchor_mm": (0.0, 0.0)}
        shapes = self.model_copy(update=change).shapes(Pose((0.0,), (0.0,), 1.0, length_m / MM))
        return tuple(s.moved(0.0, np.array([0.0, up_mm])) for s in shapes)

    def own_marks(self) -> tuple[Round | Note, ...]:
        """What every unit has, on the one that lies free at the origin's level."""
        long = self.longest_m / MM
        places: dict[str, XY] = {
            "damping_bump_N_s_per_mm": (0.3 * long, 0.0),
            "damping_droop_N_s_per_mm": (0.42 * long, 0.0),
            "friction_N": (0.8 * long, 0.0),
        }
        return Round("eye_mm", (long, 0.0), 0.5 * self.eye_mm, "diameter", 30.0), *(
            Note(field, at) for field, at in places.items()
        )

    def law_curve(self) -> Curve:
        """Its force over how far it is pressed in."""
        pressed = np.linspace(0.0, self.stroke_m, 60)
        return Curve(pressed, self.force_at(pressed))
