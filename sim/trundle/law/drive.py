"""Motor, brake and grip: how fast the band runs past the sprocket, and what each contact pulls.

The speed u of the band (of the tyres, without a track) is one degree of freedom with the inertia of all
that travels round. Pads and ground shear before they slide: traction grows with the shear displacement z
that the slip has built up, reaches grip * load at z = full, and fresh track laid down under the hull takes
shear away in proportion to travel (the idea of Janosi and Hanamoto 1961, on hard ground, with a straight
law). So the vehicle truly holds on a slope, and the pull is shared over the contacts by their load.
Slip is that at the end of the step, where the forces belong: mean of u before and after, and wheels with half
a step's gain (trundle.law.pivots.note_gain). z grows by the mean of the slips at both ends of the step. Both hang
on the new u, so they are stepped implicitly: the balance below rises with u everywhere and has exactly one root.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.ground import LOAD, SLIP, TRACTION
from trundle.law.work import Work
from trundle.model.arrays import Model

RING, ALONG_X, ALONG_Y, GRIP, OFFSET, PULL, NODE, WIDE = range(8)
"""Columns of Work.contact. OFFSET: slip speed at u = 0 [m/s]; GRIP: the most it can pull [N]."""

HOLD_M_S = 0.02
"""Below this speed the internal drag grows in proportion to speed [m/s]."""

STIFF_M_S = 0.05
"""Shortfall of speed at which the driver gives all the motor has [m/s]."""


SHEAR_S = 0.002
"""Slip that counts as shear at once, per slip speed [s]: the loss in the pads that keeps shear from ringing."""


@inner
def ramp(most, x, full):
    """A value that grows from -most to most while x goes from -full to full, and its slope."""
    if x >= full:
        return most, 0.0
    if x <= -full:
        return -most, 0.0
    return most * x / full, most / full


@inner
def motor(d, target, u):
    """Push of the sprocket on the band [N] at band speed u, and its slope. d: the model's DRIVE record."""
    most = d.push
    most_slope = 0.0
    if u * most > d.power:
        most = d.power / u
        most_slope = -most / u
    want = (target - u) * d.push / STIFF_M_S
    if want > most:
        return most, most_slope
    if want < -d.brake:
        return -d.brake, 0.0
    return want, -d.push / STIFF_M_S


@inner
def book_push(ledger, work):
    """Enter what the push of the sprocket (wheeled: of the motor) has done in a step [J]: motor gives, brake takes."""
    if work > 0.0:
        ledger[0].motor += work
    else:
        ledger[0].brake += work


@inner
def set_target(m: Model, w: Work, dt):
    """Move the driver's target towards what the course asks where the hull is, no faster than allowed."""
    c = w.carry[0]
    wish = m.drive[0].speed
    for k in range(m.ground.speed.shape[0]):
        if w.pose[0, 0] >= m.ground.speed_from[k]:
            asked = m.ground.speed[k]
            wish = asked if asked == asked else m.drive[0].speed
    step = m.drive[0].acceleration * dt
    w.carry[0].target = c.target + min(max(wish - c.target, -step), step)


@inner
def run_on(m: Model, w: Work, contacts, turning, dt):
    """Step the band's speed and shear, and set each contact's pull.

    turning: speed of the sprocket's rim from the hull's own pitching [m/s], which the motor feels on top of u.
    """
    c = w.carry[0]
    d = m.drive[0]
    load = 0.0
    for i in range(m.road):
        load += w.ring[i, LOAD]
    most_drag = m.band[0].drag * load
    grip, offset = 0.0, 0.0
    for k in range(contacts):
        grip += w.contact[k, GRIP]
        offset += w.contact[k, GRIP] * w.contact[k, OFFSET]
    if grip > 0.0:
        offset /= grip
    u0, z0, slip0 = c.u, c.shear, c.slip_speed
    inertia = d.mass / dt
    kept = z0 * max(0.0, 1.0 - abs(u0) * dt / d.contact_length)
    u = u0
    low, high = -1e3, 1e3
    for _ in range(60):
        push, slope = motor(d, c.target, u + turning)
        drag, drag_slope = ramp(most_drag, u, HOLD_M_S)
        slip = 0.5 * (u + u0) + offset
        z, z_slope = ramp(d.shear, kept + 0.5 * (slip0 + slip) * dt, d.shear)
        pulled, pull_slope = ramp(grip, z + slip * SHEAR_S, d.shear)
        value = inertia * (u - u0) - push + drag + pulled
        rise = inertia - slope + drag_slope + pull_slope * (0.25 * z_slope * dt + 0.5 * SHEAR_S)
        if value > 0.0:
            high = u
        else:
            low = u
        step = u - value / rise
        if not low <= step <= high:
            step = 0.5 * (low + high)
        if abs(step - u) < 1e-12:
            u = step
            break
        u = step
    push, _ = motor(d, c.target, u + turning)
    drag, _ = ramp(most_drag, u, HOLD_M_S)
    middle = 0.5 * (u + u0)
    slip = middle + offset
    z, _ = ramp(d.shear, kept + 0.5 * (slip0 + slip) * dt, d.shear)
    share, _ = ramp(1.0, z + slip * SHEAR_S, d.shear)
    total, power = 0.0, 0.0
    for k in range(contacts):
        p = share * w.contact[k, GRIP]
        w.contact[k, PULL] = p
        total += p
        power += p * (middle + w.contact[k, OFFSET])
        i = int(w.contact[k, RING])
        if i >= 0:
            w.ring[i, TRACTION] = p
            w.ring[i, SLIP] = middle + w.contact[k, OFFSET]
    w.carry[0].u = u
    w.carry[0].shear = z
    w.carry[0].push = push
    w.carry[0].drag = drag
    w.carry[0].traction = total
    w.carry[0].slip = share
    w.carry[0].slip_speed = slip
    w.carry[0].grip_left = grip - abs(total)
    book_push(w.ledger, push * (middle + turning) * dt)
    w.ledger[0].drag += drag * middle * dt
    w.ledger[0].slip += power * dt
