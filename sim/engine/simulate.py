"""One vehicle over one ground: stand, run, keep the raw log."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sim.engine import loop
from sim.engine.roll import Limits, Rows, run_steps
from sim.engine.standing import Standing, stand
from sim.errors import InputError, Problem, StandingError
from sim.law.pivots import SPRING_TORQUE, STOP_FORCE
from sim.model.ground import ground_arrays
from sim.spec.bogie import WalkingBeam
from sim.spec.vehicle import Vehicle
from sim.terrain.ground import Ground

DEFAULT_DT_S = 1e-3
"""Time step [s]: halving it moves peak figures by a few per cent (tests/verification)."""

CHAIN_STEP_S = 0.5e-3
"""The same where a beam hangs on an arm: a chain of two pivots has three times the error at a given step."""

MOST_STEPS = 5_000_000
"""Rows a run may log; more is a slip of the pen, or wants a coarser step."""

ENDED = {
    loop.COURSE_END: "course end",
    loop.STALLED: "stalled",
    loop.OVERTURNED: "overturned",
    loop.DIVERGED: "numbers blew up",
    loop.TIME_UP: "out of time",
    loop.ROLLED_BACK: "rolled back off the start",
}


@dataclass(frozen=True)
class Run:
    """Raw result: standing position, log, step [s]."""

    standing: Standing
    rows: Rows
    dt_s: float


def default_step_s(vehicle: Vehicle) -> float:
    """The step that keeps this kind of vehicle within 2 % of an exact solution [s]."""
    chain = any(isinstance(b, WalkingBeam) and b.arm is not None for b in vehicle.bogie.values())
    return CHAIN_STEP_S if chain else DEFAULT_DT_S


def time_limit_s(vehicle: Vehicle, ground: Ground) -> float:
    """Long enough for three times the course at its target speeds, and 20 s more [s]."""
    own = vehicle.drive.speed_m_s
    speeds = np.where(np.isnan(ground.speed_m_s), own, ground.speed_m_s)
    starts = np.append(ground.speed_from_m, ground.length_m)
    travel = float(np.sum(np.diff(starts) / speeds))
    return 3.0 * travel + 20.0


def _check_stands(standing: Standing) -> None:
    """A hull that stands on its belly, or with every spring on its bump stop, is not worth rolling.

    Raises StandingError, with the share of the load that the springs hold.
    """
    carry, m = standing.work.carry[0], standing.assembly.model
    weight = standing.assembly.weight_N
    if carry.belly_N > 0.01 * weight:
        raise StandingError(
            Problem(
                f"the hull rests on its belly, which carries {100.0 * carry.belly_N / weight:.0f} % of the weight: "
                "wheels, arms or springs are too short or too weak",
                field="bogie",
            )
        )
    sprung = [j for j, row in enumerate(m.joints) if row.table_n or any(j in (p.fore, p.aft) for p in m.pairs)]
    held = [standing.work.joint[j, SPRING_TORQUE] for j in sprung]
    stopped = [standing.work.joint[j, STOP_FORCE] * m.joints[j].radius for j in sprung]
    if sprung and min(stopped) > 0.0:
        share = sum(held) / (sum(held) + sum(stopped))
        raise StandingError(
            Problem(
                f"the springs cannot carry the hull: every arm stands on its bump stop, the springs hold "
                f"{100.0 * share:.0f} % of the load",
                field="bogie",
                allowed="stiffer springs, or springs set lower (free_angle_deg, seat height)",
            )
        )


def simulate(
    vehicle: Vehicle,
    ground: Ground,
    dt_s: float | None = None,
    compiled: bool = True,
    on_progress: Callable[[float], None] | None = None,
) -> Run:
    """Run `vehicle` from standstill at the start of `ground` to its end, in steps of dt_s (None: by its kind).

    Raises InputError (StandingError) if it cannot stand, or the run would be too long.
    """
    if dt_s is None:
        dt_s = default_step_s(vehicle)
    if not 1e-5 <= dt_s <= 0.005:
        raise InputError(Problem(f"a step of {dt_s * 1e3:g} ms", field="--dt-ms", allowed="0.01 to 5 ms"))
    limit = time_limit_s(vehicle, ground)
    # The expected length counts, not the generous limit: a stall ends by itself.
    steps = math.ceil(limit / 3.0 / dt_s)
    if steps > MOST_STEPS:
        raise InputError(
            Problem(
                f"the run would take {steps:,} steps",
                field="--dt-ms",
                allowed=f"up to {MOST_STEPS:,}: a shorter course, more speed or a longer step",
            )
        )
    arrays = ground_arrays(ground.height_m, ground.dx_m, ground.speed_from_m, ground.speed_m_s)
    standing = stand(vehicle, arrays)
    _check_stands(standing)
    limits = Limits(end_m=ground.length_m, start_m=-1.0, time_s=min(limit, MOST_STEPS * dt_s))
    rows = run_steps(
        standing.assembly.model, standing.work, standing.state, dt_s, limits, compiled, on_progress
    )
    return Run(standing, rows, dt_s)
