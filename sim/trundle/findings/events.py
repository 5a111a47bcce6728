"""What happened during a run, one row each: stops hit, wheels off, belly down, band slack.

Each is put down to an obstacle: the one the wheel itself is at, or else one under the vehicle (a rear arm is
pressed onto its stop by a kerb that the front climbs), or else the one just left behind.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pandas as pd

from trundle.bogies.parts import Parts
from trundle.findings.intervals import stretches
from trundle.findings.passage import footprint
from trundle.model.arrays import Floats
from trundle.model.assembly import Assembly
from trundle.terrain.ground import Ground
from trundle.units import DEG, MM

COLUMNS = (
    "kind", "where", "time_s", "duration_s", "course_mm", "obstacle",
    "peak_N", "closing_mm_s", "energy_J", "height_mm",
)  # fmt: skip
_WORDS = ("kind", "where", "obstacle")
"""Columns that hold text; the others hold numbers."""

BUMP, DROOP, OFF, BELLY = "bump stop", "droop stop", "wheel off", "belly down"
LOOSE, TOOTH, TIGHT, NOSE = "band loose", "wheel clear of tooth", "band overloaded", "end on ground"
SPIN, STILL = "grip used up", "standing still"

JOIN_S = 0.03
"""Two of the same that follow each other within this time are one [s]."""

SHORT_S = 0.01
"""A wheel off the ground, or a band loose, for less than this is not worth a line [s]."""

LOOSE_N = 5.0
"""Pull in one track below which its slack side counts as loose [N]."""

REACH_M = 0.4
"""An event this close before or behind an obstacle is put down to it [m]."""


def obstacle_at(ground: Ground, x_m: float, tail_m: float | None = None, nose_m: float | None = None) -> str:
    """Title of the obstacle at a course position, or the nearest within reach, or nothing.

    With the vehicle's tail and nose [m]: failing that, the nearest it stands over, or has just left.
    """
    away = [max(start - x_m, x_m - end, 0.0) for _, start, end in ground.spans]
    near = [i for i, distance in enumerate(away) if distance <= REACH_M]
    if not near and tail_m is not None and nose_m is not None:
        near = [i for i, (_, a, b) in enumerate(ground.spans) if a <= nose_m and b >= tail_m - REACH_M]
    return ground.spans[min(near, key=away.__getitem__)][0] if near else ""


def wheels_of(parts: Parts, swing: int) -> list[str]:
    """Names of all wheels that an arm or beam carries, itself or through what hangs on it."""
    names = [w.name for w in parts.swings[swing].wheels]
    for other, part in enumerate(parts.swings):
        if part.parent == swing + 1:
            names += wheels_of(parts, other)
    return names


class _Finder:
    """Looks through one timeline."""

    def __init__(self, timeline: pd.DataFrame, assembly: Assembly, ground: Ground) -> None:
        self.t = timeline["time_s"].to_numpy()
        self.dt = float(self.t[1] - self.t[0]) if len(self.t) > 1 else 1e-3
        # Columns are looked up a hundred times: by pandas that is a tenth of the whole search.
        self.columns = dict(zip(timeline.columns, timeline.to_numpy().T, strict=True))
        self.assembly, self.ground = assembly, ground
        self.tail, self.nose = footprint(timeline, assembly)

    def col(self, name: str) -> Floats:
        return self.columns[name]

    def spells(self, holds: Any, x_mm: Floats, kind: str, where: str, least_s: float = 0.0) -> Iterator[Any]:
        """(first, end, row) of each spell, the row filled with what all kinds have."""
        for a, b in stretches(holds, round(JOIN_S / self.dt)):
            lasts = (b - a) * self.dt
            if lasts < least_s:
                continue
            row = dict.fromkeys(COLUMNS[6:], np.nan) | {
                "kind": kind,
                "where": where,
                "time_s": float(self.t[a]),
                "duration_s": float(lasts),
                "course_mm": float(x_mm[a]),
                "obstacle": obstacle_at(self.ground, float(x_mm[a]) * MM, float(self.tail[a]), float(self.nose[a])),
            }
            yield a, b, row

    def stops(self) -> Iterator[dict[str, Any]]:
        parts = self.assembly.parts
        for number, (part, name) in enumerate(zip(parts.swings, self.assembly.joint, strict=True)):
            force = self.col(f"arm.{name}.stop_N")
            if not force.any():
                continue
            angle = self.col(f"arm.{name}.angle_deg")
            carried = wheels_of(parts, number)
            x = np.mean([self.col(f"wheel.{w}.x_mm") for w in carried], axis=0)
            rate = np.gradient(angle, self.dt) * DEG * part.radius / MM if len(angle) > 1 else 0.0 * angle
            for kind, sign in ((BUMP, 1.0), (DROOP, -1.0)):
                pushing = sign * force
                for a, b, row in self.spells(pushing > 0.0, x, kind, name):
                    row["peak_N"] = float(pushing[a:b].max())
                    row["closing_mm_s"] = float(max(0.0, -sign * rate[max(a - 1, 0)]))
                    power = pushing[a:b] * np.maximum(0.0, -sign * rate[a:b]) * MM
                    row["energy_J"] = float(power.sum() * self.dt)
                    yield row

    def wheels(self) -> Iterator[dict[str, Any]]:
        radius = self.assembly.model.rings["radius"]
        track = self.assembly.vehicle.track
        for i, name in enumerate(self.assembly.wheel):
            x, y = self.col(f"wheel.{name}.x_mm"), self.col(f"wheel.{name}.y_mm")
            for a, b, row in self.spells(self.col(f"wheel.{name}.load_N") <= 0.0, x, OFF, name, SHORT_S):
                under = self.ground.height_at(x[a:b] * MM)
                # A wheel that is just off can still be a hair below the height at which it would press.
                row["height_mm"] = max(0.0, float(np.max(y[a:b] - (radius[i] + under) / MM)))
                yield row
            if track is None:
                continue
            gap = self.col(f"wheel.{name}.band_gap_mm")
            for a, b, row in self.spells(gap > track.tooth_mm, x, TOOTH, name):
                row["height_mm"] = float(gap[a:b].max())
                yield row

    def hull(self) -> Iterator[dict[str, Any]]:
        x = self.col("hull.x_mm")
        load, clear = self.col("belly.load_N"), self.col("belly.clearance_mm")
        for a, b, row in self.spells(load > 0.0, x, BELLY, "hull"):
            row["peak_N"] = float(load[a:b].max())
            row["height_mm"] = float(clear[a:b].min())
            yield row
        used = np.abs(self.col("drive.grip_used"))
        for _, _, row in self.spells(used >= 0.999, x, SPIN, "drive", 0.1):
            yield row
        still = (self.col("drive.target_m_s") > 0.1) & (np.abs(self.col("hull.speed_m_s")) < 0.02)
        for a, _, row in self.spells(still, x, STILL, "hull", 0.3):
            # What stops a vehicle is what its front has met, not what lies under its middle.
            met = [s for s in self.ground.spans if s[1] <= self.nose[a] and s[2] >= self.tail[a]]
            row["obstacle"] = met[-1][0] if met else row["obstacle"]
            yield row

    def track(self) -> Iterator[dict[str, Any]]:
        track = self.assembly.vehicle.track
        if track is None:
            return
        x = self.col("hull.x_mm")
        loose = (self.col("track.spare_mm") > 0.0) | (self.col("track.slack_N") < LOOSE_N)
        spare = self.col("track.spare_mm")
        for a, b, row in self.spells(loose, x, LOOSE, "track", SHORT_S):
            row["height_mm"] = float(spare[a:b].max())
            yield row
        for end in ("sprocket", "idler"):
            load = self.col(f"{end}.load_N")
            for a, b, row in self.spells(load > 0.0, self.col(f"{end}.x_mm"), NOSE, end):
                row["peak_N"] = float(load[a:b].max())
                yield row
        if track.tension_limit_N is not None:
            tight = self.col("track.tight_N")
            for a, b, row in self.spells(tight > track.tension_limit_N, x, TIGHT, "track"):
                row["peak_N"] = float(tight[a:b].max())
                yield row


def find_events(timeline: pd.DataFrame, assembly: Assembly, ground: Ground) -> pd.DataFrame:
    """Every event of a run in order of time.

    Columns: kind, where (wheel, arm or part), time_s, duration_s, course_mm (of the wheel, the middle of the
    wheels that an arm or beam carries, else the hull's centre of mass), obstacle, peak_N (one wheel, arm side
    or track), closing_mm_s and energy_J (stops, at the axle), height_mm (wheel above ground, off the band,
    belly clearance, or loose length of band).
    """
    f = _Finder(timeline, assembly, ground)
    rows = [*f.stops(), *f.wheels(), *f.hull(), *f.track()]
    # Sorted and typed here, not by pandas: that took half the time of the whole search.
    rows.sort(key=lambda row: (row["time_s"], row["kind"], row["where"]))
    return pd.DataFrame(
        {
            name: pd.array([row[name] for row in rows], dtype="str")
            if name in _WORDS
            else np.array([row[name] for row in rows], dtype=np.float64)
            for name in COLUMNS
        }
    )
