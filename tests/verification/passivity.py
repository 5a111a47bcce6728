"""Steady drives over smooth slopes: what shakes there, the law shakes by itself."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

import trundle
from trundle.engine.length import default_step_s
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.units import DEG, MM

SPEED_M_S = 0.5
STEADY_S = 3.0
"""So long after the whole vehicle is on the slope, what its foot has set going has died away."""
WATCHED_S = 4.0
STEP_MM = 10.0
"""Obstacles start on whole numbers of this (trundle.terrain.ground): another length would leave a bump at a joint."""
HIGHEST_MM = 1900.0
"""A ramp may be so high; a higher slope is several, one after another [mm]."""


@dataclass(frozen=True)
class Quiet:
    """rms_m_s2: of the seat's acceleration about its mean, STEADY_S after the slope has begun; least_slip_J: least work
    of slip in any step of the run; loose: how often in the steady part the band begins to hang loose."""

    rms_m_s2: float
    least_slip_J: float
    loose: int
    steady_s: float


def slope(v: Vehicle, deg: float) -> Course:
    """A straight slope as long as the drive needs, behind a level start."""
    room = STEP_MM * math.ceil((1.5 * v.hull.length_mm + 500.0) / STEP_MM)
    long = SPEED_M_S * (STEADY_S + WATCHED_S) * 1.1 / MM + 2.0 * room
    parts = math.ceil(long * math.tan(abs(deg) * DEG) / HIGHEST_MM) if deg else 1
    each = STEP_MM * math.ceil(long / parts / STEP_MM)
    if deg:
        part = {
            "kind": "ramp up" if deg > 0.0 else "ramp down", "gap_mm": 0, "length_mm": each,
            "height_mm": each * math.tan(abs(deg) * DEG),
        }  # fmt: skip
    else:
        part = {"kind": "flat", "length_mm": each}
    return Course.model_validate(
        {"run_up_mm": room, "run_out_mm": room, "speed_m_s": SPEED_M_S, "obstacle": [part] * parts}
    )


def drive(v: Vehicle, deg: float, share_of_step: float = 1.0) -> Quiet:
    """Drive a vehicle over a slope of `deg` degrees, to the far end, at a share of its own step."""
    course = slope(v, deg)
    found = trundle.run(v, course, dt_ms=share_of_step * default_step_s(v) * 1e3, near=1)
    t = found.timeline
    foot = course.run_up_mm + 1.2 * v.hull.length_mm
    begun = float(t["time_s"][t["hull.x_mm"] > foot].min()) + STEADY_S
    top = course.run_up_mm + sum(part.length_m() for part in course.obstacle) / MM - 1.2 * v.hull.length_mm
    steady = (t["time_s"] > begun) & (t["hull.x_mm"] < top)
    spare = t["track.spare_mm"][steady].to_numpy() > 0.0 if v.track else np.zeros(int(steady.sum()), dtype=bool)
    return Quiet(
        rms_m_s2=float(t["seat.up_m_s2"][steady].std()),
        least_slip_J=float(np.diff(t["energy.slip_J"]).min()),
        loose=int((np.diff(spare.astype(int)) > 0).sum()),
        steady_s=float(steady.sum() * np.median(np.diff(t["time_s"]))),
    )
