"""Inertia, drag and grip: how fast the band runs past the sprocket, and what each contact pulls.

The speed u of the band (of the tyres, without a track) is one degree of freedom with the inertia of all
that travels round. Pads and ground shear before they slide: traction grows with the shear displacement z
that the slip has built up, reaches grip * load at z = full, and fresh track laid down under the hull takes
shear away in proportion to travel (the idea of Janosi and Hanamoto 1961, on hard ground, with a straight
law). So the vehicle truly holds on a slope, and the pull is shared over the contacts by their load.
Slip is that at the end of the step, where the forces belong: mean of u before and after, and wheels with half
a step's gain (trundle.law.losses.note_gain). z grows by the mean of the slips at both ends of the step. Both hang
on the new u, so they are stepped implicitly: the balance below rises with u everywhere and has exactly one root.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.driver import motor, pushed

HOLD_M_S = 0.02
"""Below this speed the internal drag grows in proportion to speed [m/s]."""

SHEAR_S = 0.002
"""Slip that counts as shear at once, per slip speed [s]: the loss in the pads that keeps shear from ringing."""

ROOT_WITHIN_M_S = 1e3
"""The new speed is sought within plus and minus this [m/s]."""


@inner
def ramp(most, x, full):
    """A value that grows from -most to most while x goes from -full to full, and its slope."""
    if x >= full:
        return most, 0.0
    if x <= -full:
        return -most, 0.0
    return most * x / full, most / full


@inner
def tread(slip, kept, grip, full, dt):
    """Pull of a tread [N] at the slip it has at the end of a step, its slope by the mean of the speeds before and
    after, and shear [m]. kept: shear there without slip at the end."""
    z, z_slope = ramp(full, kept + 0.5 * slip * dt, full)
    pull, slope = ramp(grip, z + slip * SHEAR_S, full)
    return pull, slope * (0.25 * z_slope * dt + 0.5 * SHEAR_S), z


@inner
def gripped(contacts, count):
    """The most that all contacts can pull [N], and their slip with the band at rest, mean by grip [m/s]."""
    grip, offset = 0.0, 0.0
    for k in range(count):
        grip += contacts[k].grip
        offset += contacts[k].grip * contacts[k].offset
    return grip, offset / grip if grip > 0.0 else offset


@inner
def solve_speed(d, driver, u0, turning, most_drag, kept, offset, grip, dt):
    """Speed of the band at the end of the step [m/s]: inertia, motor, drag and traction in balance."""
    inertia = d.mass / dt
    u = u0
    low, high = -ROOT_WITHIN_M_S, ROOT_WITHIN_M_S
    for _ in range(60):
        push, slope = motor(d, driver, u + turning)
        drag, drag_slope = ramp(most_drag, u, HOLD_M_S)
        pulled, pull_slope, _z = tread(0.5 * (u + u0) + offset, kept, grip, d.shear, dt)
        value = inertia * (u - u0) - push + drag + pulled
        rise = inertia - slope + drag_slope + pull_slope
        if value > 0.0:
            high = u
        else:
            low = u
        step = u - value / rise
        if not low <= step <= high:
            step = 0.5 * (low + high)
        if abs(step - u) < 1e-12:
            return step
        u = step
    return u


@inner
def share_pull(w, contacts, share, middle, dt):
    """Give each contact its share of its grip, and book what slips. Returns the sum [N]."""
    total, power = 0.0, 0.0
    for k in range(w.loop.contacts):
        contact = contacts[k]
        contact.pull = share * contact.grip
        total += contact.pull
        power += contact.pull * (middle + contact.offset)
        if contact.ring >= 0:
            w.ring[contact.ring].traction = contact.pull
            w.ring[contact.ring].slip = middle + contact.offset
    w.next.ledger.slip_J += power * dt
    return total


@inner
def run_on(v, s, w, contacts, dt):
    """Step the band's speed and shear, and set each contact's pull."""
    d, was, now = v.drive, s.law.band, w.next.band
    # The motor stands on the hull: as the hull pitches, the sprocket turns with it.
    turning = v.ring[v.band.sprocket].radius * (w.motion[0].spin + s.gain[0].spin_rad_s)
    load = 0.0
    for i in range(v.road):
        load += w.ring[i].load
    most_drag = v.band.drag * load
    grip, offset = gripped(contacts, w.loop.contacts)
    u0 = was.speed_m_s
    kept = was.shear_m * max(0.0, 1.0 - abs(u0) * dt / d.contact_length) + 0.5 * was.slip_m_s * dt
    driver = w.next.driver
    u = solve_speed(d, driver, u0, turning, most_drag, kept, offset, grip, dt)
    push, _ = motor(d, driver, u + turning)
    drag, _ = ramp(most_drag, u, HOLD_M_S)
    middle = 0.5 * (u + u0)
    slip = middle + offset
    share, _, shear = tread(slip, kept, 1.0, d.shear, dt)
    total = share_pull(w, contacts, share, middle, dt)
    now.speed_m_s, now.shear_m, now.slip_m_s, now.push_N, now.traction_N = u, shear, slip, push, total
    w.drag, w.grip_used, w.grip_left = drag, share, grip - abs(total)
    pushed(d, w.next, push, middle + turning, u + turning, dt)
    w.next.ledger.drag_J += drag * middle * dt
