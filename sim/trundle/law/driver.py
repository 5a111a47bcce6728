"""The driver: what speed is asked, and how hard motor or brake push to get it."""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.ground import wanted_speed

STIFF_M_S = 0.05
"""Shortfall of speed at which the driver gives all the motor has [m/s]."""


@inner
def set_target(v, g, s, w, dt):
    """Move the driver's target towards what the course asks where the hull is, no faster than allowed."""
    target = s.law.driver.target_m_s
    wish = wanted_speed(g, w.pose[0].x, v.drive.speed)
    step = v.drive.acceleration * dt
    w.next.driver.target_m_s = target + min(max(wish - target, -step), step)


@inner
def motor(d, driver, u):
    """Push of the sprocket on the band [N] at band speed u, and its slope. d: the model's DRIVE record; driver:
    DRIVER_STATE of the step."""
    most = d.push
    most_slope = 0.0
    if u * most > d.power:
        most = d.power / u
        most_slope = -most / u
    want = (driver.target_m_s - u) * d.push / STIFF_M_S
    if want > most:
        return most, most_slope
    if want < -d.brake:
        return -d.brake, 0.0
    return want, -d.push / STIFF_M_S


@inner
def limits(d, driver):
    """The least and the most that the driver can push [N]."""
    return -d.brake, d.push


@inner
def pushed(d, memory, push, middle, end, dt):
    """A step is done with this push [N]: enter its work, motor gives, brake takes. memory: MEMORY of the step; middle,
    end: speed that the motor saw, mean of the step and at its end [m/s]."""
    work = push * middle * dt
    if work > 0.0:
        memory.ledger.motor_J += work
    else:
        memory.ledger.brake_J += work
