"""Lines of the verdict on the motor by its curve: heat, stalls, battery."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from trundle.findings.grades import Grade, Line
from trundle.findings.serious.motors import HOT_PERCENT, STALLED_S, WARM_PERCENT
from trundle.findings.words import seconds, torque
from trundle.spec.motor import GEARS, MOTOR

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly
    from trundle.spec.motor import Battery, Motor

LOSSES = {
    "windings": "",
    "efficiency": " The motor's losses by a stated efficiency: what it draws standing under load is not in them.",
    "line": " The motor's losses are those of its winding by the straight line of its curve; its friction is left out.",
    "estimate": f" The motor is taken to turn {100.0 * MOTOR:.0f} % of it into work, an estimate: give "
    "drive.motor.motor_efficiency, or torque_Nm_per_A with resistance_ohm.",
}
"""By what a motor's electrical losses are worked out: what is to be said of it."""


def motor_lines(summary: Mapping[str, Any], assembly: Assembly) -> list[Line]:
    """Of a vehicle with a motor's table, or a battery's; none without."""
    drive = assembly.vehicle.drive
    lines = _motor(summary, drive.motor) if drive.motor is not None else []
    return lines + (_battery(summary, drive.battery, drive.motor) if drive.battery is not None else [])


def _motor(summary: Mapping[str, Any], motor: Motor) -> list[Line]:
    rms, percent = float(summary["rms_motor_torque_Nm"]), summary["motor_rms_of_rating_percent"]
    warmest, stalled = summary["motor_warmest_percent"], float(summary["motor_stalled_s"])
    limit = float(summary["motor_at_limit_s"])
    whose = f"One of {motor.count} motors" if motor.count > 1 else "The motor"
    text = f"{whose} gives {torque(rms)} r.m.s. at its shaft, braking taken as its own"
    if percent is None:
        lines = [Line(Grade.NOTE, f"{text}. Whether it gets too hot is not known: give drive.motor.continuous_Nm.")]
    else:
        worst = max(float(percent), float(warmest or 0.0))
        grade = Grade.RISK if worst > HOT_PERCENT else Grade.NOTE if worst > WARM_PERCENT else Grade.FINE
        cold = f"; begun cold it gets to {float(warmest):.0f} % of the heat it stands" if warmest is not None else ""
        lines = [Line(grade, f"{text}: {float(percent):.0f} % of what it may give for ever{cold}.")]
    if stalled > 0.0:
        grade = Grade.RISK if stalled > STALLED_S else Grade.NOTE
        lines.append(Line(grade, f"Stands stalled under full pull for {seconds(stalled)} at a stretch."))
    if limit > 0.0:
        lines.append(Line(Grade.NOTE, f"Gives all that it can at its speed for {seconds(max(limit, 0.01))}."))
    return lines


def _battery(summary: Mapping[str, Any], battery: Battery, motor: Motor | None) -> list[Line]:
    used, hour = float(summary["battery_course_Wh"]), float(summary["battery_hour_Wh"])
    usable, far, amps = battery.energy_Wh * battery.usable, summary["battery_range_km"], summary["battery_peak_1s_A"]
    text = f"Battery: {used:.1f} Wh for this course, {hour:.0f} Wh for an hour like it"
    if hour > 0.0:
        text += f", so {usable:.0f} Wh last {60.0 * usable / hour:.0f} min"
    if far is not None:
        text += f" and {float(far):.1f} km"
    estimate = (
        LOSSES[motor.losses_by]
        if motor is not None
        else f" Gears taken to pass {100.0 * GEARS:.0f} % and the motor {100.0 * MOTOR:.0f} %, estimates."
    )
    empty = used > usable
    lines = [Line(Grade.RISK if empty else Grade.NOTE, f"{text}; nothing flows back, no steering.{estimate}")]
    if amps is not None:
        over = battery.most_A is not None and float(amps) > battery.most_A
        allowed = f", {battery.most_A:g} A allowed" if battery.most_A is not None else ""
        lines.append(
            Line(Grade.RISK if over else Grade.NOTE, f"Highest current over a second {float(amps):.0f} A{allowed}.")
        )
    return lines
