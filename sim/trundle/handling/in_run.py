"""Turning with the wheel loads of a run: when it would be hardest, and what that is worth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trundle.handling.resists import resisting_Nm
from trundle.model.arrays import SIDES
from trundle.model.assembly import Assembly
from trundle.record.long import Timeline
from trundle.strength.margins import side_loads_N, windows
from trundle.units import MM


@dataclass(frozen=True)
class HardestTurn:
    """The instant of a run in which turning on the spot would be resisted most. per_side_Nm: the moment over the side
    friction [N.m]; usual_Nm: the same in the middle of all instants; time_s, at_m: when, and where the hull was."""

    per_side_Nm: float
    usual_Nm: float
    time_s: float
    at_m: float


def hardest(assembly: Assembly, timeline: Timeline) -> HardestTurn:
    """Of a kept run. Raises InputError for a record without the columns."""
    worst, when, where = -1.0, 0.0, 0.0
    usual = []
    for columns, first, last in windows(timeline):
        loads = side_loads_N(assembly, columns)
        load = SIDES * np.column_stack([loads[n][first:last] for n in assembly.wheel])
        x = np.column_stack([columns[f"wheel.{n}.x_mm"][first:last] * MM for n in assembly.wheel])
        moments = resisting_Nm(1.0, x, load)
        usual.append(np.asarray(moments))
        row = int(np.argmax(moments))
        if float(moments[row]) > worst:
            worst = float(moments[row])
            when = float(columns["time_s"][first + row])
            where = float(columns["hull.x_mm"][first + row]) * MM
    return HardestTurn(worst, float(np.median(np.concatenate(usual))), when, where)
