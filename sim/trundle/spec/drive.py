"""What pushes, what brakes, what grips."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.speed import SpeedMS
from trundle.fields.step import Kept, Times
from trundle.spec.drive_drawing import drive_sketches


class Drive(Spec):
    """Motor, brake and grip. Torques are both sides together, at the sprocket (or wheel) axle."""

    EXAMPLE: ClassVar[str] = """speed_m_s = 1.2
torque_Nm = 180
power_W = 2000
brake_N = 1200
grip = 0.7
"""

    speed_m_s: Annotated[SpeedMS, Times(1.25, less_only=True)]
    """Target speed where the course does not set one, m/s."""

    acceleration_m_s2: Annotated[float, Field(ge=0.01, le=10), Kept("how the driver drives")] = 0.8
    """How fast the driver lets the target rise from standstill, m/s2."""

    torque_Nm: Annotated[float, Field(ge=0.1, le=100_000), Times(1.25)] | None = None
    """The most that the motor gives at the sprocket axle, N.m."""

    push_N: Annotated[float, Field(ge=1, le=200_000), Times(1.25)] | None = None
    """The same as a force at the track, N."""

    power_W: Annotated[float, Field(ge=1, le=1_000_000), Times(1.25)] | None = None
    """The most power that the motor gives: the faster it goes, the less it pushes. Left out: no limit."""

    brake_N: Annotated[float, Field(ge=0, le=200_000), Times(1.25)]
    """The most that the brake (or the motor, braking) holds, as a force at the track, N."""

    grip: Annotated[float, Field(ge=0.001, le=1.5), Kept("the ground's")]
    """Friction of track (or tyre) on the course."""

    grip_shear_mm: Annotated[float, Field(ge=0.5, le=100), Kept("the ground's")] = 5.0
    """How far pads and ground shear before all the grip is used, mm (a few on hard ground, 10-25 on soil)."""

    @model_validator(mode="after")
    def _pull_once(self) -> Drive:
        if (self.torque_Nm is None) == (self.push_N is None):
            raise PlacedError("give the motor's limit once: torque_Nm or push_N", "torque_Nm", allowed="one of the two")
        return self

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """At the sprocket, and how a pad grips."""
        return drive_sketches(self, around)
