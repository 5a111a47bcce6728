"""How far a run went, and how long it took."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.findings.figures.figure import Better, Figure, Told
from trundle.findings.grades import Subject

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _distance(readings: Readings) -> float:
    x = readings.column("hull.x_mm")
    return float((x[-1] - x[0]) * 1e-3)


def _duration(readings: Readings) -> float:
    return float(readings.column("time_s")[-1])


FIGURES = (
    Figure(
        name="distance_m", title="distance", unit="m", digits=2, better=Better.HIGHER, subject=Subject.HULL,
        of=_distance, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="duration_s", title="duration", unit="s", digits=2, better=Better.LOWER, subject=Subject.HULL,
        of=_duration, told=Told.SENTENCE, how_sure=False,
    ),
)  # fmt: skip
