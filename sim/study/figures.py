"""The figures that studies rank and compare by: what they are called, and which way is better."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

LOWER, HIGHER, NEITHER = "lower", "higher", ""


@dataclass(frozen=True)
class Figure:
    """One column of the results table. title: heading with its unit. better: lower, higher or neither."""

    column: str
    title: str
    better: str
    digits: int = 0


FIGURES = (
    Figure("peak_wheel_load_N", "peak wheel load [N]", LOWER),
    Figure("bump_stop_hits", "bump stop hits", LOWER),
    Figure("peak_bump_stop_N", "peak bump stop [N]", LOWER),
    Figure("wheel_off_s", "wheel off [s]", LOWER, 2),
    Figure("min_belly_clearance_mm", "belly clear [mm]", HIGHER),
    Figure("peak_seat_g", "peak seat [g]", LOWER, 2),
    Figure("seat_rms_m_s2", "seat r.m.s. weighted [m/s2]", LOWER, 3),
    Figure("peak_pitch_deg", "peak pitch [deg]", LOWER, 1),
    Figure("min_track_tension_N", "least slack tension [N]", HIGHER),
    Figure("peak_track_tension_N", "peak tension [N]", LOWER),
    Figure("peak_sprocket_torque_Nm", "peak sprocket torque [N.m]", LOWER),
    Figure("spring_margin", "spring margin", HIGHER, 2),
    Figure("bolt_margin", "bolt margin", HIGHER, 2),
)
"""In the order of the printed table."""

OTHER = (
    Figure("ride_height_mm", "ride height [mm]", NEITHER, 1),
    Figure("static_wheel_load_N", "standing wheel load [N]", NEITHER),
    Figure("distance_m", "distance [m]", HIGHER, 2),
    Figure("duration_s", "duration [s]", NEITHER, 2),
)
"""Compared with a baseline, but not a reason to rank one variant before another."""

NOT_A_RESULT = ("speed_times_real_time", "wall_s")
"""Columns that differ from run to run of the same thing; studies leave them out."""


def better_way(column: str) -> str:
    """`lower`, `higher` or `` for a column, `peak_wheel_load_N.front` like `peak_wheel_load_N`."""
    name = column.split(".")[0]
    for figure in (*FIGURES, *OTHER):
        if figure.column == name:
            return figure.better
    return NEITHER


def ranked(table: pd.DataFrame) -> list[Figure]:
    """The figures that this table has numbers for."""
    return [f for f in FIGURES if f.column in table and table[f.column].notna().any()]


def completed(table: pd.DataFrame) -> pd.Series[bool]:
    """Which runs reached the course's end."""
    done = table["state"] == "done"
    if "completed" in table:
        done &= table["completed"].astype("boolean").fillna(False).astype(bool)
    return done


def why_not(row: pd.Series[Any]) -> str:
    """Why a run did not reach the end, in one line."""
    if row["state"] != "done":
        return str(row["reason"] or row["state"]).splitlines()[0]
    return str(row.get("ended_because", "") or "did not reach the end")
