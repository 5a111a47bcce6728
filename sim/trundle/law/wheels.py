"""The pull of a vehicle without a track, wheel by wheel.

Every station's wheels turn for themselves, with a speed of the rim and a shear of the tread (trundle.law.grip). The
motor's push is shared by load, and the speed it sees is the mean by the same shares, so that no work is lost between.
Given the push, each wheel's new speed is the root of a balance of its own that rises with u; their mean rises with the
push, and what the motor gives falls with it: one root again. Rolling takes a share of the load at any speed, as a force
at the rim against its turning: the ground's push stands a little ahead of the axle, so the hull holds nothing of it.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.drive import HOLD_M_S, ROOT_WITHIN_M_S, ramp
from trundle.law.driver import limits, motor, pushed, set_target
from trundle.law.grip import carry, give_way, pulled
from trundle.law.place import push_ring
from trundle.law.state import TRACK

LEAST_SPIN_KG = 1e-3
"""A wheel whose file says it has no spin inertia has this at its rim [kg]."""


@inner
def rim(d, wheel, u0, given, dt):
    """Speed of a rim at the end of the step under a push `given` [N], sought from wheel.speed, and its slope by that
    push."""
    base = 0.5 * u0 + wheel.offset
    u, low, high, rise = wheel.speed, -ROOT_WITHIN_M_S, ROOT_WITHIN_M_S, wheel.spin
    for _ in range(60):
        pull, slope, _layers = pulled(d, wheel.shear, 0.5 * u + base, dt)
        drag, drag_slope = ramp(wheel.drag, 0.5 * (u + u0), HOLD_M_S)
        value, rise = wheel.spin * (u - u0) - given + pull + drag, wheel.spin + 0.5 * (slope + drag_slope)
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
def share_out(v, s, w, turning, dt):
    """Set every rim's speed at the end of the step. Returns the motor's push [N] that goes with them."""
    d = v.drive
    low, high = limits(d, w.next.driver)
    given = min(max(s.law.band.push_N, low), high)
    for _ in range(60):
        mean, mean_slope = 0.0, 0.0
        for i in range(v.road):
            wheel = w.wheel[i]
            wheel.speed, slope = rim(d, wheel, s.law.ring[i].rim_m_s, given * wheel.share, dt)
            mean += wheel.share * wheel.speed
            mean_slope += wheel.share * wheel.share * slope
        wanted, slope = motor(d, w.next.driver, mean + turning)
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
def prepare(v, s, w, dt):
    """What each wheel brings to the balance, into w.wheel. Returns the most that all can pull [N]."""
    d = v.drive
    load, grip = 0.0, 0.0
    for i in range(v.road):
        load += w.ring[i].load
    for i in range(v.road):
        wheel, ring, was = w.wheel[i], w.ring[i], s.law.ring[i]
        wheel.speed, wheel.shear = was.rim_m_s, was.shear
        # Off the ground the tread has sprung back.
        stays = max(0.0, 1.0 - abs(was.rim_m_s) * dt / d.contact_length)
        w.next.ledger.slip_J += carry(d, wheel.shear, ring.load, stays)
        wheel.offset = ring.vy * ring.nx - ring.vx * ring.ny
        wheel.grip = d.grip * ring.load
        wheel.drag = v.ring[i].drag * ring.load
        wheel.share = ring.load / load if load > 0.0 else 1.0 / v.road
        wheel.spin = max(v.ring[i].spin, LEAST_SPIN_KG) / dt
        grip += wheel.grip
    return grip


@inner
def wheels(v, g, s, w, dt):
    """A vehicle without a track: every road wheel is driven, by its load, as through differentials.

    Wheels chained to one shaft would hold each other, and the hull's pitch with them, which is not modelled. A
    wheel turns on its bearing, so the pull acts at its axle; the motor's torque is held by the hull.
    """
    if dt <= 0.0:
        return
    d = v.drive
    grip = prepare(v, s, w, dt)
    set_target(v, g, s, w, dt)
    turning = d.radius * (w.motion[0].spin + s.gain[0].spin_rad_s)
    given = share_out(v, s, w, turning, dt)
    u, middle, total, slipping = 0.0, 0.0, 0.0, 0.0
    for i in range(v.road):
        wheel, ring, was, kept = w.wheel[i], w.ring[i], s.law.ring[i], w.next.ring[i]
        mean = 0.5 * (wheel.speed + was.rim_m_s)
        u += wheel.share * wheel.speed
        middle += wheel.share * mean
        kept.rim_m_s = wheel.speed
        drag, _ = ramp(wheel.drag, mean, HOLD_M_S)
        w.drag += drag
        w.next.ledger.drag_J += drag * mean * dt
        slip = mean + wheel.offset
        pull, lost = give_way(d, wheel.shear, slip, dt)
        kept.shear = wheel.shear
        w.next.ledger.slip_J += lost
        w.shear_J += wheel.shear.held_J
        if ring.load <= 0.0:
            continue
        ring.slip, ring.traction = slip, pull
        total += pull
        slipping += wheel.share * slip
        push_ring(v, w, TRACK, i, pull * ring.ny, -pull * ring.nx)
    w.load[TRACK, 0, 2] += given * d.radius
    now = w.next.band
    now.speed_m_s, now.push_N, now.traction_N, now.slip_m_s = u, given, total, slipping
    w.grip_used = total / grip if grip > 0.0 else 0.0
    pushed(d, w.next, given, middle + turning, u + turning, dt)
