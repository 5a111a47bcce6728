"""What the rider feels. Accelerations are on top of gravity; sources: trundle.findings.ride."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings import holds
from trundle.findings.blows import jolt_share
from trundle.findings.figures.figure import Better, Figure, Needs, Told
from trundle.findings.grades import Subject
from trundle.findings.ride import crest_factor, running_rms_max, vdv, weighted_rms
from trundle.units import G

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _peak(readings: Readings) -> float:
    return float(np.abs(readings.jolt_up_m_s2).max() / G)


def _peak_up(readings: Readings) -> float:
    return max(float(readings.jolt_up_m_s2.max()), 0.0) / G


def _peak_forward(readings: Readings) -> float:
    return float(np.abs(readings.jolt_forward_m_s2).max() / G)


def _resultant(readings: Readings) -> float:
    return float(np.hypot(readings.jolt_up_m_s2, readings.jolt_forward_m_s2).max() / G)


def _share(readings: Readings) -> tuple[float, float]:
    return jolt_share(readings.column, readings.jolt_up_m_s2, readings.assembly, readings.dt_s)


def _peak_low(readings: Readings) -> float:
    return _peak(readings) * _share(readings)[0]


def _peak_high(readings: Readings) -> float:
    return _peak(readings) * _share(readings)[1]


def _speed_lost(readings: Readings) -> float:
    return readings.stop.lost_m_s


def _speed_lost_over(readings: Readings) -> float:
    return readings.stop.over_s


def _held_along(readings: Readings) -> float:
    return _mass(readings) * _peak_forward(readings) * G


def _held(readings: Readings) -> float:
    return _mass(readings) * _resultant(readings) * G


def _mass(readings: Readings) -> float:
    return float(holds.mass_kg(readings.assembly.vehicle.hull) or 0.0)


def _slides(readings: Readings) -> float:
    return readings.slid.mm


def _slides_at(readings: Readings) -> float:
    return readings.slid.m_s


def _left(readings: Readings) -> float:
    return readings.thrown.off_s


def _left_high(readings: Readings) -> float:
    return readings.thrown.high_mm


def _left_met(readings: Readings) -> float:
    return readings.thrown.met_m_s


def _rms(readings: Readings) -> float:
    return weighted_rms(readings.felt_m_s2)


def _dose(readings: Readings) -> float:
    return vdv(readings.felt_m_s2, 1.0 / readings.dt_s)


def _crest(readings: Readings) -> float:
    return crest_factor(readings.felt_m_s2)


def _worst_second(readings: Readings) -> float:
    return running_rms_max(readings.felt_m_s2, 1.0 / readings.dt_s)


FIGURES = (
    # All jolts: filtered to CFC 60 of SAE J211-1 (trundle.findings.channel says why that class).
    Figure(
        name="peak_seat_g", title="peak seat", unit="g", digits=2, better=Better.LOWER, subject=Subject.SEAT,
        of=_peak, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True, ranked=True,
    ),
    # By the rates of belly, sprocket and idler, where one of them decides it: worked out, not run again.
    Figure(
        name="peak_seat_low_g", title="peak seat, soft rates", unit="g", digits=2, subject=Subject.SEAT,
        of=_peak_low, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True, compared=False, guarded=False,
        how_sure=False,
    ),
    Figure(
        name="peak_seat_high_g", title="peak seat, hard rates", unit="g", digits=2, subject=Subject.SEAT,
        of=_peak_high, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True, compared=False, guarded=False,
        how_sure=False,
    ),
    Figure(
        name="peak_seat_up_g", title="peak seat upward", unit="g", digits=2, better=Better.LOWER, subject=Subject.SEAT,
        of=_peak_up, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True, compared=False, guarded=False,
    ),
    # The harder of stopped and pushed on. Ranked with the jolt up or down; what follows from the two is not, too.
    Figure(
        name="peak_seat_forward_g", title="peak seat along", unit="g", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_peak_forward, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True,
        ranked=True,
    ),
    Figure(
        name="peak_seat_resultant_g", title="peak seat, up and along together", unit="g", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_resultant, needs=Needs.CLASS_STEP, told=Told.SENTENCE, single_blow=True,
    ),
    Figure(
        name="speed_lost_m_s", title="most speed lost in 0.2 s", unit="m/s", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_speed_lost, told=Told.SENTENCE,
    ),
    Figure(
        name="speed_lost_over_s", title="which it lost in", unit="s", digits=3, subject=Subject.SEAT,
        of=_speed_lost_over, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    # Mass times the filtered jolt, on top of its weight.
    Figure(
        name="seat_forward_force_N", title="force that holds it along", unit="N", better=Better.LOWER,
        subject=Subject.SEAT, of=_held_along, needs=Needs.SEAT_MASS, told=Told.SENTENCE, single_blow=True,
        compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="seat_force_N", title="force that holds it, up and along together", unit="N", better=Better.LOWER,
        subject=Subject.SEAT, of=_held, needs=Needs.SEAT_MASS, told=Told.SENTENCE, single_blow=True,
        compared=False, guarded=False, how_sure=False,
    ),
    # With what holds it (trundle.findings.holds); 0 of what is bolted.
    Figure(
        name="seat_slides_mm", title="slides along the seat", unit="mm", better=Better.LOWER, subject=Subject.SEAT,
        of=_slides, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="seat_slides_m_s", title="fastest along the seat", unit="m/s", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_slides_at, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    # A body that lies loose in the seat.
    Figure(
        name="seat_left_s", title="time out of the seat", unit="s", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_left, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="seat_left_mm", title="highest out of the seat", unit="mm", better=Better.LOWER,
        subject=Subject.SEAT, of=_left_high, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="seat_met_m_s", title="speed of meeting the seat again", unit="m/s", digits=2, better=Better.LOWER,
        subject=Subject.SEAT, of=_left_met, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
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
