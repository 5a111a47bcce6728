"""What the springs have in common that push along the line between a seat on the arm and a seat on the hull."""

from __future__ import annotations

import math
from abc import abstractmethod
from typing import Annotated

import numpy as np
from pydantic import Field

from trundle.fields.base import Axes, PointMm
from trundle.fields.shape import Points, Shape
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span
from trundle.fields.sketch_parts import placed, thin
from trundle.fields.step import By, Move
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Adjuster, Pose, Push
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import refuse
from trundle.springs.doubtful import Doubts, On
from trundle.springs.laws import Floats, Mount
from trundle.springs.on_arm import in_hull, on_arm
from trundle.units import MM


class BetweenSeats(ArmSpring):
    """Torque = force x d(length)/d(angle), so it changes with the arm's angle. Seats act as points."""

    on_arm_mm: Annotated[SpanMm, By(5)]
    """From the pivot to the lower seat or eye, along the line to the axle, mm.

    Usual: half to two thirds of the arm's length.
    Measure: rule from the middle of the pivot bolt to the middle of the lower seat or bolt, along the arm.
    If wrong: rate and force at the axle go with its square: 10 % is a fifth.
    Also called: motion ratio, leverage
    """

    anchor_mm: Annotated[PointMm, Axes("towards the axle", "up"), Move(5, 5)]
    """Upper seat or eye on the hull, measured from the arm's pivot (not from the hull's datum): towards the axle, then
    up, mm.

    Usual: about as far towards the axle as the lower seat, and up by the spring's loaded length.
    Measure: plumb line from the upper bolt to the pivot's height: rule along the hull to the pivot, then up the line.
    If wrong: the spring leans, its leverage and the ride height change; measured from the tail or the belly it is
    refused or nonsense.
    Also called: top mount, upper mount, shock mount, chassis mount
    """

    above_arm_mm: Annotated[float, Field(ge=-500, le=500), By(5)] = 0.0
    """Lower seat or eye above the line from pivot to axle, square to it, mm; negative: below it.

    Usual: 0 to 40: half the arm's height and the seat's plate.
    Measure: straightedge from pivot bolt to axle bolt, rule square to it up to the seat's face or the eye's bolt.
    If wrong: the spring is shorter or longer in place by as much, and the hull stands lower or higher by about that.
    """

    @abstractmethod
    def push_N(self, length_m: Floats) -> Floats:
        """Force along the line with the seats `length_m` apart [N], shape of `length_m`; positive pushes them apart."""

    def _length(self, angle_rad: Floats) -> tuple[Floats, Floats]:
        """(distance between the seats [m], its change with the angle [m/rad])."""
        along, above = self.on_arm_mm * MM, self.above_arm_mm * MM
        cos, sin = np.cos(angle_rad), np.sin(angle_rad)
        # Lower seat from the pivot; the arm points (cos, -sin), its top side (sin, cos).
        dx = along * cos + above * sin - self.anchor_mm[0] * MM
        dy = -along * sin + above * cos - self.anchor_mm[1] * MM
        length = np.hypot(dx, dy)
        turn = dx * (-along * sin + above * cos) + dy * (-along * cos - above * sin)
        return length, turn / np.maximum(length, 1e-9)

    def seats_doubtful(self, on: On) -> Doubts:
        """Both seats are measured from the pivot."""
        far = math.hypot(*self.anchor_mm)
        if far > 2.5 * on.arm_mm:
            yield (
                "anchor_mm",
                f"it is {far:.0f} mm from the pivot of an arm of {on.arm_mm:g} mm: it is measured from the "
                "arm's pivot, not "
                "from the hull's datums",
            )
        if self.on_arm_mm > on.arm_mm:
            yield (
                "on_arm_mm",
                f"it is {self.on_arm_mm:g} mm from the pivot along an arm of {on.arm_mm:g} mm: not from the axle",
            )

    def _at(self, angle_rad: float) -> tuple[float, float]:
        """The same at one angle."""
        length, turn = self._length(np.array([angle_rad]))
        return float(length[0]), float(turn[0])

    def _torque(self, angles_rad: Floats, name: str, least_m: float) -> Floats:
        """Torque about the pivot [N.m], shape of `angles_rad`. name: what messages call the spring.

        Raises InputError if the seats come closer than `least_m`, or it lifts the axle somewhere.
        """
        length, turn = self._length(angles_rad)
        if float(length.min()) < least_m:
            raise refuse(f"the {name}'s two seats meet within the arm's range", "anchor_mm")
        torque = self.push_N(length) * turn
        if float(torque.min()) < 0.0:
            at = np.degrees(angles_rad[int(np.argmin(torque))])
            raise refuse(
                f"the {name} pulls the axle up instead of pushing it down (arm at {at:.0f} deg): "
                "its upper seat is on the wrong side of the arm",
                "anchor_mm",
            )
        return np.asarray(torque)

    def _seats_mm(self, pose: Pose) -> tuple[Points, Points]:
        """Lower and upper seat, for drawing."""
        c, s = np.cos(pose.angles_rad[0]), np.sin(pose.angles_rad[0])
        ahead, up = np.array([pose.sign * c, -s]), np.array([pose.sign * s, c])
        low = ahead * self.on_arm_mm + up * self.above_arm_mm
        return low, np.array([pose.sign * self.anchor_mm[0], self.anchor_mm[1]])

    def bears_m(self, mount: Mount) -> float:
        """At its seat on the arm."""
        return self.on_arm_mm * MM

    def push(self, angle_rad: Floats, mount: Mount) -> Push:
        """Along the line between its seats."""
        along, above = self.on_arm_mm * MM, self.above_arm_mm * MM
        cos, sin = np.cos(angle_rad), np.sin(angle_rad)
        ax, ay = self.anchor_mm[0] * MM, self.anchor_mm[1] * MM
        # The upper seat from the pivot, along the arm and square to it.
        dx, dy = along - (ax * cos - ay * sin), above - (ax * sin + ay * cos)
        length, turn = self._length(angle_rad)
        lever = np.maximum(turn, 1e-3) * length
        return Push(np.full_like(angle_rad, along), dx / lever, dy / lever)

    def adjuster(self) -> Adjuster | None:
        """Its seats are fixed."""
        return None

    def arm_sketch(self, around: Around) -> Sketch:
        """From the side on its arm, with the places of its two seats."""
        arm = on_arm(around)
        foot, seat = arm.along(self.on_arm_mm), arm.along(self.on_arm_mm, self.above_arm_mm)
        high = (around.sign * self.anchor_mm[0], self.anchor_mm[1])
        lines: tuple[Shape, ...] = (thin(((0.0, 0.0), foot)), thin((foot, seat)))
        hull = thin(((high[0] - 45.0, high[1]), (high[0] + 45.0, high[1])))
        marks: tuple[Mark, ...] = (
            Span("on_arm_mm", (0.0, 0.0), foot),
            Span("above_arm_mm", foot, seat) if self.above_arm_mm else Note("above_arm_mm", seat),
            *placed("anchor_mm", high),
            Note("kind", (0.6 * high[0] + 0.4 * seat[0], 0.6 * high[1] + 0.4 * seat[1])),
        )
        shapes = (*arm.shapes(), hull, *self.shapes(arm.pose()), *lines)
        sketch = Sketch(f"{self.kind_name()} on its arm", "side", shapes, marks)
        return in_hull(sketch, around)
