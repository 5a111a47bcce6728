"""What a vehicle can do at most: highest kerb, widest ditch, steepest ramp; what stops it there, and what harms it
before.

Each limit is found by rolling the vehicle over one obstacle after another (trundle.result.limits.search); the same by
plain statics stands beside it.
"""

from __future__ import annotations

import math

from trundle.fields.speed import check_speed
from trundle.findings.limit import Limit, Limits
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.result.limits import statics
from trundle.result.limits.courses import ditch_course, kerb_course, length_mm, ramp_course
from trundle.result.limits.search import Search, Tell
from trundle.result.limits.trial import tried
from trundle.spec.vehicle import Vehicle

KERB_STEP_MM, KERB_FIRST_MM, KERB_MOST_MM = 5.0, 60.0, 1_000.0
DITCH_STEP_MM, DITCH_FIRST_MM = 10.0, 160.0
RAMP_STEP_DEG, RAMP_FIRST_DEG, RAMP_MOST_DEG = 0.5, 10.0, 60.0
"""Fineness of each search, its first trial and its last."""

DITCH_LEAST_MM = 20.0
"""The narrowest ditch that a course can have."""


def limits(
    vehicle: GivenVehicle,
    *,
    speed_m_s: float | None = None,
    on_progress: Tell | None = None,
) -> Limits:
    """The highest kerb, widest ditch and steepest ramp that a vehicle manages, unharmed and at all, and why no more;
    some fifty runs.

    Unharmed: no part gives for good, the rider is not struck or thrown, the track stays on (the findings of a run that
    are a risk or worse, see trundle.findings.serious). vehicle: a file, the name of a shipped one, or an object.
    speed_m_s: target speed [m/s] (None: the vehicle's own). on_progress: told what is being tried, and the share done,
    0 to 1. Raises InputError if the vehicle cannot stand.
    """
    check_speed(speed_m_s)
    ours = vehicle_input(vehicle)
    one = ours.vehicle
    with ours.blamed():
        found = [
            highest_kerb(one, speed_m_s, on_progress),
            widest_ditch(one, speed_m_s, on_progress),
            steepest_ramp(one, speed_m_s, on_progress),
            steepest_hold(one),
        ]
    return Limits(found, one.name, one.drive.speed_m_s if speed_m_s is None else speed_m_s, one.drive.grip)


def highest_kerb(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Highest upright, sharp-edged kerb that the whole vehicle gets up, to 5 mm. Raises InputError as `limits`."""
    check_speed(speed_m_s)
    return Search(
        "kerb climbed", "mm", KERB_STEP_MM, KERB_FIRST_MM, KERB_MOST_MM,
        lambda mm: tried(vehicle, kerb_course(vehicle, speed_m_s, mm), speed_m_s), on_progress,
    ).found(statics.kerb(vehicle))  # fmt: skip


def widest_ditch(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Widest upright-sided ditch, too deep to drive through, that the whole vehicle crosses, to 10 mm. Raises
    InputError as `limits`."""
    check_speed(speed_m_s)
    return Search(
        "ditch crossed", "mm", DITCH_STEP_MM, DITCH_FIRST_MM, 2.0 * length_mm(vehicle),
        lambda mm: tried(vehicle, ditch_course(vehicle, speed_m_s, mm), speed_m_s), on_progress, DITCH_LEAST_MM,
    ).found(statics.ditch(vehicle))  # fmt: skip


def steepest_ramp(vehicle: Vehicle, speed_m_s: float | None = None, on_progress: Tell | None = None) -> Limit:
    """Steepest ramp, 2.5 vehicles long, driven up from the flat, to half a degree. Raises InputError as `limits`."""
    check_speed(speed_m_s)
    long = length_mm(vehicle)
    return Search(
        "ramp climbed", "deg", RAMP_STEP_DEG, RAMP_FIRST_DEG, RAMP_MOST_DEG,
        lambda deg: tried(vehicle, ramp_course(deg, long), speed_m_s), on_progress,
    ).found(statics.ramp(vehicle))  # fmt: skip


def steepest_hold(vehicle: Vehicle) -> Limit:
    """Steepest slope on which it stands nose up with the brake on, by plain statics of a rigid body."""
    at = statics.hold(vehicle)
    value = math.floor(at.value / RAMP_STEP_DEG) * RAMP_STEP_DEG
    return Limit("slope held, nose up", value, value + RAMP_STEP_DEG, "deg", f"{at.why} (statics, no run)")
