"""Hits on bump and droop stops. Forces are one arm's, one side, at the axle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.events import BUMP, DROOP
from trundle.findings.events.stops import SIGN
from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Bad, Better, Figure, Needs, Told
from trundle.findings.grades import Subject
from trundle.findings.pads import pads_used
from trundle.model.arrays import Floats

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


PAD_USED = "peak_pad_used"


def _bumps(readings: Readings) -> int:
    return len(readings.peaks_N(BUMP))


def _hardest(readings: Readings) -> float:
    return float(readings.peaks_N(BUMP).max(initial=0.0))


def _pushes(readings: Readings) -> Iterator[Floats]:
    for joint in readings.assembly.joint:
        pushes = SIGN[BUMP] * readings.column(f"arm.{joint}.stop_N")
        if (pushes > 0.0).any():
            yield np.maximum(pushes, 0.0)


def _droops(readings: Readings) -> int:
    return len(readings.peaks_N(DROOP))


def _pads(readings: Readings) -> float:
    """The most that any pad was pressed, over the most that its law is true for."""
    found = [used for _, used in pads_used(readings.assembly, readings.column)]
    return max(float(used.max()) for used in found)


FIGURES = (
    Figure(
        name="bump_stop_hits", title="bump stop hits", better=Better.LOWER, subject=Subject.HULL,
        of=_bumps, told=Told.SENTENCE, counted=True, ranked=True, bad=Bad("bump stop hit", "<=", 0),
    ),
    *with_mean(
        Figure(
            name="peak_bump_stop_N", title="peak bump stop", unit="N", better=Better.LOWER, subject=Subject.HULL,
            of=_hardest, told=Told.SENTENCE, single_blow=True,
        ),
        _pushes,
    ),
    Figure(
        name="droop_stop_hits", title="droop stop hits", better=Better.LOWER, subject=Subject.HULL,
        of=_droops, told=Told.SENTENCE, counted=True, how_sure=False,
    ),
    Figure(
        name=PAD_USED, title="share of what it takes by which a stop's pad is pressed", better=Better.LOWER, digits=2,
        subject=Subject.HULL, of=_pads, needs=Needs.PAD, single_blow=True,
    ),
)  # fmt: skip
