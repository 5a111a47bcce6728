"""What the springs have in common that push along the line between a seat on the arm and a seat on the hull."""

from __future__ import annotations

from abc import abstractmethod
from typing import Annotated

import numpy as np
from pydantic import Field

from trundle.fields.base import PointMm
from trundle.fields.shape import Points
from trundle.fields.step import By, Move
from trundle.fields.stock import SpanMm
from trundle.springs.answers import Adjuster, Pose, Push
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import refuse
from trundle.springs.laws import Floats, Mount
from trundle.units import MM


class BetweenSeats(ArmSpring):
    """Torque = force x d(length)/d(angle), so it changes with the arm's angle. Seats act as points."""

    on_arm_mm: Annotated[SpanMm, By(5)]
    """Pivot to lower seat, along the arm, mm."""

    anchor_mm: Annotated[PointMm, Move(5, 5)]
    """Upper seat on the hull, measured from the pivot: [towards the axle, up], mm."""

    above_arm_mm: Annotated[float, Field(ge=-500, le=500), By(5)] = 0.0
    """Lower seat above the pivot-axle line, square to it, mm."""

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
