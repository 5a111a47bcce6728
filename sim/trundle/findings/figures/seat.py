"""What the rider feels. Accelerations are on top of gravity; sources: trundle.findings.ride."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.blows import jolt_share
from trundle.findings.figures.figure import Better, Figure, Needs, Told
from trundle.findings.grades import Subject
from trundle.findings.ride import crest_factor, running_rms_max, vdv, weighted_rms
from trundle.units import G

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _peak(readings: Readings) -> float:
    return float(np.abs(readings.column("seat.up_m_s2")).max() / G)


def _share(readings: Readings) -> tuple[float, float]:
    return jolt_share(readings.column, readings.assembly, readings.dt_s)


def _peak_low(readings: Readings) -> float:
    return _peak(readings) * _share(readings)[0]


def _peak_high(readings: Readings) -> float:
    return _peak(readings) * _share(readings)[1]


def _rms(readings: Readings) -> float:
    return weighted_rms(readings.felt_m_s2)


def _dose(readings: Readings) -> float:
    return vdv(readings.felt_m_s2, 1.0 / readings.dt_s)


def _crest(readings: Readings) -> float:
    return crest_factor(readings.felt_m_s2)


def _worst_second(readings: Readings) -> float:
    return running_rms_max(readings.felt_m_s2, 1.0 / readings.dt_s)


FIGURES = (
    Figure(
        name="peak_seat_g", title="peak seat", unit="g", digits=2, better=Better.LOWER, subject=Subject.SEAT,
        of=_peak, told=Told.SENTENCE, single_blow=True, ranked=True,
    ),
    # By the rates of belly, sprocket and idler, where one of them decides it: worked out, not run again.
    Figure(
        name="peak_seat_low_g", title="peak seat, soft rates", unit="g", digits=2, subject=Subject.SEAT,
        of=_peak_low, told=Told.SENTENCE, single_blow=True, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="peak_seat_high_g", title="peak seat, hard rates", unit="g", digits=2, subject=Subject.SEAT,
        of=_peak_high, told=Told.SENTENCE, single_blow=True, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="seat_rms_m_s2", title="seat r.m.s. weighted", unit="m/s2", digits=3, better=Better.LOWER,
        subject=Subject.SEAT, of=_rms, needs=Needs.FINE_STEP, told=Told.SENTENCE, ranked=True,
    ),
    Figure(
        name="seat_vdv_m_s175", title="seat dose value", unit="m/s1.75", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_dose, needs=Needs.FINE_STEP, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="seat_crest_factor", title="seat crest factor", digits=1, subject=Subject.SEAT,
        of=_crest, needs=Needs.FINE_STEP, told=Told.SENTENCE, compared=False, how_sure=False,
    ),
    Figure(
        name="seat_mtvv_m_s2", title="seat worst second weighted", unit="m/s2", digits=2, subject=Subject.SEAT,
        of=_worst_second, needs=Needs.FINE_STEP, told=Told.SENTENCE, compared=False, how_sure=False,
    ),
)  # fmt: skip
