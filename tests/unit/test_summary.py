"""The figures of a run against sums done by hand on a made-up record."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from record_parts import DT_S, assembly_of, made, put, rolling

from trundle.findings.readings import Readings, Stood
from trundle.findings.summary import summarise

SPANS = (("kerb", 6.0, 6.125),)


def test_wheel_figures() -> None:
    """Mean and peak of a load that is 100 N but for half a second at 700 N, and a tenth off the ground."""
    t = rolling(assembly_of())
    put(t, "wheel.rear.fore.load_N", 2.0, 0.5, 700.0)
    put(t, "wheel.rear.fore.load_N", 4.0, 0.1, 0.0)
    row = made(assembly_of(), t, SPANS).summary["wheels"]["rear.fore"]
    assert row["mean_N"] == pytest.approx((9.4 * 100.0 + 0.5 * 700.0) / 10.0)
    assert (row["peak_N"], row["off_s"]) == (700.0, pytest.approx(0.1))


def test_motor_figures() -> None:
    """r.m.s. of 50 N.m for a quarter of the time; braking power does not count as motor power."""
    t = rolling(assembly_of(), seconds=8.0)
    put(t, "sprocket.torque_Nm", 1.0, 2.0, 50.0)
    put(t, "sprocket.power_W", 1.0, 2.0, 400.0)
    put(t, "sprocket.power_W", 4.0, 2.0, -400.0)
    s = made(assembly_of(), t, SPANS).summary
    assert s["rms_sprocket_torque_Nm"] == pytest.approx(50.0 * math.sqrt(2.0 / 8.0))
    assert s["mean_sprocket_power_W"] == pytest.approx(400.0 * 2.0 / 8.0)
    assert s["peak_sprocket_power_W"] == 400.0


def test_the_ledgers_worst_moment_counts() -> None:
    """An error that is gone again at the end was there all the same."""
    t = rolling(assembly_of())
    put(t, "energy.error_J", 3.0, 1.0, -30.0)
    assert made(assembly_of(), t, SPANS).summary["energy_error"] == pytest.approx(0.03)


def test_the_ledgers_error_is_set_against_what_came_in_and_what_changed() -> None:
    """Motor work and change of height and motion at the end of the run, whatever springs and dampers did meanwhile; and
    for a vehicle that did nothing, what lifts it by 1 mm (m g h)."""
    assembly = assembly_of()
    t = rolling(assembly)
    t["energy.spring_J"] = np.linspace(0.0, 1e6, len(t))
    t["energy.moving_J"], t["energy.gravity_J"] = 50.0, -450.0
    put(t, "energy.error_J", 3.0, 1.0, -30.0)
    summary = made(assembly, t, SPANS).summary
    assert summary["energy_turned_over_J"] == pytest.approx(1_500.0)
    assert summary["energy_error"] == pytest.approx(0.02)
    parked = rolling(assembly)
    parked["energy.motor_J"] = 0.0
    mass = float(assembly.model.bodies.mass.sum())
    assert made(assembly, parked, SPANS).summary["energy_turned_over_J"] == pytest.approx(mass * 9.80665 * 1e-3)


def test_a_steady_shake_at_the_seat() -> None:
    """5 Hz, 2 m/s2 amplitude: Wk there is 1.039 (ISO 2631-1 table 3, from memory), so r.m.s. 1.469."""
    t = rolling(assembly_of(), seconds=40.0, speed=0.1)
    t["seat.up_m_s2"] = 2.0 * np.sin(2.0 * np.pi * 5.0 * t["time_s"])
    s = made(assembly_of(), t, SPANS).summary
    assert s["seat_rms_m_s2"] == pytest.approx(1.039 * 2.0 / math.sqrt(2.0), rel=0.01)
    assert s["peak_seat_g"] == pytest.approx(2.0 / 9.80665, rel=1e-3)


def test_a_step_too_coarse_for_the_weighting_gives_no_seat_figures_instead_of_wrong_ones() -> None:
    """At 4 ms the weighting's band is not carried; all other figures still come."""
    t = rolling(assembly_of()).iloc[::4].reset_index(drop=True)
    events = made(assembly_of(), rolling(assembly_of()), SPANS).events
    stood = Stood(dict.fromkeys(assembly_of().wheel, 100.0), 150.0)
    s = summarise(Readings(t, events, assembly_of(), stood, 4 * DT_S, 5.0, 1.0))
    assert s["seat_rms_m_s2"] is None
    assert s["seat_vdv_m_s175"] is None
    assert s["peak_wheel_load_N"] == 100.0


@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_figures_are_plain_finite_numbers(name: str) -> None:
    """The summary goes into JSON as it is, for a tracked and a wheeled vehicle."""
    summary = made(assembly_of(name), rolling(assembly_of(name)), SPANS).summary
    assert json.loads(json.dumps(summary, allow_nan=False)) == summary
