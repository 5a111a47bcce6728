"""How high the hull rides, how hard it strikes the ground, and how it pitches."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Bad, Better, Figure, Needs, Told
from trundle.findings.grades import Subject

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _ride_height(readings: Readings) -> float:
    return readings.stood.height_mm


def _clearance(readings: Readings) -> float:
    return float(readings.column("belly.clearance_mm").min())


def _load(readings: Readings) -> float:
    return float(readings.column("belly.load_N").max())


def _sprocket(readings: Readings) -> float:
    return float(readings.column("sprocket.load_N").max())


def _idler(readings: Readings) -> float:
    return float(readings.column("idler.load_N").max())


def _pitch(readings: Readings) -> float:
    return float(np.abs(readings.column("hull.pitch_deg")).max())


def _nose_up(readings: Readings) -> float:
    return max(float(readings.column("hull.pitch_deg").max()), 0.0)


def _nose_down(readings: Readings) -> float:
    return max(-float(readings.column("hull.pitch_deg").min()), 0.0)


FIGURES = (
    Figure(
        name="ride_height_mm", title="ride height (belly)", unit="mm", digits=1, subject=Subject.HULL,
        of=_ride_height, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="min_belly_clearance_mm", title="least belly clearance", unit="mm", digits=1, better=Better.HIGHER,
        subject=Subject.HULL, of=_clearance, told=Told.SENTENCE, ranked=True, bad=Bad("belly touches", ">", 0),
    ),
    *with_mean(
        Figure(
            name="peak_belly_load_N", title="peak belly load", unit="N", better=Better.LOWER, subject=Subject.HULL,
            of=_load, told=Told.SENTENCE, single_blow=True,
        ),
        lambda r: [r.column("belly.load_N")],
    ),
    # One side's.
    *with_mean(
        Figure(
            name="peak_sprocket_load_N", title="peak sprocket load", unit="N", better=Better.LOWER,
            subject=Subject.HULL, of=_sprocket, needs=Needs.TRACK, told=Told.SENTENCE, single_blow=True,
        ),
        lambda r: [r.column("sprocket.load_N")],
    ),
    *with_mean(
        Figure(
            name="peak_idler_load_N", title="peak idler load", unit="N", better=Better.LOWER, subject=Subject.HULL,
            of=_idler, needs=Needs.TRACK, told=Told.SENTENCE, single_blow=True,
        ),
        lambda r: [r.column("idler.load_N")],
    ),
    Figure(
        name="peak_pitch_deg", title="peak pitch", unit="deg", digits=1, better=Better.LOWER, subject=Subject.HULL,
        of=_pitch, told=Told.SENTENCE,
    ),
    Figure(
        name="peak_nose_up_deg", title="furthest nose up", unit="deg", digits=1, better=Better.LOWER,
        subject=Subject.HULL, of=_nose_up, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="peak_nose_down_deg", title="furthest nose down", unit="deg", digits=1, better=Better.LOWER,
        subject=Subject.HULL, of=_nose_down, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
)  # fmt: skip
