"""What the motor gives and what the ground takes. Torque and power are both sides together, at the axle."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Better, Figure, Told
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
        name="grip_used_up_s", title="grip used up", unit="s", digits=2, better=Better.LOWER, subject=Subject.GRIP,
        of=_used_up, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="peak_slip_m_s", title="fastest slip", unit="m/s", digits=2, subject=Subject.GRIP,
        of=_slip, told=Told.SENTENCE, single_blow=True, compared=False, how_sure=False,
    ),
)  # fmt: skip
