"""What went into a run, and how it was computed: no results, so no reason to rank, and no part of a baseline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.findings.figures.figure import Figure, Needs, Told
from trundle.findings.grades import Subject

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _step(readings: Readings) -> float:
    return readings.dt_s * 1e3


def _grid(readings: Readings) -> float:
    return readings.ground_mm


def _weight(readings: Readings) -> float:
    return readings.assembly.weight_N


def _idler_set(readings: Readings) -> float | None:
    """How far out the idler had to be set from where the file has it [mm]; None where it was not moved."""
    track, found = readings.assembly.vehicle.track, readings.assembly.idler_mm
    if track is None or found is None:
        return None
    return track.idler_sign * (found[0] - track.idler.at_mm[0])


def _residual(readings: Readings) -> float:
    return readings.stood.residual_N


def _pace(readings: Readings) -> float:
    return float(readings.column("time_s")[-1]) / max(readings.wall_s, 1e-9)


FIGURES = (
    Figure(
        name="dt_ms", title="step", unit="ms", digits=2, subject=Subject.TRUST,
        of=_step, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="ground_mm", title="ground grid", unit="mm", digits=2, subject=Subject.TRUST,
        of=_grid, told=Told.SENTENCE, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="weight_N", title="weight", unit="N", subject=Subject.HULL,
        of=_weight, told=Told.NOT, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="standing_residual_N", title="forces left over standing", unit="N", digits=3, subject=Subject.TRUST,
        of=_residual, told=Told.NOT, compared=False, guarded=False, how_sure=False,
    ),
    Figure(
        name="idler_set_mm", title="idler set out", unit="mm", digits=1, subject=Subject.TRACK,
        of=_idler_set, needs=Needs.TRACK, told=Told.NOT, compared=False, how_sure=False,
    ),
    Figure(
        name="speed_times_real_time", title="speed over real time", digits=0, subject=Subject.TRUST,
        of=_pace, told=Told.NOT, compared=False, guarded=False, how_sure=False, repeats=False,
    ),
)  # fmt: skip
