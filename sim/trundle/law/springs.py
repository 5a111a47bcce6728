"""Springs: on one pivot each, and the leaf that couples two."""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.place import turn
from trundle.law.state import SPRING
from trundle.steel.leaf import end_forces as leaf_end_forces

end_forces = inner(leaf_end_forces)


@inner
def interval(n, angle_from, angle_step, angle):
    """Interval of an even table of n points that holds `angle` (the nearest, past its ends), and where in it [-]."""
    at = (angle - angle_from) / angle_step
    i = min(max(math.floor(at), 0), n - 2)
    return i, at - i


@inner
def pivot_springs(v, springs, w):
    """Springs that work on one pivot each. Returns the energy they hold [J]."""
    held = 0.0
    for j in range(v.nj):
        a, joint = v.joint[j], w.joint[j]
        joint.spring = 0.0
        if a.table_n == 0:
            continue
        i, share = interval(a.table_n, a.angle_from, a.angle_step, joint.angle)
        here, there = springs[a.table_from + i], springs[a.table_from + i + 1]
        torque = here.torque + (there.torque - here.torque) * share
        joint.spring = torque
        turn(w, a, SPRING, torque)
        # The table is straight between its points, so the energy is the exact area under it.
        over = joint.angle - (a.angle_from + i * a.angle_step)
        held += here.energy - 0.5 * (here.torque + torque) * over
    return held


@inner
def lift(lifts, start, q, angle):
    """How far an arm lifts its end of the leaf of pair record q [m], and the slope by its angle [m/rad]."""
    i, share = interval(q.table_n, q.angle_from, q.angle_step, angle)
    slope = lifts[start + i + 1] - lifts[start + i]
    return lifts[start + i] + slope * share, slope / q.angle_step


@inner
def pair_springs(v, lifts, w):
    """Leaves across two arms: an end can push but not pull (trundle.steel.leaf.end_forces).

    Returns the energy they hold [J].
    """
    held = 0.0
    for p in range(v.np):
        q = v.pair[p]
        fore, aft = w.joint[q.fore], w.joint[q.aft]
        d0, s0 = lift(lifts, q.table_from, q, fore.angle)
        d1, s1 = lift(lifts, q.table_from + q.table_n, q, aft.angle)
        f0, f1, _, energy = end_forces(q.k_fore, q.k_cross, q.k_aft, q.rock_gap, q.rock_rate, d0, d1)
        held += energy
        fore.spring += -s0 * f0
        aft.spring += -s1 * f1
        turn(w, v.joint[q.fore], SPRING, -s0 * f0)
        turn(w, v.joint[q.aft], SPRING, -s1 * f1)
    return held
