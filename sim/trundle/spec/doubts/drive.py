"""Of motor, brake and grip."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads
from trundle.spec.pull import pull_of
from trundle.units import G

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle

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
        yield Problem(
            f"it pushes the vehicle with {push:.0f} N, which weighs {weight:.0f} N: both sides together, at "
            "the sprocket or "
            "wheel axle, behind the gear?",
            f"drive.{field}",
        )
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
