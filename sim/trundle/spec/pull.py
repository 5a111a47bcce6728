"""What motor and gears can push a vehicle with at a speed: the one place that says so.

The model's record of a run is filled from it, and whoever asks how hard it can pull asks here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trundle.spec.motor import MOST_POINTS, Motor
from trundle.units import RPM

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle

MOST_CORNERS = MOST_POINTS + 2
"""Corners that a pull may have over speed: a curve's points, one at standstill, one where it has fallen to nothing."""


@dataclass(frozen=True, eq=False)
class Pull:
    """Push at the track (or at the wheels' treads) that motor and gears can give, both sides together.

    most_N: at standstill. power_W: it pushes no harder than power over speed; inf without a limit. corners: of a motor
    by its curve, [m/s, N] from standstill to where it gives nothing, straight between, never rising; empty without.
    """

    most_N: float
    power_W: float = math.inf
    corners: tuple[tuple[float, float], ...] = ()

    def both_N(self, speed_m_s: ArrayLike) -> NDArray[np.float64]:
        """The most that it pushes with at a speed in its direction of travel, both sides [N]; below 0, pushed back by
        what it cannot climb, as at standstill."""
        speed = np.maximum(np.asarray(speed_m_s, dtype=np.float64), 0.0)
        if self.corners:
            at, gives = np.array(self.corners).T
            return np.asarray(np.interp(speed, at, gives), dtype=np.float64)
        if math.isinf(self.power_W):
            return np.full_like(speed, self.most_N)
        return np.asarray(np.minimum(self.most_N, self.power_W / np.maximum(speed, 1e-9)), dtype=np.float64)

    def side_N(self, speed_m_s: ArrayLike) -> NDArray[np.float64]:
        """The same of one side: half of it, as with a motor a side, or one through a differential. Where a single
        motor turns one side alone, through its clutch, that side can have `both_N`."""
        return 0.5 * self.both_N(speed_m_s)

    @property
    def fastest_m_s(self) -> float:
        """Speed from which on it pushes no more [m/s]; inf without a curve."""
        return self.corners[-1][0] if self.corners else math.inf


def pull_of(vehicle: Vehicle) -> Pull:
    """Of a vehicle: by its motor's curve through ratio and efficiency, or by torque_Nm or push_N with power_W."""
    drive, radius = vehicle.drive, vehicle.drive_radius_m
    if drive.motor is not None:
        return pull_through(drive.motor, radius)
    power = drive.power_W if drive.power_W is not None else math.inf
    if drive.push_N is not None:
        return Pull(drive.push_N, power)
    assert drive.torque_Nm is not None
    return Pull(drive.torque_Nm / radius, power)


def pull_through(motor: Motor, radius_m: float) -> Pull:
    """Of motors whose gears turn a sprocket (or wheel) of a radius [m]: F = count T ratio efficiency / r at v = w r /
    ratio."""
    speed, push = RPM * radius_m / motor.ratio, motor.count * motor.ratio * motor.efficiency / radius_m
    corners = tuple((rpm * speed, torque * push) for rpm, torque in motor.best)
    return Pull(corners[0][1], math.inf, corners)
