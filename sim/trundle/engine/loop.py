"""The step loop, compiled: forces, log, write, step, read, account; and when to stop."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from trundle.law.compile import PLAIN, kernel, merged
from trundle.law.ledger import book, open_ledger
from trundle.law.losses import note_gain
from trundle.law.scratch import Scratch
from trundle.law.state import ASKED_M_S
from trundle.law.step import accept, finite, forces
from trundle.law.timeline import write_row
from trundle.model.arrays import Floats, Ints, Model, Records

if TYPE_CHECKING:
    from trundle.engine.space import BodySpace

GOING, COURSE_END, STALLED, OVERTURNED, DIVERGED, TIME_UP, ROLLED_BACK = range(7)
"""Why a run stands where it stands."""

OVERTURN_RAD = math.radians(75.0)

STALL_M = 0.06
STALL_S = 3.0
"""A hull whose nose has not got STALL_M further in STALL_S has stalled; asked for less than ASKED_M_S, in as much more
time as that is less."""


@merged
def seat(v, s, w):
    """Acceleration of the seat: of the centre of mass over the last step, plus what the hull's turning adds there."""
    h, pose, clock = v.hull, w.pose[0], s.clock
    rx, ry = pose.cos * h.seat_x - pose.sin * h.seat_y, pose.sin * h.seat_x + pose.cos * h.seat_y
    spin = s.body[0].spin_rad_s
    ax = clock.ax_m_s2 - clock.turn_rad_s2 * ry - spin * spin * rx
    ay = clock.ay_m_s2 + clock.turn_rad_s2 * rx - spin * spin * ry
    w.seat_up, w.seat_forward = pose.cos * ay - pose.sin * ax, pose.cos * ax + pose.sin * ay


@merged
def why_stop(v, s, w, first, dt, end_m, start_m):
    """GOING, or why the run ends with this step."""
    clock, pose = s.clock, w.pose[0]
    nose = pose.x + pose.cos * v.hull.nose_x
    if nose >= end_m:
        return COURSE_END
    if nose < start_m:
        return ROLLED_BACK
    if abs(pose.angle) > OVERTURN_RAD:
        return OVERTURNED
    # Stalled: asked to move, but no further that way for a while (it may rock or dig to and fro meanwhile).
    target = s.law.driver.target_m_s
    further = nose - clock.furthest_m if target > 0.0 else clock.furthest_m - nose
    if further > STALL_M or target == 0.0 or first:
        clock.furthest_m, clock.stuck_s = nose, 0.0
    else:
        clock.stuck_s += dt * min(1.0, abs(target) / ASKED_M_S)
        if clock.stuck_s > STALL_S:
            return STALLED
    return GOING


@merged
def begin_step(m, s, c, flat, picked, row, dt, end_m, start_m):
    """All that happens before the bodies move: forces, log. Returns GOING or why to stop."""
    v, w = m.vehicle[0], c.work[0]
    if not finite(v, s):
        return DIVERGED
    first = s.clock.time_s == 0.0
    forces(m, s, c, dt)
    if first:
        open_ledger(v, s, w)
    accept(s, w)
    s.clock.time_s += dt
    w.time_s = s.clock.time_s
    seat(v, s, w)
    write_row(flat, picked, row)
    return why_stop(v, s, w, first, dt, end_m, start_m)


@merged
def end_step(m, s, c, dt):
    """All that happens once they have moved: the ledger, and what the next step will want to know of this one."""
    v, w = m.vehicle[0], c.work[0]
    book(v, s, w, dt)
    note_gain(v, s, w)
    hull, was, clock = s.body[0], w.motion[0], s.clock
    clock.ax_m_s2 = (hull.vx_m_s - was.vx) / dt
    clock.ay_m_s2 = (hull.vy_m_s - was.vy) / dt
    clock.turn_rad_s2 = (hull.spin_rad_s - was.spin) / dt


if not PLAIN:
    from trundle.engine.calls import move_bodies, read_bodies, write_forces

    @kernel
    def advance(m, ss, c, flat, picked, door, log, dt, end_m, start_m):
        """A step for each row of `log` (n, width) in one go. Returns (rows written, why it stands)."""
        s, calls = ss[0], door[0]
        for i in range(log.shape[0]):
            why = begin_step(m, s, c, flat, picked, log[i], dt, end_m, start_m)
            if why == DIVERGED:
                return i, why
            write_forces(calls)
            move_bodies(calls, dt)
            read_bodies(calls)
            end_step(m, s, c, dt)
            if why != GOING:
                return i + 1, why
        return log.shape[0], GOING


@kernel
def begin_one(m, ss, c, flat, picked, log, i, dt, end_m, start_m):
    return begin_step(m, ss[0], c, flat, picked, log[i], dt, end_m, start_m)


@kernel
def end_one(m, ss, c, dt):
    end_step(m, ss[0], c, dt)


def advance_plain(
    m: Model, ss: Records, c: Scratch, flat: Floats, picked: Ints, space: BodySpace, log: Floats, dt: float,
    end_m: float, start_m: float,
) -> tuple[int, int]:  # fmt: skip
    """The same through pymunk's public calls: slower, bit for bit the same numbers."""
    for i in range(log.shape[0]):
        why = begin_one(m, ss, c, flat, picked, log, i, dt, end_m, start_m)
        if why == DIVERGED:
            return i, why
        space.write()
        space.step(dt)
        space.read()
        end_one(m, ss, c, dt)
        if why != GOING:
            return i + 1, why
    return log.shape[0], GOING
