"""One vehicle over one ground: stand, run, keep the raw log."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trundle.engine.blows import check_blows
from trundle.engine.carry import check_carried
from trundle.engine.length import (
    MOST_STEPS,
    check_course,
    check_step,
    default_step_s,
    expected_steps,
    shorter,
    time_limit_s,
    trip,
)  # fmt: skip
from trundle.engine.roll import Limits, Rows, run_steps
from trundle.engine.standing import Standing, stand
from trundle.errors import InputError, Problem, StandingError
from trundle.model.ground import course_arrays
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground


@dataclass(frozen=True)
class Run:
    """Raw result: standing position, log, step [s]."""

    standing: Standing
    rows: Rows
    dt_s: float


def _check_stands(standing: Standing) -> None:
    """A hull that stands on its belly, or with every spring on its bump stop, is not worth rolling.

    Raises StandingError, with the share of the load that the belly, or the springs, hold.
    """
    work = standing.scratch.work[0]
    weight = standing.assembly.weight_N
    if work.belly_N > 0.01 * weight:
        raise StandingError(
            Problem(
                f"the hull rests on its belly, which carries {100.0 * work.belly_N / weight:.0f} % of the weight: "
                "wheels, arms or springs are too short or too weak",
                field="bogie",
            )
        )
    check_carried(standing.assembly, standing.q)


@dataclass(frozen=True)
class Start:
    """A vehicle at the start of a course: how it stands there, the step [s], and where the run will end."""

    standing: Standing
    dt_s: float
    limits: Limits


def at_start(vehicle: Vehicle, ground: Ground, dt_s: float | None = None) -> Start:
    """Stand `vehicle` at the start of `ground`, to be run in steps of dt_s (None: by its kind).

    Raises InputError (StandingError) if it cannot stand, or the run would be too long.
    """
    if dt_s is None:
        dt_s = default_step_s(vehicle)
    check_step(dt_s * 1e3)
    steps = expected_steps(vehicle, ground, dt_s)
    if steps > MOST_STEPS:
        told = trip(vehicle, ground)
        raise InputError(
            Problem(
                f"the run would take {steps:,} steps",
                argument="dt_ms",
                allowed=f"up to {MOST_STEPS:,}: {shorter(told.waiting_s > told.moving_s)}",
            )
        )
    standing = stand(vehicle, course_arrays(ground))
    _check_stands(standing)
    check_blows(standing.assembly, dt_s)
    check_course(ground, vehicle, float(standing.q[0]), float(standing.assembly.model.hull.nose_x))
    limits = Limits(end_m=ground.length_m, start_m=-1.0, time_s=min(time_limit_s(vehicle, ground), MOST_STEPS * dt_s))
    return Start(standing, dt_s, limits)


def simulate(
    vehicle: Vehicle,
    ground: Ground,
    dt_s: float | None = None,
    compiled: bool = True,
    on_progress: Callable[[float], None] | None = None,
) -> Run:
    """Run `vehicle` from standstill at the start of `ground` to its end; arguments and errors as `at_start`."""
    return rolled(at_start(vehicle, ground, dt_s), compiled, on_progress)


def rolled(start: Start, compiled: bool = True, on_progress: Callable[[float], None] | None = None) -> Run:
    """Run a vehicle from where it stands to the end. Raises ComputerError as trundle.engine.roll.run_steps."""
    standing = start.standing
    rows = run_steps(standing.assembly.model, standing.state, start.dt_s, start.limits, compiled, on_progress)
    return Run(standing, rows, start.dt_s)
