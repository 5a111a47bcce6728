"""The energy ledger: whether a run is to be trusted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.findings.figures.figure import Better, Figure, Told
from trundle.findings.grades import Subject

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


LEAST_LIFT_M = 1e-3
"""A run turns over at least what lifts the vehicle by this [m]. One that has hardly moved, or stands parked, has no
motor work to speak of to set its error against; what lifts it by a millimetre is more than rounding, and a parked
vehicle that gains or loses as much is not standing."""


def _turned_over(readings: Readings) -> float:
    """What the motor gave in the whole run, and what height and motion at its end are more or less than at its start
    [J]. Not the sum of all that forces did to each other, which grows with every swing of a spring and hides an error.
    """
    motor, moving, fallen = (float(readings.column(f"energy.{n}_J")[-1]) for n in ("motor", "moving", "gravity"))
    model = readings.assembly.model
    least = float(model.bodies.mass.sum()) * model.gravity * LEAST_LIFT_M
    return max(motor + abs(moving) + abs(fallen), least)


def _error(readings: Readings) -> float:
    # The worst of the run, not the last: an error that has gone back was there all the same.
    return float(np.abs(readings.column("energy.error_J")).max()) / _turned_over(readings)


FIGURES = (
    Figure(
        name="energy_error", title="energy unaccounted for", digits=4, better=Better.LOWER, subject=Subject.TRUST,
        of=_error, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="energy_turned_over_J", title="motor work and change of height and motion", unit="J",
        subject=Subject.TRUST, of=_turned_over, told=Told.NOT, compared=False, guarded=False, how_sure=False,
    ),
)  # fmt: skip
