"""What the drive of one side can pull and hold."""

from __future__ import annotations

from trundle.spec.pull import pull_of
from trundle.spec.vehicle import Vehicle


def side_pull_N(vehicle: Vehicle, speed_m_s: float) -> float:
    """The most that one track, or the wheels of one side, can be driven with at a speed [N]: half of the drive's, or
    all of it where the other side is let go by its clutch."""
    pull = pull_of(vehicle)
    alone = vehicle.drive.steering == "clutch and brake"
    return float(pull.both_N(speed_m_s) if alone else pull.side_N(speed_m_s))


def side_hold_N(vehicle: Vehicle) -> float:
    """The most that one side can be held back with [N]: half of the brake; of a motor each side the motor, if that is
    more."""
    brake = 0.5 * vehicle.drive.brake_N
    return brake if vehicle.drive.steering == "clutch and brake" else max(brake, side_pull_N(vehicle, 0.0))


def speed_at_m_s(vehicle: Vehicle, pull_N: float, most_m_s: float) -> float:
    """The highest speed of one side, up to most_m_s, at which its drive still pulls so much [m/s]; 0: at none."""
    if side_pull_N(vehicle, most_m_s) >= pull_N:
        return most_m_s
    if side_pull_N(vehicle, 0.0) < pull_N:
        return 0.0
    low, high = 0.0, most_m_s
    while high - low > 1e-9 * most_m_s:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if side_pull_N(vehicle, middle) >= pull_N else (low, middle)
    return low
