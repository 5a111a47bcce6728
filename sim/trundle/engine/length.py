"""How fine and how long a run is: step and grid, number of steps, when it is given up. Nothing here is compiled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from trundle.errors import InputError, Problem
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground
from trundle.units import MM

DEFAULT_DT_S = 1e-3
"""Time step [s]: halving it moves peak figures by a few per cent (tests/verification)."""

FINE_STEP_S = 0.5e-3
"""The same where a beam hangs on an arm (a chain of two pivots has three times the error at a given step), and without
a track: bare wheels hit harder, and each is spun up by itself."""

GROUND_MM = 5.0
"""Spacing of the ground grid [mm]."""

MOST_STEPS = 5_000_000
"""Rows a run may log; more is a slip of the pen, or wants a coarser step."""


DT_S = (1e-5, 5e-3)
"""Shortest and longest step that a run takes [s]."""


def check_step(dt_ms: float) -> None:
    """Raises InputError on a step that no run takes [ms]."""
    if not DT_S[0] * (1.0 - 1e-9) <= dt_ms * 1e-3 <= DT_S[1] * (1.0 + 1e-9):
        allowed = f"{DT_S[0] * 1e3:g} to {DT_S[1] * 1e3:g} ms"
        raise InputError(Problem(f"a step of {dt_ms:g} ms", argument="dt_ms", allowed=allowed))


def default_step_s(vehicle: Vehicle) -> float:
    """The step that keeps this kind of vehicle within 2 % of an exact solution [s]."""
    chain = any(bogie.wants_fine_step() for bogie in vehicle.bogie.values())
    return FINE_STEP_S if chain or vehicle.track is None else DEFAULT_DT_S


@dataclass(frozen=True)
class Trip:
    """A course as its driver is told to drive it. moving_s: at the target speeds, on and back; gathering_s: to get up
    to speed from each stand, and down again; waiting_s: standing as told."""

    moving_s: float
    gathering_s: float
    waiting_s: float


def trip(vehicle: Vehicle, ground: Ground) -> Trip:
    """How long the course takes if nothing holds the vehicle up."""
    own = vehicle.drive.speed_m_s
    speeds = np.where(np.isnan(ground.speed_m_s), own, ground.speed_m_s)
    starts = np.append(ground.speed_from_m, ground.length_m)
    # Time at each place where the speed changes; a place between two is found by straight lines.
    clock = np.append(0.0, np.cumsum(np.diff(starts) / speeds))
    moving, waiting, stands, at = 0.0, 0.0, 1, 0.0
    for task in ground.tasks:
        moving += max(0.0, float(np.diff(np.interp([at, task.at_m], starts, clock))[0]))
        waiting += task.wait_s
        at = task.at_m
        stands += 1
        if task.to_m < task.at_m:
            moving += (task.at_m - task.to_m) / task.speed_m_s
            at = task.to_m
            stands += 1
    fast, rises = float(speeds.max()), vehicle.drive.acceleration_m_s2
    gather = min(fast / rises, math.sqrt(2.0 * ground.length_m / rises))
    moving += float(clock[-1] - np.interp(at, starts, clock))
    return Trip(moving, 2.0 * stands * gather, waiting)


def time_limit_s(vehicle: Vehicle, ground: Ground) -> float:
    """Long enough for three times the course as it is to be driven, and 20 s more [s]."""
    told = trip(vehicle, ground)
    return 3.0 * told.moving_s + told.gathering_s + told.waiting_s + 20.0


def shorter(waits: bool) -> str:
    """What makes a run shorter. waits: most of it is standing as its driver is told to."""
    drive = "a shorter course, more speed or a longer step (--dt-ms)"
    return f"shorter stops (for_s), or {drive}" if waits else drive


def expected_steps(vehicle: Vehicle, ground: Ground, dt_s: float) -> int:
    """Steps to the course's end as it is to be driven: not the generous limit, since a stall ends by itself."""
    told = trip(vehicle, ground)
    return math.ceil((told.moving_s + told.waiting_s + 20.0 / 3.0) / dt_s)


LEAST_ROAD_M = 0.05
"""Least road before the nose at the start [m]: some ten times the ground grid."""


def check_course(ground: Ground, vehicle: Vehicle, stands_m: float, nose_m: float) -> None:
    """Raises InputError if the course is too short for this vehicle, or tells its driver what it cannot do: the hull's
    centre of mass starts at stands_m [m], with the nose nose_m before it, and the run ends with the nose at the
    course's end."""
    last_m = ground.length_m - nose_m
    lacks_m = stands_m + LEAST_ROAD_M - last_m
    if lacks_m > 0.0:
        raise InputError(
            Problem(
                f"the course is {ground.length_m / MM:.0f} mm long, too short for this vehicle: its hull is "
                f"{vehicle.hull.length_mm:.0f} mm long, and at the start its nose is at "
                f"{(stands_m + nose_m) / MM:.0f}, where the run would end",
                field="run_out_mm",
                allowed=f"{10 * math.ceil(lacks_m / MM / 10.0)} mm or more on top of what it is",
            )
        )
    for i, task in enumerate(ground.tasks, 1):
        if task.at_m >= last_m:
            raise InputError(
                Problem(
                    f"it never gets to {task.at_m / MM:g}: there the nose of this vehicle is past the course's end",
                    field=f"driver[{i}].at_mm",
                    allowed=f"below {math.floor(last_m / MM)}, or a longer run_out_mm",
                )
            )
        # To the millimetre, as it is said. 0 is a wait at the start.
        if 0.0 < task.at_m < stands_m - MM:
            raise InputError(
                Problem(
                    f"{task.at_m / MM:g} is behind this vehicle: its centre of mass starts at {stands_m / MM:.0f} mm",
                    field=f"driver[{i}].at_mm",
                    allowed=f"0, to wait at the start, or {math.ceil(stands_m / MM)} and more",
                )
            )
        if task.to_m < min(stands_m, task.at_m):
            raise InputError(
                Problem(
                    f"backing up to {task.to_m / MM:g} it would leave the course: this vehicle starts with its centre "
                    f"of mass at {stands_m / MM:.0f}",
                    field=f"driver[{i}].to_mm",
                    allowed=f"{math.ceil(stands_m / MM)} or more",
                )
            )


__all__ = [
    "DEFAULT_DT_S", "DT_S", "FINE_STEP_S", "GROUND_MM", "LEAST_ROAD_M", "MOST_STEPS", "Trip", "check_course",
    "check_step", "default_step_s", "expected_steps", "shorter", "time_limit_s", "trip",
]  # fmt: skip
