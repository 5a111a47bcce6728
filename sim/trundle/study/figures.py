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
    Figure("wheel_off_s", "wheel off [s]", LOWER, 2),
    Figure("min_belly_clearance_mm", "belly clear [mm]", HIGHER),
    Figure("peak_seat_g", "peak seat [g]", LOWER, 2),
    Figure("seat_rms_m_s2", "seat r.m.s. weighted [m/s2]", LOWER, 3),
    Figure("min_track_tension_N", "least slack tension [N]", HIGHER),
    Figure("spring_margin", "spring margin", HIGHER, 2),
    Figure("bolt_margin", "bolt margin", HIGHER, 2),
)
"""What variants are ranked by, in the order of the printed table; a table has those that its runs give."""

OTHER = (
    Figure("peak_bump_stop_N", "peak bump stop [N]", LOWER),
    Figure("droop_stop_hits", "droop stop hits", LOWER),
    Figure("peak_belly_load_N", "peak belly load [N]", LOWER),
    Figure("seat_vdv_m_s175", "seat dose value [m/s1.75]", LOWER, 2),
    Figure("peak_pitch_deg", "peak pitch [deg]", LOWER, 1),
    Figure("peak_track_tension_N", "peak tension [N]", LOWER),
    Figure("track_loose_s", "track loose [s]", LOWER, 2),
    Figure("wheel_clear_of_tooth", "wheel clear of the guide tooth", LOWER),
    Figure("peak_sprocket_torque_Nm", "peak sprocket torque [N.m]", LOWER),
    Figure("peak_sprocket_power_W", "peak sprocket power [W]", LOWER),
    Figure("grip_used_up_s", "grip used up [s]", LOWER, 2),
    Figure("energy_error", "energy unaccounted for", LOWER, 4),
    Figure("ride_height_mm", "ride height [mm]", NEITHER, 1),
    Figure("distance_m", "distance [m]", HIGHER, 2),
    Figure("duration_s", "duration [s]", LOWER, 2),
)
"""Compared with a baseline and told in a spread, but not a reason to rank one variant before another."""

NOT_A_RESULT = ("speed_times_real_time", "wall_s")
"""Columns that differ from run to run of the same thing; studies leave them out."""


NOT_GUARDED = ("standing_residual_N", "energy_throughput_J", "dt_ms", "ground_mm", "weight_N")
"""Figures that say how a run was computed, or what went in: no part of a baseline."""


def figure_of(column: str) -> Figure:
    """What is known of a column; one that is not listed goes by its own name."""
    return next((f for f in (*FIGURES, *OTHER) if f.column == column), Figure(column, column, NEITHER, 2))


def figure_columns(table: pd.DataFrame) -> list[str]:
    """Names of a results table's figures: the columns behind `reason`."""
    names = [str(c) for c in table.columns]
    return names[names.index("reason") + 1 :]


def guarded(column: str) -> bool:
    """Whether a baseline keeps this column. Of single wheels, what no other column says."""
    if column.startswith("wheels."):
        return column.endswith((".peak_N", ".off_s"))
    return column not in NOT_GUARDED


def better_way(column: str) -> str:
    """`lower`, `higher` or `` for a column, `peak_wheel_load_N.front` like `peak_wheel_load_N`."""
    name = column.split(".")[0]
    if name == "wheels":  # wheels.front.fore.peak_N, wheels.front.fore.off_s: one wheel's own
        return LOWER if column.endswith((".peak_N", ".off_s")) else NEITHER
    for figure in (*FIGURES, *OTHER):
        if figure.column == name:
            return figure.better
    return NEITHER


def ranked(table: pd.DataFrame) -> list[Figure]:
    """The figures that this table has numbers for."""
    return [f for f in FIGURES if f.column in table and table[f.column].notna().any()]


def completed(table: pd.DataFrame) -> pd.Series[bool]:
    """Which runs reached the course's end and may be trusted: their energy ledger closes."""
    done = table["state"] == "done"
    if "completed" in table:
        done &= table["completed"].astype("boolean").fillna(False).astype(bool)
    if "energy_error" in table:
        done &= ~(table["energy_error"].astype(float) > _ledger_limit())
    return done


def why_not(row: pd.Series[Any]) -> str:
    """Why a run is not among the completed ones, in one line."""
    if row["state"] != "done":
        return str(row["reason"] or row["state"]).splitlines()[0]
    if row.get("completed", True) and float(row.get("energy_error", 0.0)) > _ledger_limit():
        return f"not to be trusted: {row['energy_error']:.1%} of the energy is unaccounted for"
    return str(row.get("ended_because", "") or "did not reach the end")


def _ledger_limit() -> float:
    # Only now: it brings the compiled model with it, which the first look at an option does not need.
    from trundle.findings.summary import LEDGER_LIMIT

    return LEDGER_LIMIT
