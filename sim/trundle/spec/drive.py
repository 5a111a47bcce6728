"""What pushes, what brakes, what grips."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.speed import SpeedMS
from trundle.fields.step import Kept, Times
from trundle.spec.drive_drawing import drive_sketches
from trundle.spec.motor import Battery, Motor

Steering = Literal["a motor each side", "clutch and brake"]
"""By what it turns."""

ONE_OF = "one of torque_Nm, push_N and a table [drive.motor]"
"""By what a file says how hard it pushes."""


class Drive(Spec):
    """Motor, brake and grip. Torques are both sides together, at the sprocket (or wheel) axle. How hard it pushes is
    given once: torque_Nm or push_N (each with power_W, if there is a limit), or a table [drive.motor].

    Also called: motor, engine, drivetrain, gearbox, transmission, traction.
    """

    EXAMPLE: ClassVar[str] = """speed_m_s = 1.2
torque_Nm = 180
power_W = 2000
brake_N = 1200
grip = 0.7
"""

    speed_m_s: Annotated[SpeedMS, Times(1.25, less_only=True)]
    """Target speed where the course does not set one, m/s (1 m/s is 3.6 km/h).

    Usual: 0.5 to 2 m/s over obstacles, up to 4 on the level.
    Measure: time ten metres.
    If wrong: blows go with the speed: twice as fast, about twice the jolt.
    Also called: driving speed, pace.
    """

    acceleration_m_s2: Annotated[float, Field(ge=0.01, le=10), Kept("how the driver drives")] = 0.8
    """How fast the driver lets the target rise from standstill, m/s2.

    Usual: 0.3 to 1.5 m/s2.
    Measure: seconds from standstill to speed: speed over time.
    If wrong: it nods and slips more, or less, as it moves off.
    Also called: throttle ramp, soft start.
    """

    torque_Nm: Annotated[float, Field(ge=0.1, le=100_000), Times(1.25)] | None = None
    """The most that the motor gives at the sprocket axle, both sides, N.m: motor torque x gear ratio x efficiency, both
    sides together. This or push_N, or a table [drive.motor].

    Usual: weight in N x sprocket radius in m x 0.5 to 1.
    Measure: a bar of 0.5 m on the sprocket shaft, its end on a bathroom scale, full throttle for a moment: kg x 9.81 x
    0.5; add both sides.
    If wrong: given for one motor of two it stalls on a kerb that it would climb.
    Also called: motor torque, moment, stall torque, drive torque.
    """

    push_N: Annotated[float, Field(ge=1, le=200_000), Times(1.25)] | None = None
    """The same as a force at the track (or at the wheels' treads), both sides together, N. This or torque_Nm, or a
    table [drive.motor].

    Usual: 0.5 to 1 of the weight.
    Measure: tie it to a post through a crane scale and pull, on ground where it does not slip: kg x 9.81.
    If wrong: as for torque_Nm.
    Also called: tractive effort, drawbar pull, thrust, pulling force.
    """

    power_W: Annotated[float, Field(ge=1, le=1_000_000), Times(1.25)] | None = None
    """The most power that the motor gives, W: the faster it goes, the less it pushes. Left out: no limit.
    With torque_Nm or push_N; a [drive.motor] has its own curve.

    Usual: 5 to 15 W for each kg of the whole vehicle.
    Measure: the motor's plate, less a fifth for gears and chain; or weight in N x height climbed / seconds.
    If wrong: too low, it slows down on slopes; too high, or left out, it pushes at speed as no motor does.
    Also called: motor power, watts, horsepower, kW.
    """

    brake_N: Annotated[float, Field(ge=0, le=200_000), Times(1.25)]
    """The most that the brake holds at the track, both sides together, N. Or the motor, braking.

    Usual: 0.5 to 1 of the weight.
    Measure: brake on, pull by a crane scale until the sprocket turns: kg x 9.81; or steepest slope that it parks on:
    weight x sine.
    If wrong: it runs away downhill, or nods too hard as it stops.
    Also called: braking force, parking brake, hold.
    """

    grip: Annotated[float, Field(ge=0.001, le=1.5), Kept("the ground's")]
    """Friction of track (or tyre) on the course: the most that it pushes over its load.

    Usual: 0.6 to 0.9 rubber on dry concrete, 0.4 to 0.6 on wet or wood, 0.3 to 0.5 on soil and grass.
    Measure: brake on, drag the vehicle with a crane scale: reading over weight; or the slope on which it begins to
    slide: its tangent.
    If wrong: too high, it climbs what it would slip on.
    Also called: friction coefficient, traction, adhesion.
    """

    grip_shear_mm: Annotated[float, Field(ge=0.5, le=100), Kept("the ground's")] = 5.0
    """How far pads and ground shear before all the grip is used, mm (a few on hard ground, 10-25 on soil).

    Usual: 3 to 6 mm on hard ground, 10 to 25 mm on soil.
    Measure: brake on, chalk mark at the ground, pull until it slides: how far it came before it did.
    If wrong: pull builds up too briskly or too late; the rest hangs little on it.
    Also called: shear displacement, shear modulus of soil, tread squirm.
    """

    steering: Steering = "a motor each side"
    """By what it turns. a motor each side: either side pulls forward or back, with half of the torque and power, and it
    spins on the spot. clutch and brake: one motor; the inner side is let go and braked, the outer one has all of it.

    If wrong: it is told to spin on the spot, or to turn by a motor that it has not.
    Also called: skid steering, tank steering, differential steering, steering levers, neutral turn.
    """

    motor: Motor | None = None
    """The motor by its torque over speed, with ratio and efficiency, in place of torque_Nm or push_N: [drive.motor].
    The run then pushes as it can at its speed; heat and battery are told."""

    battery: Battery | None = None
    """What it draws from: [drive.battery]. Left out: no range is told."""

    @model_validator(mode="after")
    def _pull_once(self) -> Drive:
        given = [n for n in ("torque_Nm", "push_N", "motor") if getattr(self, n) is not None]
        if not given:
            raise PlacedError("nothing says how hard it pushes", "torque_Nm", allowed=ONE_OF)
        if given[1:]:
            raise PlacedError(f"how hard it pushes is given by {' and by '.join(given)}", given[-1], allowed=ONE_OF)
        if self.motor is not None and self.power_W is not None:
            raise PlacedError(
                "power_W is a limit on torque_Nm or push_N; the motor's curve has its own power", "power_W",
                allowed="left out beside [drive.motor]",
            )  # fmt: skip
        return self

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """At the sprocket, and how a pad grips."""
        return drive_sketches(self, around)
