"""From the raw log (SI, both sides) to the timeline's columns (mm, N, deg, one wheel, one track)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from trundle.law.timeline import DERIVED, LOOP, RING, SIDE, WHEEL, entries
from trundle.model.arrays import SIDES, Floats
from trundle.model.assembly import ENDS, Assembly


def facts(assembly: Assembly) -> dict[str, float]:
    """What derived columns need of a vehicle: radius that turns push into torque [m]."""
    return {"drive_radius_m": assembly.vehicle.drive_radius_m}


TURNED = 128
"""Rows of the raw log that are made into columns at a time."""


def timeline_frame(blocks: Sequence[Floats], assembly: Assembly) -> pd.DataFrame:
    """The timeline of a raw log in blocks of rows (n, width). One row per step; every column names its unit.

    hull.x_mm, hull.y_mm: the hull's centre of mass. drive.*: both sides. wheel.<name>.load_N: one wheel.
    arm.<name>.stop_N: one side, at the axle, positive for bump and negative for droop.
    """
    tracked = assembly.vehicle.track is not None
    wheels = [*assembly.per_station, SIDES, SIDES]
    names: list[str] = []
    scale: list[float] = []
    for entry in entries(len(assembly.joint), len(assembly.model.rings), tracked):
        column, number = entry.column, entry.number
        whose = (
            assembly.ring_names[number] if column.of == RING else assembly.joint[number] if "#" in column.name else ""
        )
        names.append(column.name.replace("#", whose))
        shared = wheels[number] if column.per == WHEEL else SIDES if column.per == SIDE else 1.0
        scale.append(column.factor / shared)
    derived = [d for d in DERIVED if tracked or d.of != LOOP]
    # One row of memory per column, and each read many times after: laid out so at once, not copied again.
    table = np.empty((len(names) + len(derived), sum(len(rows) for rows in blocks)))
    factors, start = np.array(scale)[:, None], 0
    for block in blocks:
        # The block lies row by row: turned in pieces that stay in the processor's cache.
        for first in range(0, len(block), TURNED):
            rows = block[first : first + TURNED]
            np.multiply(rows.T, factors, out=table[: len(names), start : start + len(rows)])
            start += len(rows)
    at = {name: table[k] for k, name in enumerate(names)}
    known = facts(assembly)
    for k, more in enumerate(derived, start=len(names)):
        table[k] = more.work(at, known)
        names.append(more.name)
    return pd.DataFrame(table.T, columns=names, copy=False)


__all__ = ["ENDS", "facts", "timeline_frame"]
