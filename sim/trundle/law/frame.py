"""The vehicle in reduced coordinates: hull place and pitch, then one angle per joint.

Used to find the standing position, and by the tests to integrate the same law with another method.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.step import forces
from trundle.law.work import KINDS, Work
from trundle.model.arrays import Model

NEAR_M = 1e-6
"""Drift in one step of `relax` at which the vehicle counts as all but standing [m], [rad]."""


@inner
def place(m: Model, q, v, state):
    """Fill `state` (nb, 6) from q = (x, y, pitch, joint angles...) and its rates v, both (3 + nj,)."""
    for k in range(3):
        state[0, k] = q[k]
        state[0, 3 + k] = v[k]
    for j in range(m.joints.shape[0]):
        a = m.joints[j]
        angle = state[a.parent, 2] - a.sign * q[3 + j]
        spin = state[a.parent, 5] - a.sign * v[3 + j]
        cp, sp = math.cos(state[a.parent, 2]), math.sin(state[a.parent, 2])
        cc, sc = math.cos(angle), math.sin(angle)
        hx, hy = cp * a.px - sp * a.py, sp * a.px + cp * a.py
        kx, ky = cc * a.cx - sc * a.cy, sc * a.cx + cc * a.cy
        state[a.child, 0] = state[a.parent, 0] + hx - kx
        state[a.child, 1] = state[a.parent, 1] + hy - ky
        state[a.child, 2] = angle
        state[a.child, 3] = state[a.parent, 3] - state[a.parent, 5] * hy + spin * ky
        state[a.child, 4] = state[a.parent, 4] + state[a.parent, 5] * hx - spin * kx
        state[a.child, 5] = spin


@inner
def pivot_of(m: Model, state, j):
    """World place of the pivot of joint j [m]."""
    a = m.joints[j]
    c, s = math.cos(state[a.parent, 2]), math.sin(state[a.parent, 2])
    return state[a.parent, 0] + c * a.px - s * a.py, state[a.parent, 1] + s * a.px + c * a.py


@inner
def generalised(m: Model, w: Work, state, out):
    """Generalised force of every load in w.load and of gravity on each coordinate, into out (3 + nj,)."""
    out[:] = 0.0
    for b in range(m.bodies.shape[0]):
        fx, fy, t = 0.0, -m.bodies[b].mass * m.gravity, 0.0
        for kind in range(KINDS):
            fx += w.load[kind, b, 0]
            fy += w.load[kind, b, 1]
            t += w.load[kind, b, 2]
        out[0] += fx
        out[1] += fy
        out[2] += t + (state[b, 0] - state[0, 0]) * fy - (state[b, 1] - state[0, 1]) * fx
        # Every joint on the way from this body to the hull moves it.
        k = b
        while k > 0:
            j = k - 1
            a = m.joints[j]
            px, py = pivot_of(m, state, j)
            out[3 + j] -= a.sign * (t + (state[b, 0] - px) * fy - (state[b, 1] - py) * fx)
            k = a.parent


@inner
def standing_force(m: Model, w: Work, q, still, state, out):
    """Generalised forces of the vehicle at rest at q."""
    place(m, q, still, state)
    forces(m, w, state, 0.0)
    generalised(m, w, state, out)


@inner
def relax(m: Model, w: Work, q, still, state, out, ease, steps):
    """Let q drift to rest: y, pitch and joints each with its own share `ease` of drag and inertia.

    A heavily damped motion in made-up time; it only has to come near enough for Newton's method, and ends
    when nothing is pulled by more than NEAR_M.
    """
    n = q.shape[0]
    speed = still.copy()
    for _ in range(steps):
        standing_force(m, w, q, still, state, out)
        worst = 0.0
        for k in range(1, n):
            pull = out[k] * ease[k]
            speed[k] = 0.9 * speed[k] + pull
            speed[k] = min(max(speed[k], -0.004), 0.004)
            q[k] += speed[k]
            worst = max(worst, abs(pull), abs(speed[k]))
        if worst < NEAR_M:
            return
