"""What the motor gives and what the ground takes. Torque and power are both sides together, at the axle; with a table
[drive.motor] also one motor's own, at its shaft, and what all draw from the battery."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Bad, Better, Figure, Needs, Told
from trundle.findings.grades import Subject
from trundle.findings.states import grip_is_used_up, motor_share

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _peak_torque(readings: Readings) -> float:
    return float(np.abs(readings.column("sprocket.torque_Nm")).max())


def _rms_torque(readings: Readings) -> float:
    # What the brake holds while standing does not warm the motor.
    told = readings.column("drive.target_m_s"), readings.column("drive.brake_holds")
    return float(np.sqrt(np.mean(motor_share(readings.column("sprocket.torque_Nm"), *told) ** 2)))


def _mean_power(readings: Readings) -> float:
    # Braking gives nothing back.
    return float(np.maximum(readings.column("sprocket.power_W"), 0.0).mean())


def _peak_power(readings: Readings) -> float:
    return float(readings.column("sprocket.power_W").max())


def _slip(readings: Readings) -> float:
    return float(np.abs(readings.column("drive.slip_m_s")).max())


def _used_up(readings: Readings) -> float:
    return readings.seconds(grip_is_used_up(readings.column("drive.grip_used")))


def _rms_motor(readings: Readings) -> float:
    return readings.motor.rms_Nm


def _of_rating(readings: Readings) -> float | None:
    share = readings.motor.of_rating
    return None if share is None else 100.0 * share


def _warmest(readings: Readings) -> float | None:
    share = readings.motor.warmest
    return None if share is None else 100.0 * share


def _stalled(readings: Readings) -> float:
    first, end = readings.motor.stalled
    return (end - first) * readings.dt_s


def _at_limit(readings: Readings) -> float:
    return readings.seconds(readings.motor.at_limit)


def _hour(readings: Readings) -> float:
    return float(readings.motor.battery_W.mean())


def _range(readings: Readings) -> float | None:
    """Usable over what a kilometre of it takes; None where it has not come forward."""
    battery, used = readings.assembly.vehicle.drive.battery, readings.motor.battery_Wh
    x = readings.column("hull.x_mm")
    far_km = float(x[-1] - x[0]) * 1e-6
    if battery is None or used <= 0.0 or far_km <= 0.0:
        return None
    return battery.energy_Wh * battery.usable * far_km / used


FIGURES = (
    *with_mean(
        Figure(
            name="peak_sprocket_torque_Nm", title="peak sprocket torque", unit="N.m", digits=1, better=Better.LOWER,
            subject=Subject.MOTOR, of=_peak_torque, told=Told.SENTENCE, single_blow=True,
        ),
        lambda r: [np.abs(r.column("sprocket.torque_Nm"))],
    ),
    *with_mean(
        Figure(
            name="peak_sprocket_power_W", title="peak sprocket power", unit="W", better=Better.LOWER,
            subject=Subject.MOTOR, of=_peak_power, told=Told.SENTENCE, single_blow=True, how_sure=False,
        ),
        lambda r: [r.column("sprocket.power_W")],
    ),
    Figure(
        name="mean_sprocket_power_W", title="mean sprocket power", unit="W", subject=Subject.MOTOR,
        of=_mean_power, told=Told.SENTENCE, compared=False, how_sure=False,
    ),
    Figure(
        name="rms_sprocket_torque_Nm", title="sprocket torque r.m.s.", unit="N.m", digits=1, subject=Subject.MOTOR,
        of=_rms_torque, told=Told.SENTENCE, compared=False, how_sure=False,
    ),
    Figure(
        name="rms_motor_torque_Nm", title="motor torque r.m.s.", unit="N.m", digits=2, better=Better.LOWER,
        subject=Subject.MOTOR, of=_rms_motor, needs=Needs.MOTOR, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="motor_rms_of_rating_percent", title="motor r.m.s. of its continuous torque", unit="%",
        better=Better.LOWER, subject=Subject.MOTOR, of=_of_rating, needs=Needs.RATING, told=Told.SENTENCE,
        how_sure=False, bad=Bad("its motors get too hot", "<=", 100),
    ),
    Figure(
        name="motor_warmest_percent", title="motor at its warmest, of what it stands", unit="%", better=Better.LOWER,
        subject=Subject.MOTOR, of=_warmest, needs=Needs.WARMS, told=Told.SENTENCE, how_sure=False,
        bad=Bad("its motors get too hot", "<=", 100),
    ),
    Figure(
        name="motor_stalled_s", title="motor stalled at a stretch", unit="s", digits=2, better=Better.LOWER,
        subject=Subject.MOTOR, of=_stalled, needs=Needs.MOTOR, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="motor_at_limit_s", title="motor at its limit", unit="s", digits=2, better=Better.LOWER,
        subject=Subject.MOTOR, of=_at_limit, needs=Needs.MOTOR, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="battery_course_Wh", title="battery, this course", unit="Wh", digits=2, better=Better.LOWER,
        subject=Subject.MOTOR, of=lambda r: r.motor.battery_Wh, needs=Needs.BATTERY, told=Told.SENTENCE,
        how_sure=False,
    ),
    Figure(
        name="battery_hour_Wh", title="battery, an hour like it", unit="Wh", better=Better.LOWER,
        subject=Subject.MOTOR, of=_hour, needs=Needs.BATTERY, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="battery_range_km", title="range on ground like it", unit="km", digits=1, better=Better.HIGHER,
        subject=Subject.MOTOR, of=_range, needs=Needs.BATTERY, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="battery_peak_1s_A", title="battery current over a second", unit="A", better=Better.LOWER,
        subject=Subject.MOTOR, of=lambda r: r.motor.most_A, needs=Needs.VOLTS, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="grip_used_up_s", title="grip used up", unit="s", digits=2, better=Better.LOWER, subject=Subject.GRIP,
        of=_used_up, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="peak_slip_m_s", title="fastest slip", unit="m/s", digits=2, subject=Subject.GRIP,
        of=_slip, told=Told.SENTENCE, single_blow=True, compared=False, how_sure=False,
    ),
)  # fmt: skip
