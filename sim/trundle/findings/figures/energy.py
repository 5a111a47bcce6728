"""The energy ledger: whether a run is to be trusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.figures.figure import Better, Figure, Told
from trundle.findings.grades import Subject

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _put_through(readings: Readings) -> float:
    return float(readings.column("energy.throughput_J")[-1])


def _error(readings: Readings) -> float:
    # The worst of the run, not the last: an error that has gone back was there all the same.
    error, whole = float(np.abs(readings.column("energy.error_J")).max()), _put_through(readings)
    return error / whole if whole > 0.0 else 0.0


FIGURES = (
    Figure(
        name="energy_error", title="energy unaccounted for", digits=4, better=Better.LOWER, subject=Subject.TRUST,
        of=_error, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="energy_throughput_J", title="energy put through", unit="J", subject=Subject.TRUST,
        of=_put_through, told=Told.NOT, compared=False, guarded=False, how_sure=False,
    ),
)  # fmt: skip
