"""Motor, brake and grip: how fast the band runs past the sprocket, and what each contact pulls.

The speed u of the band (of the tyres, without a track) is one degree of freedom with the inertia of all
that travels round. Pads and ground shear before they slide (trundle.law.grip), and fresh track laid down under the
hull takes shear away in proportion to travel (the idea of Janosi and Hanamoto 1961, on hard ground, with a straight
law). So the vehicle truly holds on a slope, and each contact pulls by its own slip and load.
Slip is that at the end of the step, where the forces belong: mean of u before and after, and wheels with half
a step's gain (trundle.law.losses.note_gain). It hangs on the new u, so it is stepped implicitly (midpoint rule): the
balance below rises with u everywhere and has exactly one root.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.contacts import keep
from trundle.law.driver import motor, pushed
from trundle.law.grip import carry, give_way, pulled

HOLD_M_S = 0.02
"""Below this speed rolling drag grows in proportion to speed [m/s]. It is that of the middle of a step, as its work is,
so that it never gives any back."""

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
def load_contacts(v, s, w, contacts, dt):
    """Bring every contact, and every ring that has none, to its load. Returns the most that all can pull [N]."""
    d, ledger = v.drive, w.next.ledger
    stays = max(0.0, 1.0 - abs(s.law.band.speed_m_s) * dt / d.contact_length)
    grip = 0.0
    for i in range(v.nr):
        if w.ring[i].load <= 0.0:
            ledger.slip_J += carry(d, w.next.ring[i].shear, 0.0, 1.0)
    for k in range(w.loop.contacts):
        ledger.slip_J += carry(d, contacts[k].shear, contacts[k].load, stays)
        grip += contacts[k].grip
    return grip


@inner
def solve_speed(d, driver, u0, turning, most_drag, contacts, count, dt):
    """Speed of the band at the end of the step [m/s]: inertia, motor, drag and traction in balance."""
    inertia = d.mass / dt
    u = u0
    low, high = -ROOT_WITHIN_M_S, ROOT_WITHIN_M_S
    for _ in range(60):
        middle = 0.5 * (u + u0)
        push, slope = motor(d, driver, u + turning)
        drag, drag_slope = ramp(most_drag, middle, HOLD_M_S)
        value = inertia * (u - u0) - push + drag
        rise = inertia - slope + 0.5 * drag_slope
        for k in range(count):
            pull, pull_slope, _layers = pulled(d, contacts[k].shear, middle + contacts[k].offset, dt)
            value += pull
            rise += 0.5 * pull_slope
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
def pull_all(v, w, contacts, middle, dt):
    """Let each contact pull as the band runs at `middle` [m/s] over the step. Returns the sum [N], and the contacts'
    slip, mean by grip [m/s]."""
    total, slipping, grip = 0.0, 0.0, 0.0
    for k in range(w.loop.contacts):
        contact = contacts[k]
        slip = middle + contact.offset
        contact.pull, lost = give_way(v.drive, contact.shear, slip, dt)
        w.next.ledger.slip_J += lost
        if keep(w, contact):
            w.shear_J += contact.shear.held_J
        else:
            w.next.ledger.slip_J += contact.shear.held_J
        total += contact.pull
        slipping += contact.grip * slip
        grip += contact.grip
        if contact.ring >= 0:
            w.ring[contact.ring].traction = contact.pull
            w.ring[contact.ring].slip = slip
    return total, slipping / grip if grip > 0.0 else middle


@inner
def turns_by(v, s, w):
    """What the hull's pitching adds to the speed that the motor sees [m/s]: it stands on the hull."""
    return v.ring[v.band.sprocket].radius * (w.motion[0].spin + s.gain[0].spin_rad_s)


@inner
def run_on(v, s, w, contacts, dt):
    """Step the band's speed, and set each contact's pull."""
    d, was, now, driver = v.drive, s.law.band, w.next.band, w.next.driver
    turning = turns_by(v, s, w)
    load = 0.0
    for i in range(v.road):
        load += w.ring[i].load
    most_drag = v.band.drag * load
    grip = load_contacts(v, s, w, contacts, dt)
    u0 = was.speed_m_s
    u = solve_speed(d, driver, u0, turning, most_drag, contacts, w.loop.contacts, dt)
    push, _ = motor(d, driver, u + turning)
    middle = 0.5 * (u + u0)
    drag, _ = ramp(most_drag, middle, HOLD_M_S)
    total, slip = pull_all(v, w, contacts, middle, dt)
    now.speed_m_s, now.slip_m_s, now.push_N, now.traction_N = u, slip, push, total
    w.drag = drag
    w.grip_used = total / grip if grip > 0.0 else 0.0
    w.next.ledger.drag_J += drag * middle * dt


@inner
def book_drive(v, s, w, dt):
    """Enter what the push does, at the sprocket, once it is known on which side the band is taut.

    The driver goes by the speed of the whole band.
    """
    was, now = s.law.band, w.next.band
    turning = turns_by(v, s, w)
    middle = 0.5 * (now.speed_m_s + was.speed_m_s)
    pushed(v.drive, w.next, now.push_N, middle + w.loop.ahead + turning, now.speed_m_s + turning, dt)
