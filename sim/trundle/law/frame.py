"""The vehicle in reduced coordinates: hull place and pitch, then one angle per joint.

Used to find the standing position, and by the tests to integrate the same law with another method.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner, merged
from trundle.law.losses import dampers
from trundle.law.state import KINDS
from trundle.law.step import forces

NEAR_M = 1e-6
"""Drift in one step of `drift` at which the vehicle counts as all but standing [m], [rad]."""

FASTEST_DRIFT = 0.004
"""It goes no further than this in one step [m], [rad]."""


@inner
def place(v, q, rates, s):
    """Set the bodies of State s from q = (x, y, pitch, joint angles...) and its rates, both (3 + nj,)."""
    hull = s.body[0]
    hull.x_m, hull.y_m, hull.angle_rad = q[0], q[1], q[2]
    hull.vx_m_s, hull.vy_m_s, hull.spin_rad_s = rates[0], rates[1], rates[2]
    for j in range(v.nj):
        a = v.joint[j]
        parent, child = s.body[a.parent], s.body[a.child]
        angle = parent.angle_rad - a.sign * q[3 + j]
        spin = parent.spin_rad_s - a.sign * rates[3 + j]
        cp, sp = math.cos(parent.angle_rad), math.sin(parent.angle_rad)
        cc, sc = math.cos(angle), math.sin(angle)
        hx, hy = cp * a.px - sp * a.py, sp * a.px + cp * a.py
        kx, ky = cc * a.cx - sc * a.cy, sc * a.cx + cc * a.cy
        child.x_m = parent.x_m + hx - kx
        child.y_m = parent.y_m + hy - ky
        child.angle_rad = angle
        child.vx_m_s = parent.vx_m_s - parent.spin_rad_s * hy + spin * ky
        child.vy_m_s = parent.vy_m_s + parent.spin_rad_s * hx - spin * kx
        child.spin_rad_s = spin


@inner
def pivot_of(v, s, j):
    """World place of the pivot of joint j [m]."""
    a = v.joint[j]
    parent = s.body[a.parent]
    c, n = math.cos(parent.angle_rad), math.sin(parent.angle_rad)
    return parent.x_m + c * a.px - n * a.py, parent.y_m + n * a.px + c * a.py


@inner
def generalised(v, s, w, out):
    """Generalised force of every load in w.load and of gravity on each coordinate, into out (3 + nj,)."""
    for k in range(out.shape[0]):
        out[k] = 0.0
    hull = s.body[0]
    for b in range(v.nb):
        body = s.body[b]
        fx, fy, t = 0.0, -v.body[b].mass * v.gravity, 0.0
        for kind in range(KINDS):
            fx += w.load[kind, b, 0]
            fy += w.load[kind, b, 1]
            t += w.load[kind, b, 2]
        out[0] += fx
        out[1] += fy
        out[2] += t + (body.x_m - hull.x_m) * fy - (body.y_m - hull.y_m) * fx
        # Every joint on the way from this body to the hull moves it.
        k = b
        while k > 0:
            a = v.joint[k - 1]
            px, py = pivot_of(v, s, k - 1)
            out[2 + k] -= a.sign * (t + (body.x_m - px) * fy - (body.y_m - py) * fx)
            k = a.parent


@merged
def out_of_balance(m, q, rates, s, c, out, damped):
    """Generalised forces with the vehicle at q, into out; with those of the dampers at these rates, if `damped`."""
    v, w = m.vehicle[0], c.work[0]
    place(v, q, rates, s)
    forces(m, s, c, 0.0)
    if damped:
        dampers(v, s, w, 0.0)
    generalised(v, s, w, out)


@inner
def drift(q, speed, out, ease):
    """One step of a heavily damped motion in made-up time, each coordinate but the first with its own share `ease` of
    drag and inertia. Returns how far from rest it is: the largest pull or drift."""
    worst = 0.0
    for k in range(1, q.shape[0]):
        pull = out[k] * ease[k]
        speed[k] = 0.9 * speed[k] + pull
        speed[k] = min(max(speed[k], -FASTEST_DRIFT), FASTEST_DRIFT)
        q[k] += speed[k]
        worst = max(worst, abs(pull), abs(speed[k]))
    return worst
