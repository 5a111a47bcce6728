"""Looks through a timeline for spells of something, and puts each down to an obstacle.

That is the obstacle the wheel itself is at, or else one under the vehicle (a rear arm is pressed onto its stop by a
kerb that the front climbs), or else the one just left behind.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings.intervals import stretches
from trundle.findings.passage import footprint
from trundle.findings.readings import Floats
from trundle.record.long import Timeline, columns_of
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.bogies.parts import Parts
    from trundle.model.assembly import Assembly
    from trundle.terrain.ground import Ground

FIRST_COLUMNS = ("kind", "where", "time_s", "duration_s", "course_mm", "obstacle")
"""Columns of the table of events that every kind fills."""

SIZES = ("peak_N", "closing_mm_s", "energy_J", "height_mm")
"""Columns that a kind fills or leaves empty."""

JOIN_S = 0.03
"""Two of the same that follow each other within this time are one [s]."""

SHORT_S = 0.01
"""A wheel off the ground, or a track loose, for less than this is not worth a line [s]."""

REACH_M = 0.4
"""An event this close before or behind an obstacle is put down to it [m]."""


def obstacle_at(ground: Ground, x_m: float, tail_m: float | None = None, nose_m: float | None = None) -> str:
    """Title of the obstacle at a course position, or the nearest within reach, or nothing.

    With the vehicle's tail and nose [m]: failing that, the nearest it stands over, or has just left.
    """
    if not ground.spans:
        return ""
    # All at once: a long course has thousands of obstacles, and tens of thousands of events.
    starts, ends = ground.span_ends_m
    away = np.maximum(np.maximum(starts - x_m, x_m - ends), 0.0)
    near = away <= REACH_M
    if not near.any() and tail_m is not None and nose_m is not None:
        near = (starts <= nose_m) & (ends >= tail_m - REACH_M)
    return ground.spans[int(np.argmin(np.where(near, away, np.inf)))][0] if near.any() else ""


def wheels_of(parts: Parts, swing: int) -> list[str]:
    """Names of all wheels that an arm or beam carries, itself or through what hangs on it."""
    names = [w.name for w in parts.swings[swing].wheels]
    for other, part in enumerate(parts.swings):
        if part.parent == swing + 1:
            names += wheels_of(parts, other)
    return names


class Finder:
    """Looks through one timeline."""

    def __init__(self, timeline: Timeline, assembly: Assembly, ground: Ground) -> None:
        self.t = timeline["time_s"].to_numpy()
        self.dt = float(self.t[1] - self.t[0]) if len(self.t) > 1 else 1e-3
        # Columns are looked up a hundred times: by pandas that is a tenth of the whole search.
        self.columns = columns_of(timeline)
        self.assembly, self.ground = assembly, ground
        self.tail, self.nose = footprint(timeline, assembly)

    def col(self, name: str) -> Floats:
        """A column of the timeline, shape (rows,)."""
        return self.columns[name]

    def spells(self, holds: Any, x_mm: Floats, kind: str, where: str, least_s: float = 0.0) -> Iterator[Any]:
        """(first, end, row) of each spell, the row filled with what all kinds have."""
        for a, b in stretches(holds, round(JOIN_S / self.dt)):
            lasts = (b - a) * self.dt
            if lasts < least_s:
                continue
            row = dict.fromkeys(SIZES, np.nan) | {
                "kind": kind,
                "where": where,
                "time_s": float(self.t[a]),
                "duration_s": float(lasts),
                "course_mm": float(x_mm[a]),
                "obstacle": obstacle_at(self.ground, float(x_mm[a]) * MM, float(self.tail[a]), float(self.nose[a])),
            }
            yield a, b, row

    def pressed(self, load_N: Floats, holds: Any, x_mm: Floats, kind: str, where: str) -> Iterator[dict[str, Any]]:
        """Rows of the spells in which something held, each with the highest load in it."""
        for a, b, row in self.spells(holds, x_mm, kind, where):
            yield row | {"peak_N": float(load_N[a:b].max())}
