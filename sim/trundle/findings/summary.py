"""A run's figures: one flat table of numbers, the names of which stay."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from trundle.findings import events as ev
from trundle.findings.ride import MIN_RATE_HZ, crest_factor, running_rms_max, vdv, weighted, weighted_rms
from trundle.model.assembly import Assembly
from trundle.units import G

LEDGER_LIMIT = 0.01
"""Share of the energy put through that may stay unaccounted for before a run says it is not to be trusted."""


def summarise(
    timeline: pd.DataFrame,
    events: pd.DataFrame,
    assembly: Assembly,
    standing_N: dict[str, float],
    ride_height_mm: float,
    dt_s: float,
) -> dict[str, Any]:
    """All figures of a run as plain numbers, ready for JSON.

    standing_N: load of one wheel at rest, by wheel. The caller adds how the run ended and how long it took.
    """

    def col(name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        return timeline[name].to_numpy()

    wheels = {}
    for name in assembly.wheel:
        load = col(f"wheel.{name}.load_N")
        wheels[name] = {
            "standing_N": standing_N[name],
            "mean_N": float(load.mean()),
            "peak_N": float(load.max()),
            "off_s": float((load <= 0.0).sum() * dt_s),
        }
    stops = events[events["kind"] == ev.BUMP]
    up = col("seat.up_m_s2")
    throughput = float(col("energy.throughput_J")[-1])
    # The worst of the run, not the last: an error that has gone back was there all the same.
    error = float(np.abs(col("energy.error_J")).max())
    x = col("hull.x_mm")
    figures: dict[str, Any] = {
        "distance_m": float((x[-1] - x[0]) * 1e-3),
        "duration_s": float(col("time_s")[-1]),
        "static_wheel_load_N": standing_N,
        "peak_wheel_load_N": max(w["peak_N"] for w in wheels.values()),
        "bump_stop_hits": len(stops),
        "peak_bump_stop_N": float(stops["peak_N"].max()) if len(stops) else 0.0,
        "droop_stop_hits": int((events["kind"] == ev.DROOP).sum()),
        "wheel_off_s": sum(w["off_s"] for w in wheels.values()),
        "ride_height_mm": ride_height_mm,
        "min_belly_clearance_mm": float(col("belly.clearance_mm").min()),
        "peak_belly_load_N": float(col("belly.load_N").max()),
        "peak_seat_g": float(np.abs(up).max() / G),
        **_seat(up, 1.0 / dt_s),
        "peak_pitch_deg": float(np.abs(col("hull.pitch_deg")).max()),
        "peak_sprocket_torque_Nm": float(np.abs(col("sprocket.torque_Nm")).max()),
        "mean_sprocket_power_W": float(np.maximum(col("sprocket.power_W"), 0.0).mean()),
        "peak_sprocket_power_W": float(col("sprocket.power_W").max()),
        "rms_sprocket_torque_Nm": float(np.sqrt(np.mean(col("sprocket.torque_Nm") ** 2))),
        "peak_slip_m_s": float(np.abs(col("drive.slip_m_s")).max()),
        "grip_used_up_s": float((np.abs(col("drive.grip_used")) >= 0.999).sum() * dt_s),
        "energy_error": error / throughput if throughput > 0.0 else 0.0,
        "energy_throughput_J": throughput,
        "wheels": wheels,
    }
    if assembly.vehicle.track is not None:
        slack, tight = col("track.slack_N"), col("track.tight_N")
        figures |= {
            "min_track_tension_N": float(slack.min()),
            "peak_track_tension_N": float(tight.max()),
            "track_loose_s": float(((slack < ev.LOOSE_N) | (col("track.spare_mm") > 0.0)).sum() * dt_s),
            "wheel_clear_of_tooth": int((events["kind"] == ev.TOOTH).sum()),
            "peak_span_load_N": float(col("track.span_load_N").max()),
        }
    else:
        figures |= {"min_track_tension_N": None, "peak_track_tension_N": None}
    return figures


def _seat(up_m_s2: np.ndarray[Any, np.dtype[np.float64]], rate_Hz: float) -> dict[str, float | None]:
    """Weighted seat figures; None for a step too coarse to carry the weighting's band."""
    names = ("seat_rms_m_s2", "seat_vdv_m_s175", "seat_crest_factor", "seat_mtvv_m_s2")
    if rate_Hz < MIN_RATE_HZ:
        return dict.fromkeys(names)
    felt = weighted(up_m_s2, rate_Hz)
    values = (
        weighted_rms(felt), vdv(felt, rate_Hz), crest_factor(felt), running_rms_max(felt, rate_Hz)
    )  # fmt: skip
    return dict(zip(names, values, strict=True))
