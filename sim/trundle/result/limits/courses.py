"""The courses that a limit is sought on: one obstacle, with room before and behind it."""

from __future__ import annotations

import math

from trundle.errors import InputError, Problem
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.edges import KerbUp
from trundle.terrain.hollows import Trench
from trundle.terrain.slopes import Flat, RampUp
from trundle.units import MM

MOST_GATHER_M = 900.0
"""The longest run-up to reach the target speed: a course can be no longer than two of it and the vehicle [m]."""


def kerb_course(vehicle: Vehicle, speed_m_s: float | None, height_mm: float) -> Course:
    """An upright, sharp-edged kerb. Raises InputError as `_course`."""
    return _course(vehicle, speed_m_s, KerbUp(kind="kerb up", height_mm=height_mm))


def ditch_course(vehicle: Vehicle, speed_m_s: float | None, width_mm: float) -> Course:
    """A ditch with upright sides, too deep to drive through. Raises InputError as `_course`."""
    deep = min(2_000.0, max(500.0, 0.6 * length_mm(vehicle)))
    return _course(vehicle, speed_m_s, Trench(kind="trench", bottom_mm=width_mm, depth_mm=deep))


def ramp_course(slope_deg: float, vehicle_mm: float) -> Course:
    """Flat, then a ramp up to the course's end; made of several where one obstacle may not be so high."""
    rise = 2.5 * vehicle_mm * math.sin(math.radians(slope_deg))
    pieces = math.ceil(rise / 2_000.0)
    ramps = [RampUp(kind="ramp up", height_mm=rise / pieces, slope_deg=slope_deg, gap_mm=0.0) for _ in range(pieces)]
    start = Flat(kind="flat", length_mm=500.0, gap_mm=0.0)
    return Course(run_up_mm=vehicle_mm + 500.0, run_out_mm=0.0, obstacle=(start, *ramps))


def length_mm(vehicle: Vehicle) -> float:
    """From the rearmost to the foremost point, roughly: hull, sprocket and idler [mm]."""
    xs = [0.0, vehicle.hull.length_mm, *(x for x, _ in vehicle.hull.belly_mm)]
    if vehicle.track is not None:
        track = vehicle.track
        wrap = track.sprocket_radius_m / MM + track.thickness_mm
        xs += [track.sprocket.at_mm[0] - wrap, track.sprocket.at_mm[0] + wrap]
        wrap = track.idler.radius_mm + track.thickness_mm
        xs += [track.idler.at_mm[0] - wrap, track.idler.at_mm[0] + wrap]
    return max(xs) - min(xs)


def _course(vehicle: Vehicle, speed_m_s: float | None, obstacle: KerbUp | Trench) -> Course:
    """One obstacle, with room to reach the speed before it and for the whole vehicle behind it.

    Raises InputError if no course has that room.
    """
    long = length_mm(vehicle)
    fast = vehicle.drive.speed_m_s if speed_m_s is None else speed_m_s
    gather = 1_000.0 * fast**2 / (2.0 * vehicle.drive.acceleration_m_s2)
    if gather * MM > MOST_GATHER_M:
        raise InputError(
            Problem(
                f"at {vehicle.drive.acceleration_m_s2:g} m/s2 it takes {gather * MM:,.0f} m to reach {fast:g} m/s",
                field="drive.acceleration_m_s2",
                allowed=f"a run-up of {MOST_GATHER_M:g} m at the most: a lower speed, or more acceleration",
            )
        )
    return Course(
        run_up_mm=long + gather + 500.0,
        run_out_mm=1.5 * long + 500.0,
        obstacle=(obstacle.model_copy(update={"gap_mm": 0.0}),),
    )
