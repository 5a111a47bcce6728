"""How fine and how long a run is: step and grid, number of steps, when it is given up. Nothing here is compiled."""

from __future__ import annotations

import math

import numpy as np

from trundle.errors import InputError, Problem
from trundle.spec.vehicle import Vehicle
from trundle.terrain.ground import Ground

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


def time_limit_s(vehicle: Vehicle, ground: Ground) -> float:
    """Long enough for three times the course at its target speeds, and 20 s more [s]."""
    own = vehicle.drive.speed_m_s
    speeds = np.where(np.isnan(ground.speed_m_s), own, ground.speed_m_s)
    starts = np.append(ground.speed_from_m, ground.length_m)
    travel = float(np.sum(np.diff(starts) / speeds))
    return 3.0 * travel + 20.0


def expected_steps(vehicle: Vehicle, ground: Ground, dt_s: float) -> int:
    """Steps to the course's end at the target speeds: not the generous limit, since a stall ends by itself."""
    return math.ceil(time_limit_s(vehicle, ground) / 3.0 / dt_s)
