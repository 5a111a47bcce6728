"""Every peak of a blow has its mean over 10 ms beside it."""

from __future__ import annotations

import numpy as np
import pytest
from record_parts import assembly_of, made, put, rolling

from trundle.findings import figures
from trundle.findings.figures.blow import mean_name

PEAKS = (
    "peak_wheel_load_N", "peak_bump_stop_N", "peak_track_tension_N", "peak_sprocket_torque_Nm", "peak_sprocket_power_W",
    "peak_belly_load_N", "peak_sprocket_load_N", "peak_idler_load_N",
)  # fmt: skip

COLUMNS = {
    "peak_wheel_load_N": ("wheel.middle.aft.load_N", 1.0),
    "peak_bump_stop_N": ("arm.middle.aft.stop_N", 1.0),
    "peak_track_tension_N": ("track.tight_N", 1.0),
    "peak_sprocket_torque_Nm": ("sprocket.torque_Nm", -1.0),
    "peak_sprocket_power_W": ("sprocket.power_W", 1.0),
    "peak_belly_load_N": ("belly.load_N", 1.0),
    "peak_sprocket_load_N": ("sprocket.load_N", 1.0),
    "peak_idler_load_N": ("idler.load_N", 1.0),
}


@pytest.mark.parametrize("name", PEAKS)
def test_a_spike_of_2_ms_is_a_fifth_of_itself(name: str) -> None:
    """9 kN (or N.m, W) for 2 ms; a block of 20 ms is told whole. Nothing else in the series."""
    column, sign = COLUMNS[name]
    for lasts, share in ((0.002, 0.2), (0.020, 1.0)):
        t = rolling(assembly_of())
        t.loc[:, [c for c in t.columns if c.endswith(("load_N", "tight_N", "torque_Nm", "power_W", "stop_N"))]] = 0.0
        put(t, column, 5.0, lasts, sign * 9e3)
        summary = made(assembly_of(), t, ()).summary
        assert summary[name] == pytest.approx(9e3)
        assert summary[mean_name(name)] == pytest.approx(share * 9e3)


def test_names_end_in_their_unit() -> None:
    assert mean_name("peak_wheel_load_N") == "peak_wheel_load_10ms_N"
    assert mean_name("peak_sprocket_torque_Nm") == "peak_sprocket_torque_10ms_Nm"
    for name in PEAKS:
        peak, mean = figures.figure_of(name), figures.figure_of(mean_name(name))
        assert (mean.unit, mean.better, mean.guarded) == (peak.unit, peak.better, peak.guarded)
        assert not mean.ranked


def test_a_push_on_the_droop_stop_is_none_on_the_bump_stop() -> None:
    t = rolling(assembly_of())
    put(t, "arm.middle.aft.stop_N", 5.0, 0.02, -500.0)
    summary = made(assembly_of(), t, ()).summary
    assert summary["peak_bump_stop_10ms_N"] == 0.0
    assert np.isfinite(summary["peak_wheel_load_10ms_N"])
