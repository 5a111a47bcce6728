"""The step loop, compiled: read, account, work out forces, log, write, step; and when to stop."""

from __future__ import annotations

import math

import numpy as np

from trundle.engine.space import BodySpace
from trundle.law.compile import PLAIN, kernel
from trundle.law.log import write_row
from trundle.law.pivots import note_gain
from trundle.law.step import book, finite, forces, open_ledger, remember, total
from trundle.law.work import Work
from trundle.model.arrays import Floats, Model

GOING, COURSE_END, STALLED, OVERTURNED, DIVERGED, TIME_UP, ROLLED_BACK = range(7)
"""Why a run stands where it stands."""

OVERTURN_RAD = math.radians(75.0)
STALL_M = 0.06
STALL_S = 3.0
"""A hull whose nose has not got STALL_M further in STALL_S has stalled."""


def new_clock() -> Floats:
    """The clock of `before_step`, before the first step."""
    return np.zeros(6)


@kernel
def before_step(m: Model, w: Work, state, force, row, dt, clock, end_m, start_m):
    """All that happens between two moves of the bodies. Returns GOING or why to stop.

    clock (6,): time [s]; time without getting further [s]; velocity of the hull before the step (3); furthest
    place of its nose [m].
    """
    if not finite(state):
        return 4
    first = clock[0] == 0.0
    if not first:
        book(m, w, state, dt)
        note_gain(m, w, state)
    # Seat: acceleration of the centre of mass over the last step, plus what the hull's turning adds there.
    ax = (state[0, 3] - clock[2]) / dt
    ay = (state[0, 4] - clock[3]) / dt
    turn = (state[0, 5] - clock[4]) / dt
    if first:
        ax, ay, turn = 0.0, 0.0, 0.0
    clock[2], clock[3], clock[4] = state[0, 3], state[0, 4], state[0, 5]
    forces(m, w, state, dt)
    if first:
        open_ledger(m, w, state)
    h = m.hull[0]
    c, s = w.pose[0, 2], w.pose[0, 3]
    rx, ry = c * h.seat_x - s * h.seat_y, s * h.seat_x + c * h.seat_y
    spin = state[0, 5]
    sx, sy = ax - turn * ry - spin * spin * rx, ay + turn * rx - spin * spin * ry
    clock[0] += dt
    w.carry[0].time = clock[0]
    write_row(m, w, row, c * sy - s * sx, c * sx + s * sy)
    if not first:
        remember(m, w, state)
    total(w, force)
    nose = w.pose[0, 0] + c * h.nose_x
    if nose >= end_m:
        return 1
    if nose < start_m:
        return 6
    if abs(w.pose[0, 4]) > OVERTURN_RAD:
        return 3
    # Stalled: asked to move, but no further forward for a while (it may rock or dig to and fro meanwhile).
    if nose > clock[5] + STALL_M or first:
        clock[5], clock[1] = nose, 0.0
    elif w.carry[0].target > 0.1:
        clock[1] += dt
        if clock[1] > STALL_S:
            return 2
    return 0


if not PLAIN:
    from trundle.engine.calls import call_each, call_step, set_int

    @kernel
    def advance(m: Model, w: Work, at, state, force, log, begin, end, dt, clock, end_m, start_m):
        """Steps begin to end without returning to Python. Returns (rows written, why it stands)."""
        nb = m.bodies.shape[0]
        for i in range(begin, end):
            set_int(at[6], 0)
            call_each(at[1], at[0], at[2], at[3])
            why = before_step(m, w, state[:nb], force[:nb], log[i], dt, clock, end_m, start_m)
            if why == 4:
                return i, why
            set_int(at[7], 0)
            call_each(at[1], at[0], at[4], at[5])
            call_step(at[8], at[0], dt)
            if why != 0:
                return i + 1, why
        return end, 0


def advance_plain(
    m: Model, w: Work, space: BodySpace, log: Floats, begin: int, end: int, dt: float, clock: Floats,
    end_m: float, start_m: float,
) -> tuple[int, int]:  # fmt: skip
    """The same through pymunk's public calls: slower, bit for bit the same numbers."""
    nb = len(m.bodies)
    for i in range(begin, end):
        space.read()
        why = before_step(m, w, space.state[:nb], space.force[:nb], log[i], dt, clock, end_m, start_m)
        if why == DIVERGED:
            return i, why
        space.write()
        space.step(dt)
        if why != GOING:
            return i + 1, why
    return end, GOING
