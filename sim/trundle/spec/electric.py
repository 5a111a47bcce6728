"""What a motor draws, and how warm it gets, from its torque and speed: numbers or arrays of one shape, SI."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trundle.spec.motor import MOTOR
from trundle.units import RPM

if TYPE_CHECKING:
    from trundle.spec.motor import Motor


def drawn_W(motor: Motor, torque_Nm: ArrayLike, speed_rad_s: ArrayLike) -> NDArray[np.float64]:
    """What one motor draws from the battery while it drives [W].

    torque_Nm at its shaft and speed_rad_s, both at least 0. Windings: I = T/k + I0, P = k w I + R I2 (a
    permanent-magnet motor's circuit, any textbook); by the straight line of stall torque Ts and no-load speed w0 the
    same with R k-2 = w0/Ts and no friction: P = T w + T2 w0/Ts; by an efficiency P = T w / efficiency, which knows
    nothing of a motor that stands under load.
    """
    torque, speed = np.asarray(torque_Nm, dtype=np.float64), np.asarray(speed_rad_s, dtype=np.float64)
    match motor.losses_by:
        case "windings":
            assert motor.torque_Nm_per_A is not None
            assert motor.resistance_ohm is not None
            current = np.where((torque > 0.0) | (speed > 0.0), torque / motor.torque_Nm_per_A + motor.no_load_A, 0.0)
            return motor.torque_Nm_per_A * speed * current + motor.resistance_ohm * current**2
        case "line":
            assert motor.stall_Nm is not None
            assert motor.no_load_rpm is not None
            return torque * speed + torque**2 * (motor.no_load_rpm * RPM / motor.stall_Nm)
        case "efficiency":
            assert motor.motor_efficiency is not None
            return torque * speed / motor.motor_efficiency
        case "estimate":
            return torque * speed / MOTOR


def warmth(torque_Nm: NDArray[np.float64], for_ever_Nm: float, heats_up_s: float, dt_s: float) -> NDArray[np.float64]:
    """How warm it is at the end of each step, of the rise that it stands for ever, begun cold.

    One body that warms with the square of torque and cools with its rise: t y' + y = (T / Tc)^2, exactly over each
    step of constant torque (first-order, as duty types S2 and S3 of IEC 60034-1 are worked out; from memory).
    """
    from scipy.signal import lfilter

    stays = float(np.exp(-dt_s / heats_up_s))
    heat = (torque_Nm / for_ever_Nm) ** 2
    return np.asarray(lfilter([1.0 - stays], [1.0, -stays], heat), dtype=np.float64)


def lasts_s(over: float, heats_up_s: float) -> float:
    """How long a cold motor may give `over` times what it may give for ever [s]: t ln(o2 / (o2 - 1)); inf up to 1."""
    if over <= 1.0:
        return float("inf")
    return heats_up_s * float(np.log(over**2 / (over**2 - 1.0)))
