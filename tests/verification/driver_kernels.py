"""The driver's pieces that Python can call, and a point mass that it drives, for the tests alone."""

from __future__ import annotations

from trundle.law import driver as _driver
from trundle.law.compile import kernel


@kernel
def motor(drives, memories, u):
    """Push and slope; drives (1,) DRIVE, memories (1,) MEMORY."""
    return _driver.motor(drives[0], memories[0].driver, u)


@kernel
def limits(drives, memories):
    return _driver.limits(drives[0], memories[0].driver)


@kernel
def go(drives, memories, mass, load, dt, way, speeds, pushes):
    """Step a mass from speed way[1] at place way[0] under the driver and a load that pulls it back, the force at the
    new speed as for the band; on hold as the law decides. Fills speeds and pushes."""
    d, memory = drives[0], memories[0]
    for i in range(speeds.shape[0]):
        driver = memory.driver
        driver.held = _driver.hold(d, driver, driver.target_m_s, driver.target_m_s)
        low, high = -1e3, 1e3
        for _ in range(200):
            u = 0.5 * (low + high)
            push, _slope = _driver.motor(d, driver, u)
            if mass / dt * (u - way[1]) + load - push > 0.0:
                high = u
            else:
                low = u
        middle = 0.5 * (u + way[1])
        _driver.pushed(d, memory, push, middle, u, dt)
        way[0] += middle * dt
        way[1] = u
        speeds[i], pushes[i] = u, push
