"""The energy ledger: where every joule of a run went, and how much it cannot account for."""

from __future__ import annotations

import numpy as np

from trundle.law.compile import inner
from trundle.law.state import KINDS, SPRING, TRACK, TYRE
from trundle.law.top import swinging

GIVES_BACK = np.array([1.0 if kind in (SPRING, TYRE) else 0.0 for kind in range(KINDS)])
"""1 for the kinds of force whose work is stored."""


@inner
def kinetic(v, s):
    """Kinetic energy of all bodies [J]."""
    e = 0.0
    for b in range(v.nb):
        body, part = s.body[b], v.body[b]
        vx, vy, spin = body.vx_m_s, body.vy_m_s, body.spin_rad_s
        e += part.mass * (vx * vx + vy * vy) + part.inertia * (spin * spin)
    return 0.5 * e


@inner
def around(v, law):
    """Kinetic energy of what travels round: band, with its top run's swing, and spinning wheels [J]. law: a MEMORY."""
    if v.band.on != 0:
        return 0.5 * v.drive.mass * (law.band.speed_m_s * law.band.speed_m_s) + swinging(v, law)
    e = 0.0
    for i in range(v.road):
        e += 0.5 * v.ring[i].spin * (law.ring[i].rim_m_s * law.ring[i].rim_m_s)
    return e


@inner
def open_ledger(v, s, w):
    """Start the account at State s, forces just worked out."""
    ledger = w.next.ledger
    ledger.kinetic0_J = kinetic(v, s)
    ledger.stored0_J = w.stored_J
    ledger.around0_J = around(v, w.next)


@inner
def book(v, s, w, dt):
    """Enter the work of the step just done: force times mean of the velocities before and after it.

    For a constant force over a step that is the exact change of kinetic energy it made. What is left over,
    when springs, rubber, band, motion and height are all accounted for, is the engine's error: position
    steps that are not the mean velocity, and work of the pivots. Forces belong to the place that the bodies pass half
    way through that work: what springs, rubber and a taut loop hold there is set against half of the last step's.
    """
    ledger = s.law.ledger
    fallen, ahead = 0.0, 0.0
    for b in range(v.nb):
        body, was = s.body[b], w.motion[b]
        mx = 0.5 * (body.vx_m_s + was.vx) * dt
        my = 0.5 * (body.vy_m_s + was.vy) * dt
        ma = 0.5 * (body.spin_rad_s + was.spin) * dt
        for kind in range(KINDS):
            done = w.load[kind, b, 0] * mx + w.load[kind, b, 1] * my + w.load[kind, b, 2] * ma
            ledger.kind_J[kind] += done
            ahead += done * GIVES_BACK[kind]
        fallen -= v.body[b].mass * v.gravity * my
    ledger.gravity_J += fallen
    work = ledger.gravity_J
    for kind in range(KINDS):
        work += ledger.kind_J[kind]
    # Bodies: all work on them is motion now. Springs and rubber: what they gave, they no longer hold.
    gained = kinetic(v, s) - ledger.kinetic0_J
    round_gained = around(v, s.law) - ledger.around0_J
    ledger.moving_J = gained + round_gained
    # Track or wheels: motor and brake in; bodies, slip, drag, motion and stretch out.
    spent = ledger.kind_J[TRACK] + ledger.slip_J + ledger.drag_J + ledger.loose_J
    drive = ledger.motor_J + ledger.brake_J - spent - round_gained
    elastic = -ledger.kind_J[SPRING] - ledger.kind_J[TYRE] + drive - (w.stored_J - ledger.stored0_J)
    if v.band.on != 0 and w.loop.spare <= 0.0:
        ahead -= s.law.band.top_N * v.band.away * w.loop.growth * dt
    ledger.error_J = work - gained + elastic + 0.5 * ahead
