"""The whole force law of one step, as a function of model and State."""

from __future__ import annotations

import math

from trundle.law.band import track
from trundle.law.belly import belly
from trundle.law.compile import inner
from trundle.law.losses import dampers, frictions, stops
from trundle.law.place import set_pose
from trundle.law.rings import rings
from trundle.law.springs import pair_springs, pivot_springs
from trundle.law.state import KINDS
from trundle.law.wheels import wheels

BLOWN_UP_M_S = 200.0
BLOWN_UP_RAD_S = 2_000.0
"""Beyond these no vehicle moves: the numbers have blown up."""


@inner
def clear_loads(v, w):
    """No force on any body."""
    for kind in range(KINDS):
        for b in range(v.nb):
            for k in range(3):
                w.load[kind, b, k] = 0.0


@inner
def total(v, w):
    """Sum of all kinds of force into w.force: fx, fy [N], torque [N.m]."""
    for b in range(v.nb):
        for k in range(3):
            force = 0.0
            for kind in range(KINDS):
                force += w.load[kind, b, k]
            w.force[b, k] = force


@inner
def forces(m, s, c, dt):
    """All forces on all bodies at the positions the coming step will reach, into the scratch c. State s stays as it is:
    what the law would have it remember is in c.work[0] (see `accept`). dt = 0: standing still at s.
    """
    v, g, w = m.vehicle[0], m.ground, c.work[0]
    w.next = s.law
    w.order.n, w.ground.n = 0, 0
    clear_loads(v, w)
    set_pose(v, s, w, dt)
    w.spring_J = pivot_springs(v, m.springs, w) + pair_springs(v, m.lifts, w)
    if dt > 0.0:
        dampers(v, s, w, dt)
        frictions(v, s, w, dt)
    stops(v, s, w, dt)
    w.tyre_J = rings(v, g, s, w, dt)
    w.belly_clear, w.belly_N = belly(v, m.belly, g, w, dt)
    w.loop.stored = 0.0
    w.drag, w.grip_used, w.shear_J = 0.0, 0.0, 0.0
    if v.band.on != 0:
        track(v, g, s, w, c.nodes, c.contacts, c.gates, c.chains, dt)
    else:
        wheels(v, g, s, w, dt)
    w.stored_J = w.spring_J + w.tyre_J + w.loop.stored + w.shear_J
    total(v, w)


@inner
def accept(s, w):
    """Take over what the law remembers: the step is taken."""
    s.law = w.next
    s.order.n, s.ground.n = w.order.n, w.ground.n
    for k in range(w.order.n):
        s.order.owner[k] = w.order.owner[k]
    for k in range(w.ground.n):
        s.ground.owner[k] = w.ground.owner[k]
        s.ground.shear[k] = w.ground.shear[k]


@inner
def finite(v, s):
    """True while every number of the bodies is finite and slower than any real vehicle could be."""
    for b in range(v.nb):
        body = s.body[b]
        place = body.x_m + body.y_m + body.angle_rad
        if not math.isfinite(place):
            return False
        if not (abs(body.vx_m_s) <= BLOWN_UP_M_S and abs(body.vy_m_s) <= BLOWN_UP_M_S):
            return False
        if not abs(body.spin_rad_s) <= BLOWN_UP_RAD_S:
            return False
    return True
