"""The pull of a vehicle without a track, wheel by wheel.

Every station's wheels turn for themselves: speed of the rim u and shear z of the tread, as a band has them
(trundle.law.drive). The motor's push is shared by load, and the speed it sees is the mean by the same shares, so
that no work is lost between. Given the push, each wheel's new speed is the root of a balance of its own that rises
with u; their mean rises with the push, and what the motor gives falls with it: one root again.
"""

from __future__ import annotations

import math

from trundle.law.compile import inner
from trundle.law.drive import SHEAR_S, book_push, motor, ramp, set_target
from trundle.law.ground import LOAD, NX, NY, RIM, SHEAR, SLIP, SLIPPED, TRACTION, VX, VY, X, Y, push
from trundle.law.work import TRACK, Work
from trundle.model.arrays import Model

SPEED, KEPT, OFFSET, GRIP, SHARE, SPIN = range(6)
"""Columns of Work.contact, a row a station. SPEED: of the rim at the end of the step [m/s]; KEPT: shear there without
slip at the end [m]; OFFSET: slip speed at u = 0 [m/s]; GRIP: the most it can pull [N]; SHARE: of the motor's push;
SPIN: inertia over the step [kg/s]."""

LEAST_SPIN_KG = 1e-3
"""A wheel whose file says it has no spin inertia has this at its rim [kg]."""


@inner
def tread(slip, kept, grip, full, dt):
    """Pull of a tread [N] at the slip it has at the end of a step, its slope by rim speed, and shear [m]."""
    z, z_slope = ramp(full, kept + 0.5 * slip * dt, full)
    pull, slope = ramp(grip, z + slip * SHEAR_S, full)
    return pull, slope * (0.25 * z_slope * dt + 0.5 * SHEAR_S), z


@inner
def rim(u, u0, given, row, full, dt):
    """Speed of a rim at the end of the step under a push `given` [N], sought from u, and its slope by that push."""
    spin, kept, grip, base = row[SPIN], row[KEPT], row[GRIP], 0.5 * u0 + row[OFFSET]
    low, high, rise = -1e3, 1e3, spin
    for _ in range(60):
        pull, slope, _z = tread(0.5 * u + base, kept, grip, full, dt)
        value, rise = spin * (u - u0) - given + pull, spin + slope
        if value > 0.0:
            high = u
        else:
            low = u
        step = u - value / rise
        if abs(step - u) < 1e-12:
            return step, 1.0 / rise
        u = step if low < step < high else 0.5 * (low + high)
    return u, 1.0 / rise


@inner
def share_out(d, contact, ring, road, target, turning, given, dt):
    """Set every rim's speed at the end of the step. Returns the motor's push [N] that goes with them, sought from
    `given`."""
    low, high = -d.brake, d.push
    given = min(max(given, low), high)
    for _ in range(60):
        mean, mean_slope = 0.0, 0.0
        for i in range(road):
            row = contact[i]
            share = row[SHARE]
            row[SPEED], slope = rim(row[SPEED], ring[i, RIM], given * share, row, d.shear, dt)
            mean += share * row[SPEED]
            mean_slope += share * share * slope
        wanted, slope = motor(d, target, mean + turning)
        value = given - wanted
        if value > 0.0:
            high = given
        else:
            low = given
        step = given - value / (1.0 - slope * mean_slope)
        # The rims belong to `given`: near enough, and motor and wheels do the same work.
        if abs(step - given) < 1e-7:
            break
        given = step if low < step < high else 0.5 * (low + high)
    return given


@inner
def wheels(m: Model, w: Work, dt):
    """A vehicle without a track: every road wheel is driven, by its load, as through differentials.

    Wheels chained to one shaft would hold each other, and the hull's pitch with them, which is not modelled. A
    wheel turns on its bearing, so the pull acts at its axle; the motor's torque is held by the hull.
    """
    if dt <= 0.0:
        return
    d = m.drive[0]
    load, grip = 0.0, 0.0
    for i in range(m.road):
        load += w.ring[i, LOAD]
    for i in range(m.road):
        row, ring = w.contact[i], w.ring[i]
        row[SPEED] = ring[RIM]
        row[KEPT] = ring[SHEAR] * math.exp(-abs(ring[RIM]) * dt / d.contact_length) + 0.5 * ring[SLIPPED] * dt
        row[OFFSET] = ring[VY] * ring[NX] - ring[VX] * ring[NY]
        row[GRIP] = d.grip * ring[LOAD]
        row[SHARE] = ring[LOAD] / load if load > 0.0 else 1.0 / m.road
        row[SPIN] = max(m.rings[i].spin, LEAST_SPIN_KG) / dt
        grip += row[GRIP]
    set_target(m, w, dt)
    radius = m.rings[0].radius
    turning = radius * (w.motion[0, 2] + w.gain[0, 2])
    given = share_out(d, w.contact, w.ring, m.road, w.carry[0].target, turning, w.carry[0].push, dt)
    u, middle, total, power, slipping = 0.0, 0.0, 0.0, 0.0, 0.0
    for i in range(m.road):
        row, ring = w.contact[i], w.ring[i]
        mean = 0.5 * (row[SPEED] + ring[RIM])
        u += row[SHARE] * row[SPEED]
        middle += row[SHARE] * mean
        ring[RIM] = row[SPEED]
        if ring[LOAD] <= 0.0:
            # Off the ground the tread springs back as its own loss lets it.
            ring[SHEAR] *= math.exp(-dt / SHEAR_S)
            ring[SLIPPED] = 0.0
            continue
        slip = mean + row[OFFSET]
        pull, _slope, ring[SHEAR] = tread(slip, row[KEPT], row[GRIP], d.shear, dt)
        ring[SLIP], ring[SLIPPED], ring[TRACTION] = slip, slip, pull
        total += pull
        power += pull * slip
        slipping += row[SHARE] * slip
        push(w.load, w.pose, TRACK, m.rings[i].body, ring[X], ring[Y], pull * ring[NY], -pull * ring[NX])
    w.load[TRACK, 0, 2] += given * radius
    w.carry[0].u = u
    w.carry[0].push = given
    w.carry[0].traction = total
    w.carry[0].slip = total / grip if grip > 0.0 else 0.0
    w.carry[0].slip_speed = slipping
    w.carry[0].grip_left = grip - abs(total)
    book_push(w.ledger, given * (middle + turning) * dt)
    w.ledger[0].slip += power * dt
