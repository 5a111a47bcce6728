"""The driver: what speed is asked, and how hard motor or brake push to get it.

The push is in proportion to the shortfall of speed, and what is lacking for long is added up on top, so that the
speed is held on any slope that the motor can climb. At its limit nothing is added up, and what is never exceeds the
limit: past a kerb the speed does not overshoot by more than the shortfall that calls for all the motor has. Standing
still where it is to stand, the brake takes over. In all of this the push falls with speed, or stays: the balance with
inertia and traction keeps one root.
"""

from __future__ import annotations

from trundle.law.compile import inner
from trundle.law.ground import wanted_speed
from trundle.law.told import STANDS_M_S, carry_out

STIFF_M_S = 0.05
"""Shortfall of speed at which the driver gives all the motor has [m/s]."""

_PER_M_S = 1.0 / STIFF_M_S

ADDED_UP_S = 0.3
"""A shortfall that lasts so long has doubled the push [s]."""

NEARLY_STILL_M_S = 1e-3
"""Told to stand, and slower than this, the driver puts the brake on [m/s]: taking hold, it then stops no more than the
band's own inertia at this speed, and the force does not jump."""

CREEP_M_S = 1e-6
"""The brake on, the sprocket turns no faster than this up to the most that the brake holds [m/s]: 0.06 mm a minute.
(Exactly none would be a force that is not a function of the speed.)"""


@inner
def set_target(v, g, s, w, dt):
    """Move the driver's target towards what course and instructions ask where the hull is, no faster than allowed."""
    was, now = s.law.driver, w.next.driver
    x = w.pose[0].x
    asked = wanted_speed(g.speeds, x, v.drive.speed)
    if was.task < g.tasks.shape[0]:
        asked = carry_out(v.drive, g.tasks[was.task], was, now, asked, x, dt)
    step = v.drive.acceleration * dt
    target = was.target_m_s + min(max(asked - was.target_m_s, -step), step)
    now.target_m_s = target
    if target != 0.0:
        now.backwards = 1.0 if target < 0.0 else 0.0
    now.held = hold(v.drive, was, asked, target)


@inner
def hold(d, was, asked, target):
    """1.0 if the brake holds in this step: told to stand, nearly still, and no more to hold than the brake can."""
    if asked != 0.0 or target != 0.0:
        return 0.0
    if was.held > 0.0:
        # Beyond that it has given way, and the driver helps it with the motor.
        return 1.0 if abs(was.saw_m_s) < STANDS_M_S else 0.0
    return 1.0 if abs(was.saw_m_s) < NEARLY_STILL_M_S and abs(was.lasting_N) <= d.brake else 0.0


@inner
def on_curve(d, speed):
    """The same of a motor by its curve: straight between its corners."""
    last = d.corners - 1
    if speed < d.at[0]:
        return d.gives[0], 0.0
    if speed >= d.at[last]:
        return 0.0, 0.0
    k = 1
    while speed >= d.at[k]:
        k += 1
    slope = (d.gives[k] - d.gives[k - 1]) / (d.at[k] - d.at[k - 1])
    return d.gives[k - 1] + slope * (speed - d.at[k - 1]), slope


@inner
def full_push(d, speed):
    """The most that the motor gives at a speed in its direction of travel [N], and its slope by that speed: of a motor
    with a curve no more than at standstill while it is pushed back, and nothing beyond its highest speed."""
    if d.corners > 0:
        return on_curve(d, speed)
    if speed * d.push > d.power:
        return d.power / speed, -d.power / (speed * speed)
    return d.push, 0.0


@inner
def limits(d, driver):
    """The least and the most that motor and brake can push [N]."""
    if driver.held > 0.0:
        return -d.brake, d.brake
    if driver.backwards > 0.0:
        return -d.push, d.brake
    return -d.brake, d.push


@inner
def motor(d, driver, u):
    """Push of the sprocket on the band [N] at band speed u, and its slope, which is never positive. d: the model's
    DRIVE record; driver: DRIVER_STATE of the step."""
    if driver.held > 0.0:
        if abs(u) >= CREEP_M_S:
            return (-d.brake if u > 0.0 else d.brake), 0.0
        return -d.brake * (u / CREEP_M_S), -d.brake / CREEP_M_S
    # Backwards all is mirrored: the motor pushes to the rear, the brake to the front.
    sign = -1.0 if driver.backwards > 0.0 else 1.0
    stiff = d.push * _PER_M_S
    want = sign * (stiff * (driver.target_m_s - u) + driver.lasting_N)
    most, most_slope = full_push(d, sign * u)
    if want > most:
        return sign * most, most_slope
    if want < -d.brake:
        return sign * -d.brake, 0.0
    return sign * want, -stiff


@inner
def pushed(d, memory, push, middle, end, dt):
    """A step is done with this push [N]: enter its work, motor gives, brake takes; and add up what the speed lacks.
    memory: MEMORY of the step; middle, end: speed that the motor saw, mean of the step and at its end [m/s]."""
    work = push * middle * dt
    if work > 0.0:
        memory.ledger.motor_J += work
    else:
        memory.ledger.brake_J += work
    driver = memory.driver
    driver.saw_m_s = end
    least, most = limits(d, driver)
    if driver.held > 0.0:
        # Let go, the brake leaves what it held to the motor.
        driver.lasting_N = push
        return
    want = d.push * _PER_M_S * (driver.target_m_s - end)
    more = want * (dt / ADDED_UP_S)
    lacking = want + driver.lasting_N - push
    # At the limit only what leads away from it is added.
    if lacking * more <= 0.0 or abs(lacking) < 1e-6 * d.push:
        driver.lasting_N += more
    driver.lasting_N = min(max(driver.lasting_N, least), most)
