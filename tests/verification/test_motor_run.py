"""A whole vehicle under motors by their curve, against closed forms of a linear motor."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

import trundle
from trundle.result.result import Result
from trundle.spec.course import Course
from trundle.spec.pull import Pull, pull_of
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.terrain.slopes import Flat, RampUp

DRAG = 0.03
FIELD = {"teasel": "track.rolling_drag", "barrow": "wheel.road.rolling_drag"}
STALL_NM = {"teasel": 5.0, "barrow": 2.0}


def run(name: str, course: Course, **motor: Any) -> tuple[Result, Pull]:
    """Of a shipped vehicle with two linear motors, full throttle from a standing start."""
    table = {"count": 2, "stall_Nm": STALL_NM[name], "no_load_rpm": 2400.0, "ratio": 12.0, "efficiency": 0.8, **motor}
    vehicle = load_vehicle(
        find("vehicles", name),
        {
            "drive.torque_Nm": None, "drive.motor": table, "drive.battery": {"energy_Wh": 500.0},
            "drive.acceleration_m_s2": 10.0, "drive.speed_m_s": 4.0, FIELD[name]: DRAG,
        },
    )  # fmt: skip
    return trundle.run(vehicle, course, near=1), pull_of(vehicle)


@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_runs_up_on_the_level_as_a_linear_motor_does(name: str) -> None:
    """(m + what turns) v' = F0 (1 - v/v0) - c W: v = v1 (1 - exp(-t/T)), T = m v0/F0, v1 = v0 (1 - c W/F0) (any
    textbook), with a track and without. The driver asks for all of it after 5 ms (0.05 m/s at 10 m/s2), and pads shear
    before they pull: 1 % of v1 from half a second on. Its last speed 0.1 %; the ledger closes within 0.01 %."""
    course = Course(run_up_mm=15_000, run_out_mm=8_000, obstacle=(Flat(kind="flat", length_mm=8_000.0),))
    result, pull = run(name, course)
    model, t = result.assembly.model, result.timeline
    mass = float(model.bodies.mass.sum()) + float(model.drive.mass)
    fastest = pull.fastest_m_s * (1.0 - DRAG * result.assembly.weight_N / pull.most_N)
    constant = mass * pull.fastest_m_s / pull.most_N
    time, speed = t["time_s"].to_numpy(), t["hull.speed_m_s"].to_numpy()
    assert time[-1] > 6.0 * constant
    closed = fastest * (1.0 - np.exp(-time / constant))
    assert np.abs(speed - closed)[time > 0.5].max() < 0.01 * fastest
    assert float(speed[-1]) == pytest.approx(closed[-1], rel=1e-3)
    assert result.summary["energy_error"] < 1e-4


def test_climbs_as_fast_as_its_motors_let_it() -> None:
    """Steady on a slope a: F0 (1 - v/v0) = W (sin a + c cos a), along the slope, 0.5 % at its end, where it has been
    on it for more than five time constants."""
    slope = math.radians(10.0)
    course = Course(obstacle=(RampUp(kind="ramp up", height_mm=2_000.0, slope_deg=10.0),))
    result, pull = run("teasel", course)
    t = result.timeline
    takes = result.assembly.weight_N * (math.sin(slope) + DRAG * math.cos(slope))
    steady = pull.fastest_m_s * (1.0 - takes / pull.most_N)
    (_, first, last), *_ = [s for s in result.ground.spans if "ramp" in s[0]]
    x = t["hull.x_mm"].to_numpy() * 1e-3
    late = (x > last - 2.5) & (x < last - 1.0)
    assert last - first > 10.0
    level = float(t["hull.speed_m_s"].to_numpy()[late].mean())
    assert level / math.cos(slope) == pytest.approx(steady, rel=0.005)


def test_the_battery_gives_what_the_ledger_says_the_motor_put_in() -> None:
    """By a stated efficiency the battery's energy is the ledger's motor work over both efficiencies; the ledger has
    the sprocket's speed with the loop's growth and the hull's pitch, the battery the track's mean: 0.5 %."""
    course = Course(obstacle=(RampUp(kind="ramp up", height_mm=1_000.0, slope_deg=10.0),))
    result, _ = run("teasel", course, motor_efficiency=0.7)
    put_in = float(result.timeline["energy.motor_J"].iloc[-1])
    assert result.summary["battery_course_Wh"] * 3600.0 == pytest.approx(put_in / (0.8 * 0.7), rel=5e-3)


def test_backs_up_under_its_motors() -> None:
    """Mole over the course that stops, backs up and starts again on a hill: it does as told, the ledger closes, and
    its motors never give more at a speed than their curve, whichever way they turn."""
    result = trundle.run("mole", "hill-start", near=1)
    assert result.completed
    assert result.summary["energy_error"] < 1e-3
    t, pull = result.timeline, pull_of(result.vehicle)
    assert {"waiting", "backing up"} <= set(result.events["kind"])
    speed, push = t["drive.running_m_s"].to_numpy(), t["drive.push_N"].to_numpy()
    back = (t["drive.target_m_s"] < 0.0).to_numpy() & (push * speed > 0.0)
    assert back.any()
    # The motor's speed has the hull's nodding on top of the track's: a hundredth of its fastest.
    spare = 0.01 * pull.fastest_m_s
    assert (np.abs(push[back]) <= pull.both_N(np.maximum(np.abs(speed[back]) - spare, 0.0))).all()
