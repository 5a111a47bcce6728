"""The whole force law of one step, and the energy ledger."""

from __future__ import annotations

import math

from trundle.law.band import track
from trundle.law.compile import inner, merged
from trundle.law.ground import RIM, belly, rings
from trundle.law.pivots import dampers, frictions, pair_springs, pivot_springs, set_pose, stops
from trundle.law.wheels import wheels
from trundle.law.work import KINDS, SPRING, TRACK, TYRE, Work
from trundle.model.arrays import Model


@merged
def forces(m: Model, w: Work, state, dt):
    """All forces on all bodies at the positions the coming step will reach, into w.load.

    state (nb, 6): x, y, angle, vx, vy, spin [m, rad, m/s, rad/s]. dt = 0: standing still at `state`.
    """
    w.load[:] = 0.0
    set_pose(m, w, state, dt)
    w.carry[0].spring_J = pivot_springs(m, w) + pair_springs(m, w)
    if dt > 0.0:
        dampers(m, w, dt)
        frictions(m, w, dt)
    stops(m, w, dt)
    w.carry[0].tyre_J = rings(m, w, dt)
    clear, pressed = belly(m, w)
    w.carry[0].belly_clear = clear
    w.carry[0].belly_N = pressed
    if m.band[0].on != 0:
        track(m, w, dt)
    else:
        wheels(m, w, dt)


@inner
def total(w: Work, force):
    """Sum of all kinds of force into `force` (nb, 3): fx, fy [N], torque [N.m]."""
    for b in range(w.load.shape[1]):
        for k in range(3):
            s = 0.0
            for kind in range(KINDS):
                s += w.load[kind, b, k]
            force[b, k] = s


@inner
def kinetic(m: Model, state):
    """Kinetic energy of all bodies [J]."""
    e = 0.0
    for b in range(m.bodies.shape[0]):
        e += m.bodies[b].mass * (state[b, 3] ** 2 + state[b, 4] ** 2) + m.bodies[b].inertia * state[b, 5] ** 2
    return 0.5 * e


@inner
def around(m: Model, w: Work):
    """Kinetic energy of what travels round: band and spinning wheels [J]."""
    if m.band[0].on != 0:
        return 0.5 * m.drive[0].mass * w.carry[0].u ** 2
    e = 0.0
    for i in range(m.road):
        e += 0.5 * m.rings[i].spin * w.ring[i, RIM] ** 2
    return e


@inner
def stored(w: Work):
    """Energy in springs, rubber and band [J]."""
    return w.carry[0].spring_J + w.carry[0].tyre_J + w.carry[0].band_J


@inner
def open_ledger(m: Model, w: Work, state):
    """Start the account at the present state, forces just worked out."""
    w.ledger[0].kinetic0 = kinetic(m, state)
    w.ledger[0].stored0 = stored(w)
    w.ledger[0].around0 = around(m, w)
    remember(m, w, state)


@inner
def remember(m: Model, w: Work, state):
    """Keep this step's forces and velocities for the work they will have done."""
    load, last, motion = w.load, w.last, w.last_motion
    for b in range(m.bodies.shape[0]):
        for k in range(3):
            motion[b, k] = state[b, 3 + k]
            for kind in range(KINDS):
                last[kind, b, k] = load[kind, b, k]


@inner
def book(m: Model, w: Work, state, dt):
    """Enter the work of the step just done: force times mean of the velocities before and after it.

    For a constant force over a step that is the exact change of kinetic energy it made. What is left over,
    when springs, rubber, band, motion and height are all accounted for, is the engine's error: position
    steps that are not the mean velocity, and work of the pivots.
    """
    led = w.ledger[0]
    last, was = w.last, w.last_motion
    throughput, gravity = 0.0, 0.0
    for b in range(m.bodies.shape[0]):
        mx = 0.5 * (state[b, 3] + was[b, 0]) * dt
        my = 0.5 * (state[b, 4] + was[b, 1]) * dt
        ma = 0.5 * (state[b, 5] + was[b, 2]) * dt
        for kind in range(KINDS):
            done = last[kind, b, 0] * mx + last[kind, b, 1] * my + last[kind, b, 2] * ma
            led.kind[kind] += done
            throughput += abs(done)
        fall = -m.bodies[b].mass * m.gravity * my
        gravity += fall
        throughput += abs(fall)
    w.ledger[0].gravity += gravity
    w.ledger[0].throughput += throughput
    work = led.gravity
    for kind in range(KINDS):
        work += led.kind[kind]
    # Bodies: all work on them is motion now. Springs and rubber: what they gave, they no longer hold.
    bodies = work - (kinetic(m, state) - led.kinetic0)
    # Track or wheels: motor and brake in; bodies, slip, drag, motion and stretch out.
    spent = led.kind[TRACK] + led.slip + led.drag + led.loose
    drive = led.motor + led.brake - spent - (around(m, w) - led.around0)
    elastic = -led.kind[SPRING] - led.kind[TYRE] + drive - (stored(w) - led.stored0)
    w.ledger[0].error = bodies + elastic


@inner
def finite(state):
    """True while every number of the state is finite and slower than any real vehicle could be."""
    for b in range(state.shape[0]):
        for k in range(6):
            if not math.isfinite(state[b, k]):
                return False
        if abs(state[b, 3]) > 200.0 or abs(state[b, 4]) > 200.0 or abs(state[b, 5]) > 2_000.0:
            return False
    return True
