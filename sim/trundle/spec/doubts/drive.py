"""Of motor, brake and grip."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads
from trundle.spec.pull import pull_of
from trundle.units import RPM, G

if TYPE_CHECKING:
    from trundle.spec.drive import Drive
    from trundle.spec.motor import Motor
    from trundle.spec.vehicle import Vehicle

RACES_M_S = 15.0
"""With nothing to pull: 54 km/h, of a vehicle that is to climb kerbs."""

APART = 1.5
"""No-load speed by volts over torque per ampere, against the one that is given: supplies sag by a fifth."""

FAST_M_S = 3.5
"""A run: no speed for a course of kerbs."""

WEAK, STRONG = 0.15, 5.0
"""Push over weight: what climbs no slope of 1 in 8, and what no ground holds. Shipped ones have 0.7 to 1."""


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Against the weight of the whole."""
    drive, weight = vehicle.drive, loads.weight_N
    if drive.speed_m_s > FAST_M_S:
        yield Problem(
            f"{drive.speed_m_s:g} m/s are {3.6 * drive.speed_m_s:.3g} km/h: in m/s? Walking pace is 1.4",
            "drive.speed_m_s",
        )
    field = next(n for n in ("push_N", "torque_Nm", "motor") if getattr(drive, n) is not None)
    push = pull_of(vehicle).most_N
    if not WEAK < push / weight < STRONG:
        where = (
            "of one motor at its own shaft, in N.m; the ratio with all gears and chains?"
            if drive.motor is not None
            else "both sides together, at the sprocket or wheel axle, behind the gear?"
        )
        yield Problem(
            f"it pushes the vehicle with {push:.0f} N, which weighs {weight:.0f} N: {where}", f"drive.{field}"
        )
    if drive.motor is not None:
        yield from _motor(drive.motor, drive, pull_of(vehicle).fastest_m_s)
    slow = 0.02 * weight * drive.speed_m_s
    if drive.power_W is not None and drive.power_W < slow:
        yield Problem(
            f"{drive.power_W:g} W; rolling on the level at {drive.speed_m_s:g} m/s alone takes about "
            f"{slow:.0f}: in watts?",
            "drive.power_W",
        )
    if drive.brake_N < 0.1 * weight:
        yield Problem(
            f"it holds {drive.brake_N:g} N of a vehicle that weighs {weight:.0f} N: in newtons, at the track?",
            "drive.brake_N",
        )
    if not 0.1 < drive.grip < 1.3:
        yield Problem(f"it is {drive.grip:g}; rubber on hard ground has 0.6 to 0.9, on wet grass 0.3", "drive.grip")
    if drive.acceleration_m_s2 > max(drive.grip, 0.3) * G:
        yield Problem(
            f"it is {drive.acceleration_m_s2:g} m/s2, more than the grip gives ({drive.grip * G:.1f})",
            "drive.acceleration_m_s2",
        )


def _motor(motor: Motor, drive: Drive, fastest_m_s: float) -> Iterator[Problem]:
    """Speeds that do not go with the vehicle's, ratings and windings that do not go with the curve."""
    if fastest_m_s < drive.speed_m_s or fastest_m_s > RACES_M_S:
        yield Problem(
            f"its motors turn {fastest_m_s:.2f} m/s ({3.6 * fastest_m_s:.1f} km/h) with nothing to pull, where "
            f"drive.speed_m_s asks for {drive.speed_m_s:g}: speeds in rev/min, the ratio motor over sprocket?",
            "drive.motor.ratio",
        )
    most, steady = motor.best[0][1], motor.for_ever_Nm
    if steady is not None and steady > most:
        field = "continuous_Nm" if motor.continuous_Nm is not None else "continuous_A"
        yield Problem(
            f"{steady:g} N.m for ever, where it gives {most:g} at most: of one motor, at its own shaft?",
            f"drive.motor.{field}",
        )
    volts = drive.battery.voltage_V if drive.battery is not None else None
    if motor.torque_Nm_per_A is not None and volts is not None:
        turns, given = volts / motor.torque_Nm_per_A / RPM, motor.best[-1][0]
        if not 1.0 / APART < turns / given < APART:
            yield Problem(
                f"{volts:g} V over {motor.torque_Nm_per_A:g} N.m/A are {turns:.0f} rev/min with nothing to drive; the "
                f"curve ends at {given:.0f}: in N.m for each ampere, 9.55 over the rev/min for each volt?",
                "drive.motor.torque_Nm_per_A",
            )
