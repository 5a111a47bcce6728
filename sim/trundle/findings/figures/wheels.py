"""What the road wheels carry. Loads are one wheel's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Bad, Better, Figure, Told
from trundle.findings.grades import Subject
from trundle.findings.states import wheel_is_off

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _standing(readings: Readings) -> dict[str, float]:
    return dict(readings.stood.load_N)


def _mean(readings: Readings) -> dict[str, float]:
    return {n: float(readings.column(f"wheel.{n}.load_N").mean()) for n in readings.wheels}


def _peak(readings: Readings) -> dict[str, float]:
    return {n: float(readings.column(f"wheel.{n}.load_N").max()) for n in readings.wheels}


def _peak_at(readings: Readings) -> dict[str, float]:
    found = {}
    for n in readings.wheels:
        row = int(readings.column(f"wheel.{n}.load_N").argmax())
        found[n] = float(readings.column(f"wheel.{n}.x_mm")[row]) * 1e-3
    return found


def _off(readings: Readings) -> dict[str, float]:
    return {n: readings.seconds(wheel_is_off(readings.column(f"wheel.{n}.load_N"))) for n in readings.wheels}


def _highest(readings: Readings) -> float:
    return max(_peak(readings).values())


def _off_in_all(readings: Readings) -> float:
    return sum(_off(readings).values())


FIGURES = (
    Figure(
        name="static_wheel_load_N.*", title="wheel load standing", unit="N", subject=Subject.HULL,
        of=_standing, told=Told.SENTENCE, compared=False, how_sure=False,
    ),
    *with_mean(
        Figure(
            name="peak_wheel_load_N", title="highest wheel load", unit="N", better=Better.LOWER, subject=Subject.HULL,
            of=_highest, told=Told.SENTENCE, single_blow=True, ranked=True,
        ),
        lambda r: (r.column(f"wheel.{n}.load_N") for n in r.wheels),
    ),
    Figure(
        name="wheel_off_s", title="wheels off", unit="s", digits=2, better=Better.LOWER, subject=Subject.HULL,
        of=_off_in_all, told=Told.SENTENCE, ranked=True, bad=Bad("a wheel leaves the ground", "<=", 0),
    ),
    # One wheel's own. A baseline guards what no other figure says.
    Figure(
        name="wheels.*.standing_N", title="standing", unit="N", subject=Subject.HULL,
        of=_standing, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="wheels.*.mean_N", title="mean", unit="N", subject=Subject.HULL,
        of=_mean, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="wheels.*.peak_N", title="peak", unit="N", better=Better.LOWER, subject=Subject.HULL,
        of=_peak, single_blow=True, compared=False, how_sure=False,
    ),
    Figure(
        name="wheels.*.peak_at_m", title="peak at", unit="m", digits=2, subject=Subject.HULL,
        of=_peak_at, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="wheels.*.off_s", title="off", unit="s", digits=2, better=Better.LOWER, subject=Subject.HULL,
        of=_off, compared=False, how_sure=False, zero="–",
    ),
)  # fmt: skip
