"""The drive on the sheet: how hard it pulls at which speed, what it climbs, how fast it goes, what ends first."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.climbs import Climbs, climbs_of
from trundle.findings.motor_words import LOSSES
from trundle.papers.parts import Part, Table, number
from trundle.spec.electric import drawn_W, lasts_s
from trundle.spec.motor import GEARS, MOTOR, Battery, Motor
from trundle.spec.vehicle import Vehicle
from trundle.units import RPM

SHARES = (0.0, 0.25, 0.5, 0.75, 0.9, 1.0)
"""Of its top speed on the level, at which the pull is told."""


def drive_part(vehicle: Vehicle, weight_N: float) -> Part:
    """Statics on an even slope; no run. weight_N: of the whole."""
    climbs = climbs_of(vehicle, weight_N)
    intro = (
        f"Statics on an even slope, straight ahead, at full throttle; rolling takes {100.0 * climbs.drag:g} % of the "
        f"weight, {number(climbs.push_N(0.0))} N. Steering comes on top."
    )
    lines = [*_speeds(vehicle, climbs), *_crawl(vehicle, climbs)]
    motor, battery = vehicle.drive.motor, vehicle.drive.battery
    if motor is not None:
        lines += _for_ever(motor, climbs)
        if "efficiency" not in motor.model_fields_set:
            lines.append(f"drive.motor.efficiency is not given: {GEARS:g}, an estimate.")
    if battery is not None:
        lines += _battery(vehicle, battery, climbs)
    return Part("Drive", intro, (_pull(vehicle, climbs),), tuple(lines))


def _pull(vehicle: Vehicle, climbs: Climbs) -> Table:
    motor = vehicle.drive.motor
    heads = ["speed [m/s]", "[km/h]"] + (["motor [rev/min]", "one motor [N·m]"] if motor is not None else [])
    heads += ["push, both sides [N]", "power at the sprocket [W]", "steepest slope [deg]", "what ends it"]
    rows = []
    for speed in _told_m_s(vehicle, climbs):
        push = float(climbs.pull.both_N(speed))
        slope = climbs.slope_deg(push)
        gripped = min(slope, climbs.grip_deg)
        cells = [number(speed, 2), number(3.6 * speed, 1)]
        if motor is not None:
            cells += [number(_rpm(motor, climbs, speed)), number(_torque_Nm(motor, climbs, push), 2)]
        ends = "grip" if slope > climbs.grip_deg else "motor" if motor is None or motor.count == 1 else "motors"
        rows.append((*cells, number(push), number(push * speed), number(gripped, 1), ends))
    return Table(tuple(heads), tuple(rows))


def _told_m_s(vehicle: Vehicle, climbs: Climbs) -> tuple[float, ...]:
    """Speeds at which the pull is told: of a motor with a curve up to its top speed, else up to twice the file's."""
    if climbs.pull.corners:
        top = climbs.speed_m_s(0.0)
        return tuple(share * top for share in SHARES) if top > 0.0 else (0.0,)
    return tuple(times * vehicle.drive.speed_m_s for times in (0.0, 1.0, 2.0))


def _speeds(vehicle: Vehicle, climbs: Climbs) -> Iterator[str]:
    top, asked = climbs.speed_m_s(0.0), vehicle.drive.speed_m_s
    if not climbs.pull.corners:
        yield "Its top speed is not known: that is where the motor turns no faster. Give a table [drive.motor]."
    else:
        yield f"Top speed on the level {top:.2f} m/s ({3.6 * top:.1f} km/h)."
        if top < asked:
            yield f"It does not come up to drive.speed_m_s, {asked:g} m/s."
    slope = climbs.slope_deg(float(climbs.pull.both_N(asked)))
    if slope > climbs.grip_deg:
        yield f"At {asked:g} m/s it climbs {climbs.grip_deg:.0f}°, where grip ends (drive.grip {climbs.grip:g})."
    elif slope > 0.0:
        yield f"At {asked:g} m/s it climbs {slope:.0f}°; steeper, it slows down."


def _crawl(vehicle: Vehicle, climbs: Climbs) -> Iterator[str]:
    """Which comes first against a wall: slip or stall."""
    most, holds = climbs.pull.most_N, climbs.grip * climbs.weight_N
    what = "track" if vehicle.track is not None else "wheels"
    plural = vehicle.drive.motor is not None and vehicle.drive.motor.count > 1
    motor, stalls, spins = (
        "motors" if plural else "motor",
        "stall" if plural else "stalls",
        "slips" if vehicle.track is not None else "slip",
    )
    slope = climbs.slope_deg(most)
    told = f"{number(most)} N at standstill, grip takes {number(holds)} N on the level"
    if most >= holds:
        yield (
            f"Against a wall the {what} {spins} before the {motor} {stalls}: {told} ({most / holds:.2f} times). At a "
            f"crawl it climbs {min(slope, climbs.grip_deg):.0f}°, where grip ends."
        )
    else:
        yield (
            f"Against a wall the {motor} {stalls} before the {what} {spins}: {told} ({most / holds:.2f} times); a "
            f"motor that stands under power soon burns. At a crawl it climbs {min(slope, climbs.grip_deg):.0f}°."
        )


def _for_ever(motor: Motor, climbs: Climbs) -> Iterator[str]:
    """What it climbs without getting too hot, and for how long it stands the steepest slope."""
    steady = motor.for_ever_Nm
    if steady is None:
        yield "Whether it gets too hot is not known: give drive.motor.continuous_Nm."
        return
    push = steady * motor.count * motor.ratio * motor.efficiency / climbs.radius_m
    slope = climbs.slope_deg(push)
    if slope <= 0.0:
        yield f"For ever it may give {steady:g} N·m each: not enough to roll on the level."
        return
    slope = min(slope, climbs.grip_deg)
    yield (
        f"For ever ({steady:g} N·m each) it climbs {slope:.0f}°, at up to {climbs.speed_m_s(slope):.1f} m/s."
        if slope < climbs.grip_deg
        else f"It may climb what its grip holds, {slope:.0f}°, for ever ({steady:g} N·m each)."
    )
    steepest = min(climbs.slope_deg(climbs.pull.most_N), climbs.grip_deg)
    over = _torque_Nm(motor, climbs, climbs.push_N(steepest)) / steady
    if over > 1.0:
        long = (
            f"begun cold for about {_long(lasts_s(over, motor.heats_up_s))}"
            if motor.heats_up_s is not None
            else "for how long hangs on drive.motor.heats_up_s"
        )
        yield f"On its steepest slope, {steepest:.0f}°, each gives {over:.1f} times that: {long}."


def _battery(vehicle: Vehicle, battery: Battery, climbs: Climbs) -> Iterator[str]:
    """On the level at its own speed."""
    motor, speed = vehicle.drive.motor, min(vehicle.drive.speed_m_s, climbs.speed_m_s(0.0))
    push = climbs.push_N(0.0)
    if motor is None:
        watts = push * speed / (GEARS * MOTOR)
        estimate = f" (gears {GEARS:g}, motor {MOTOR:g}: estimates)"
    else:
        torque, turns = _torque_Nm(motor, climbs, push), _rpm(motor, climbs, speed) * RPM
        watts = motor.count * float(drawn_W(motor, torque, turns))
        estimate = LOSSES[motor.losses_by]
    usable = battery.energy_Wh * battery.usable
    if watts > 0.0:
        hours = usable / watts
        yield (
            f"On the level at {speed:.1f} m/s it draws {number(watts)} W: {number(usable)} Wh last "
            f"{_long(3600.0 * hours)}, {3.6 * speed * hours:.1f} km, without steering or obstacles.{estimate}"
        )
    if "usable" not in battery.model_fields_set:
        yield f"drive.battery.usable is not given: {battery.usable:g}, an estimate."


def _rpm(motor: Motor, climbs: Climbs, speed_m_s: float) -> float:
    return speed_m_s / climbs.radius_m * motor.ratio / RPM


def _torque_Nm(motor: Motor, climbs: Climbs, push_N: float) -> float:
    """Of one motor."""
    return push_N * climbs.radius_m / (motor.count * motor.ratio * motor.efficiency)


def _long(seconds: float) -> str:
    """`40 s`, `9 min`, `5.2 h`."""
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 5_400.0 else f"{seconds / 3600.0:.1f} h"
