"""The motor as its maker's sheet has it: torque over speed, gears, how it warms up and what current it draws."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Kept, Times
from trundle.spec.motor_drawing import battery_sketches, motor_sketches

MOST_POINTS = 24
"""Points that a curve may have; the model keeps room for as many and one more (model.arrays)."""

FALLS_WITHIN = 0.05
"""A curve that ends with torque left falls to nothing within this share of its last speed: a governor's droop, or
what the supply has no volts for (common practice, no source)."""

GEARS = 0.8
"""Share of the torque that arrives where a file does not say: two chains or a chain and a gearbox (common practice,
no source)."""

MOTOR = 0.75
"""Mechanical over electrical power of a motor of which nothing is known (common practice, no source)."""

Rpm = Annotated[float, Field(ge=0, le=100_000)]
Torque = Annotated[float, Field(ge=0, le=10_000)]
CurvePoint = Annotated[tuple[Rpm, Torque], Field(strict=False)]
"""A point [rev/min, N.m] of a curve."""

Curve = Annotated[tuple[CurvePoint, ...], Field(strict=False, min_length=2, max_length=MOST_POINTS)]
"""Torque over speed."""

TWO_FORMS = "curve_rpm_Nm, or stall_Nm with no_load_rpm"
"""By what a motor's torque over speed is given."""


class Motor(Spec):
    """One motor by its torque over speed, as its sheet has it, how many of them there are, and the gears down to the
    sprocket. Give curve_rpm_Nm, or stall_Nm with no_load_rpm. Beyond its highest speed it gives nothing and does not
    brake: braking is brake_N's. All figures are one motor's, at its own shaft.

    Also called: electric motor, hub motor, wiper motor, wheelchair motor, petrol engine, engine.
    """

    EXAMPLE: ClassVar[str] = """count = 2
stall_Nm = 24
no_load_rpm = 3000
ratio = 15
efficiency = 0.82
continuous_Nm = 4
heats_up_s = 900
torque_Nm_per_A = 0.075
resistance_ohm = 0.06
no_load_A = 2
"""

    count: Annotated[int, Field(ge=1, le=8), Kept("follows from how it is driven")]
    """How many such motors drive it, both sides together.

    Usual: 2, one a side; 1 through a differential or two clutches.
    Measure: count them.
    If wrong: it pulls twice what it does, or half.
    Also called: number of motors, twin motors, dual motors.
    """

    curve_rpm_Nm: Annotated[Curve, Kept("a property of the motor")] | None = None
    """Points [rev/min, N.m] of full throttle, speed rising, straight between. This or stall_Nm with no_load_rpm. Where
    the torque is less at lower speed (an engine), a clutch or belt is taken to slip, and it gives the best of all
    higher speeds; behind the last point it falls to nothing within a twentieth of that speed.

    Usual: 3 to 8 points; of a motor the first at 0 rev/min, flat as far as its controller limits the current; of an
    engine from where the clutch takes hold up to the governor.
    Measure: the sheet's curve; or a bar on the shaft and a scale at several speeds, a strobe or a phone for the speed.
    If wrong: it climbs, or comes up to a speed, that it would not.
    Also called: torque curve, performance curve, dyno curve, engine curve.
    """

    stall_Nm: Annotated[float, Field(gt=0, le=10_000), Kept("a property of the motor")] | None = None
    """Torque at standstill with full volts, N.m; this and no_load_rpm make a straight line. In place of curve_rpm_Nm.
    Where a controller limits the current before that, give curve_rpm_Nm.

    Usual: 5 to 10 times the continuous torque.
    Measure: the sheet; or a bar on the shaft against a scale, or torque_Nm_per_A x volts / resistance_ohm.
    If wrong: it climbs what it would stall on.
    Also called: stall torque, starting torque, locked rotor torque, peak torque.
    """

    no_load_rpm: Annotated[float, Field(gt=0, le=100_000), Kept("a property of the motor")] | None = None
    """Speed with nothing to drive, full volts, rev/min. Only with stall_Nm.

    Usual: 2000 to 6000; volts x 9.55 / torque_Nm_per_A.
    Measure: the sheet; or wheels off the ground, chain off, a mark on the shaft and a phone's slow motion.
    If wrong: its top speed is wrong in the same share.
    Also called: free speed, no-load speed, kV.
    """

    ratio: Annotated[float, Field(ge=0.05, le=2_000), Times(1.25)]
    """Turns of the motor for one of the sprocket (or of a wheel, without a track): all gears and chains together.

    Usual: 8 to 40.
    Measure: turn the sprocket once by hand and count at the motor; or driven teeth over driving teeth, multiplied.
    If wrong: push is out in the same share, speed the other way about.
    Also called: gear ratio, reduction, gearing, final drive, overall ratio.
    """

    efficiency: Annotated[float, Field(gt=0.05, le=1), Kept("a property of the gears")] = GEARS
    """Share of the motor's torque that arrives at the sprocket through all gears and chains. Left out: 0.8, an
    estimate.

    Usual: 0.95 for each chain or pair of spur gears, 0.4 to 0.8 for a worm.
    Measure: pull the vehicle at a known current, torque at the track over torque at the motor x ratio.
    If wrong: it pulls more or less in the same share.
    Also called: gearbox efficiency, transmission losses, chain losses.
    """

    continuous_Nm: Annotated[float, Field(gt=0, le=10_000), Kept("a property of the motor")] | None = None
    """Torque of one motor that it may give for ever without getting too hot, N.m. This or continuous_A. Left out: its
    heat is not judged.

    Usual: a fifth to a tenth of what it gives at standstill.
    Measure: the plate: rated watts x 9.55 / rated rev/min.
    If wrong: it cooks where all is told to be well.
    Also called: rated torque, nominal torque, S1 rating, continuous rating.
    """

    continuous_A: Annotated[float, Field(gt=0, le=2_000), Kept("a property of the motor")] | None = None
    """In place of continuous_Nm: the current that it may draw for ever, A. Only with torque_Nm_per_A.

    Usual: 10 to 60 A.
    Measure: the plate: rated current.
    If wrong: as for continuous_Nm.
    Also called: rated current, nominal current.
    """

    heats_up_s: Annotated[float, Field(ge=1, le=36_000), Kept("a property of the motor")] | None = None
    """How long it takes to come to 63 % of its last temperature under a steady torque, s. Left out: only whether it
    could go on like that for ever is told, not for how long it may give more.

    Usual: 300 to 900 s for motors of 1 to 3 kg, 900 to 2400 s for larger ones; the winding itself in 20 to 60 s.
    Measure: steady load, a thermometer on the case, note the time to 63 % of the final rise.
    If wrong: it is told to last longer under overload than it does.
    Also called: thermal time constant, duty cycle, S2.
    """

    torque_Nm_per_A: Annotated[float, Field(gt=0, le=20), Kept("a property of the motor")] | None = None
    """Torque for each ampere, N.m/A. Left out: what it draws is estimated, see motor_efficiency.

    Usual: 0.02 to 0.3.
    Measure: volts x 9.55 / no-load rev/min; or 9.55 over the rev/min per volt (kV).
    If wrong: current and watt-hours are wrong.
    Also called: torque constant, kt, KV, motor constant.
    """

    resistance_ohm: Annotated[float, Field(gt=0, le=100), Kept("a property of the motor")] | None = None
    """Of its windings with brushes and leads, ohm. Only with torque_Nm_per_A.

    Usual: 0.02 to 0.5.
    Measure: volts over amperes, shaft held, at a few volts.
    If wrong: what it draws at low speed and hard pull is wrong.
    Also called: winding resistance, armature resistance, terminal resistance.
    """

    no_load_A: Annotated[float, Field(ge=0, le=200), Kept("a property of the motor")] = 0.0
    """Current with nothing to drive, A. Only with torque_Nm_per_A.

    Usual: 1 to 4 A.
    Measure: clamp meter, chain off.
    If wrong: watt-hours on the level are a little low.
    Also called: no-load current, idle current, free current.
    """

    motor_efficiency: Annotated[float, Field(gt=0.05, le=1), Kept("a property of the motor")] | None = None
    """Mechanical over electrical power of motor and controller. In place of resistance_ohm. Left out: of
    a motor by stall_Nm its winding's heat is worked out from the straight line; else 0.75, an estimate.

    Usual: 0.7 to 0.85.
    Measure: the sheet; or watts at the sprocket over volts x amperes of the battery.
    If wrong: watt-hours are wrong in the same share; standing under load it would draw nothing.
    Also called: motor losses.
    """

    @model_validator(mode="after")
    def _goes_together(self) -> Motor:
        self._one_curve()
        self._curve_rises()
        if self.continuous_Nm is not None and self.continuous_A is not None:
            raise PlacedError("what it may give for ever is given twice", "continuous_A", allowed="one of the two")
        for field in ("continuous_A", "resistance_ohm", "no_load_A"):
            if getattr(self, field) and self.torque_Nm_per_A is None:
                raise PlacedError(
                    f"{field} is given without torque_Nm_per_A", field, allowed="with torque_Nm_per_A, or left out"
                )
        if self.motor_efficiency is not None and self.resistance_ohm is not None:
            raise PlacedError(
                "what the motor loses is given twice: motor_efficiency and resistance_ohm",
                "motor_efficiency",
                allowed="one of the two",
            )
        return self

    def _one_curve(self) -> None:
        line = self.stall_Nm is not None, self.no_load_rpm is not None
        if self.curve_rpm_Nm is not None and any(line):
            field = "stall_Nm" if line[0] else "no_load_rpm"
            raise PlacedError("the motor's torque over speed is given twice", field, allowed=TWO_FORMS)
        if self.curve_rpm_Nm is None and not all(line):
            missing = "no_load_rpm" if line[0] else "stall_Nm" if line[1] else "curve_rpm_Nm"
            raise PlacedError("nothing says how the motor's torque falls with its speed", missing, allowed=TWO_FORMS)

    def _curve_rises(self) -> None:
        points = self.curve_rpm_Nm or ()
        for i, ((r0, _), (r1, _)) in enumerate(pairwise(points), 1):
            if r1 <= r0:
                raise PlacedError(
                    f"the curve's speeds must rise: {r1:g} rev/min comes after {r0:g}", "curve_rpm_Nm", i,
                    allowed=f"above {r0:g}",
                )  # fmt: skip
        if points and max(t for _, t in points) <= 0.0:
            raise PlacedError("the curve has no torque at all", "curve_rpm_Nm", allowed="a point above 0 N.m")

    @property
    def best(self) -> tuple[tuple[float, float], ...]:
        """What it gives at full throttle: [rev/min, N.m] from standstill to where it gives nothing, never rising."""
        if self.curve_rpm_Nm is None:
            assert self.stall_Nm is not None
            assert self.no_load_rpm is not None
            return ((0.0, self.stall_Nm), (self.no_load_rpm, 0.0))
        points = list(self.curve_rpm_Nm)
        most, falling = 0.0, []
        for rpm, torque in reversed(points):
            most = max(most, torque)
            falling.append((rpm, most))
        falling.reverse()
        if falling[0][0] > 0.0:
            falling.insert(0, (0.0, falling[0][1]))
        rpm, torque = falling[-1]
        if torque > 0.0:
            falling.append((rpm * (1.0 + FALLS_WITHIN), 0.0))
        return tuple(falling)

    @property
    def for_ever_Nm(self) -> float | None:
        """Torque that one motor may give for ever [N.m]; None where the file does not say."""
        if self.continuous_A is not None:
            assert self.torque_Nm_per_A is not None
            return self.continuous_A * self.torque_Nm_per_A
        return self.continuous_Nm

    @property
    def losses_by(self) -> Literal["windings", "efficiency", "line", "estimate"]:
        """By what its electrical losses are worked out: stated windings, a stated efficiency, the straight line of
        stall torque and no-load speed, or an estimate."""
        if self.torque_Nm_per_A is not None and self.resistance_ohm is not None:
            return "windings"
        if self.motor_efficiency is not None:
            return "efficiency"
        return "line" if self.stall_Nm is not None else "estimate"

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Its torque over speed, and the motor with its gears."""
        return motor_sketches(self)


class Battery(Spec):
    """What the motors draw from. Nothing is taken to flow back into it.

    Also called: accumulator, traction battery, pack, power supply.
    """

    EXAMPLE: ClassVar[str] = """energy_Wh = 1200
usable = 0.8
voltage_V = 24
most_A = 120
"""

    energy_Wh: Annotated[float, Field(gt=0, le=1_000_000), Times(1.5)]
    """What its label says it holds, Wh: volts x ampere-hours.

    Usual: 500 to 3000 Wh.
    Measure: the label: V x Ah.
    If wrong: its range is wrong in the same share.
    Also called: capacity, watt-hours, ampere-hours, Ah.
    """

    usable: Annotated[float, Field(gt=0, le=1), Kept("a property of the battery")] = 0.8
    """Share of that which may be drawn. Left out: 0.8, an estimate.

    Usual: 0.8 to 0.9 for lithium, 0.5 for lead (less again when it is drained within an hour, and in frost).
    Measure: a watt-meter from full to where it cuts out, over energy_Wh.
    If wrong: it stops further from home than is told.
    Also called: depth of discharge, DoD.
    """

    voltage_V: Annotated[float, Field(gt=0, le=1_000), Kept("the motors want it so")] | None = None
    """Its nominal voltage, V. Left out: no current is told.

    Usual: 24, 36 or 48 V.
    Measure: the label.
    If wrong: the current is wrong the other way about.
    Also called: voltage, nominal voltage.
    """

    most_A: Annotated[float, Field(gt=0, le=10_000), Kept("what battery and controllers stand")] | None = None
    """The most current that battery, fuse or controllers stand, all motors together, A. Only with voltage_V.

    Usual: 40 to 200 A.
    Measure: the fuse, or the battery's label.
    If wrong: it cuts out on a kerb that it would climb.
    Also called: maximum current, discharge current, fuse, C rating.
    """

    @model_validator(mode="after")
    def _amps_of_volts(self) -> Battery:
        if self.most_A is not None and self.voltage_V is None:
            raise PlacedError("most_A is given without voltage_V", "most_A", allowed="with voltage_V, or left out")
        return self

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The battery, and how far it may be drawn down."""
        return battery_sketches(self)
