"""From the raw log (SI, both sides) to the timeline's columns (mm, N, deg, one wheel, one track)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from trundle.engine.spill import Spilled, turned
from trundle.law.timeline import DERIVED, LOOP, RING, SIDE, WHEEL, entries
from trundle.model.arrays import SIDES, Floats
from trundle.model.assembly import ENDS, Assembly
from trundle.record.long import ByName, LongTimeline, Timeline


def facts(assembly: Assembly) -> dict[str, float]:
    """What derived columns need of a vehicle: radius that turns push into torque [m]."""
    return {"drive_radius_m": assembly.vehicle.drive_radius_m}


class _Layout:
    """The columns of a vehicle's timeline: those of the raw log, each with what makes its unit of SI, then those worked
    out from others."""

    def __init__(self, assembly: Assembly) -> None:
        tracked = assembly.vehicle.track is not None
        wheels = [*assembly.per_station, SIDES, SIDES]
        self.logged: list[str] = []
        scale: list[float] = []
        for entry in entries(len(assembly.joint), len(assembly.model.rings), tracked):
            column, number = entry.column, entry.number
            names = assembly.ring_names if column.of == RING else assembly.joint if "#" in column.name else ("",)
            whose = names[number] if "#" in column.name else ""
            self.logged.append(column.name.replace("#", whose))
            shared = wheels[number] if column.per == WHEEL else SIDES if column.per == SIDE else 1.0
            scale.append(column.factor / shared)
        self.factors = np.array(scale)[:, None]
        self.derived = [d for d in DERIVED if tracked or d.of != LOOP]
        self.known = facts(assembly)

    @property
    def names(self) -> list[str]:
        return [*self.logged, *(d.name for d in self.derived)]


def timeline_frame(blocks: Sequence[Floats], assembly: Assembly) -> pd.DataFrame:
    """The timeline of a raw log in blocks of rows (n, width). One row per step; every column names its unit.

    hull.x_mm, hull.y_mm: the hull's centre of mass. drive.*: both sides. wheel.<name>.load_N: one wheel.
    arm.<name>.stop_N: one side, at the axle, positive for bump and negative for droop.
    <ring>.force_forward_N, .force_up_N: all that pushes on one wheel (of sprocket and idler: one side's), ground and
    track, along the course and upwards.
    """
    layout = _Layout(assembly)
    names, logged = layout.names, len(layout.logged)
    # One row of memory per column, and each read many times after: laid out so at once, not copied again.
    table = np.empty((len(names), sum(len(rows) for rows in blocks)))
    start = 0
    for block in blocks:
        turned(block, table[:logged, start : start + len(block)], layout.factors)
        start += len(block)
    at = {name: table[k] for k, name in enumerate(layout.logged)}
    for k, more in enumerate(layout.derived, start=logged):
        table[k] = more.work(at, layout.known)
    return pd.DataFrame(table.T, columns=names, copy=False)


class SpilledTimeline(LongTimeline):
    """The timeline of a raw log that was set aside in a file; the same numbers as `timeline_frame`, bit for bit."""

    def __init__(self, log: Spilled, assembly: Assembly) -> None:
        self._layout, self._log = _Layout(assembly), log
        super().__init__(tuple(self._layout.names), log.rows)
        self._number = {name: k for k, name in enumerate(self._layout.logged)}

    def _read(self, name: str) -> Floats:
        number = self._number.get(name)
        if number is None:
            more = next(d for d in self._layout.derived if d.name == name)
            return np.asarray(more.work(ByName(self), self._layout.known))
        values = self._log.column(number)
        values *= self._layout.factors[number, 0]
        return values

    def pieces(self) -> Iterator[dict[str, Floats]]:
        for slab in self._log.slabs():
            np.multiply(slab, self._layout.factors, out=slab)
            at = dict(zip(self._layout.logged, slab, strict=True))
            yield at | {d.name: d.work(at, self._layout.known) for d in self._layout.derived}


def timeline_of(log: Sequence[Floats] | Spilled, assembly: Assembly) -> Timeline:
    """The timeline of a raw log, wherever it is."""
    return SpilledTimeline(log, assembly) if isinstance(log, Spilled) else timeline_frame(log, assembly)


__all__ = ["ENDS", "SpilledTimeline", "facts", "timeline_frame", "timeline_of"]
