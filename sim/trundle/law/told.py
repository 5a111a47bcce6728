"""What the driver is told to do on the course, one instruction after the other: drive to a place, stand, back up."""

from __future__ import annotations

import math

from trundle.law.compile import inner

COMING, STANDING, BACKING, TURNING = 0, 1, 2, 3
"""On the way to an instruction's place; standing there; backing up; coming to a stand before driving on."""

STANDS_M_S = 0.01
"""A vehicle whose sprocket turns slower than this stands [m/s]."""

THERE_M = 1e-3
"""So near to its place it has got there [m]."""

EASE = 0.8
"""It brakes for a place with this share of what its target may change by, so that the target can follow."""


@inner
def slowed(wish, left, acceleration):
    """The most that `wish` [m/s] may be with `left` [m] to go to a stand."""
    return min(wish, math.sqrt(2.0 * EASE * acceleration * left))


@inner
def next_task(now):
    """The instruction is done."""
    now.task += 1
    now.doing = COMING


@inner
def carry_out(d, task, was, now, asked, x, dt):
    """The speed that an instruction asks at x where the course asks `asked`, backwards below 0 [m/s]; goes on in the
    list. d: the model's DRIVE; task: TASK; was, now: DRIVER_STATE before and after the step."""
    stands = was.target_m_s == 0.0 and abs(was.saw_m_s) < STANDS_M_S
    if was.doing == COMING:
        if task.at - x > THERE_M:
            return slowed(asked, task.at - x, d.acceleration)
        now.doing, now.stood_s = STANDING, 0.0
        return 0.0
    if was.doing == BACKING:
        if x - task.to > THERE_M:
            return -slowed(task.speed, x - task.to, d.acceleration)
        now.doing = TURNING
        return 0.0
    if not stands:
        return 0.0
    if was.doing == TURNING:
        next_task(now)
        return 0.0
    now.stood_s = was.stood_s + dt
    if now.stood_s >= task.wait_s:
        if task.to < task.at:
            now.doing = BACKING
        else:
            next_task(now)
    return 0.0
