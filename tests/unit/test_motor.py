"""A motor's curve as the file has it, and what it pushes with at a speed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from trundle.errors import InputError
from trundle.model import arrays
from trundle.spec.motor import MOST_POINTS, Motor
from trundle.spec.pull import MOST_CORNERS, pull_of, pull_through
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle


def shipped(**drive: Any) -> Vehicle:
    """The shipped vehicle by torque, its drive changed."""
    return load_vehicle(find("vehicles", "teasel"), {f"drive.{k}": v for k, v in drive.items()})


MOTOR: dict[str, Any] = {"count": 2, "stall_Nm": 24.0, "no_load_rpm": 3000.0, "ratio": 15.0, "efficiency": 0.8}


def test_a_straight_line_through_gears() -> None:
    """F = count T ratio efficiency / r at v = 2 pi n / 60 r / ratio, by hand: 2 x 24 x 15 x 0.8 / 0.096 = 6000 N at
    standstill, half of it at half the no-load speed, 0.5 x 3000/60 x 2 pi x 0.096 / 15 = 1.00531 m/s, none beyond."""
    pull = pull_through(Motor(**MOTOR), 0.096)
    assert pull.most_N == pytest.approx(6000.0)
    assert pull.fastest_m_s == pytest.approx(2.0 * 1.0053096, rel=1e-7)
    assert pull.both_N([-1.0, 0.0, 1.0053096, 2.5]) == pytest.approx([6000.0, 6000.0, 3000.0, 0.0])
    assert pull.side_N(1.0053096) == pytest.approx(1500.0)


def test_an_engine_is_at_its_best_below_its_peak() -> None:
    """A clutch slips below the speed of the highest torque; behind the last point it falls within a twentieth."""
    engine = Motor(count=1, curve_rpm_Nm=((1800.0, 8.0), (2500.0, 11.0), (3600.0, 9.0)), ratio=30.0)
    assert engine.best == ((0.0, 11.0), (1800.0, 11.0), (2500.0, 11.0), (3600.0, 9.0), (3780.0, 0.0))
    pull = pull_through(engine, 0.1)
    push = pull.both_N(np.linspace(0.0, 1.5 * pull.fastest_m_s, 500))
    assert (np.diff(push) <= 0.0).all()


def test_torque_and_power_as_before() -> None:
    """torque_Nm over the radius, no more than power over speed."""
    plain = shipped()
    radius = plain.drive_radius_m
    assert pull_of(plain).both_N([0.0, 3.0]) == pytest.approx([260.0 / radius] * 2)
    capped = pull_of(shipped(power_W=900.0))
    assert capped.both_N([0.0, 0.01, 2.0]) == pytest.approx([260.0 / radius, 260.0 / radius, 450.0])
    assert math.isinf(capped.fastest_m_s)


def test_the_longest_curve_has_room_in_the_model() -> None:
    """A curve of as many points as a file may have, none of them at standstill or without torque."""
    assert arrays.MOST_CORNERS == MOST_CORNERS
    curve = tuple((100.0 + k, 30.0 - k) for k in range(MOST_POINTS))
    assert len(pull_through(Motor(count=1, curve_rpm_Nm=curve, ratio=1.0), 0.1).corners) == MOST_CORNERS


WRONG: list[tuple[dict[str, Any], str, str]] = [
    ({"ratio": None}, "ratio", "is missing"),
    ({"stall_Nm": None}, "stall_Nm", "nothing says how the motor's torque falls with its speed"),
    ({"stall_Nm": None, "no_load_rpm": None}, "curve_rpm_Nm", "nothing says how"),
    ({"curve_rpm_Nm": [[0, 20], [3000, 0]]}, "stall_Nm", "given twice"),
    ({"stall_Nm": None, "no_load_rpm": None, "curve_rpm_Nm": [[0, 20], [0, 10]]}, "curve_rpm_Nm[2]", "must rise"),
    ({"stall_Nm": None, "no_load_rpm": None, "curve_rpm_Nm": [[0, 0], [900, 0]]}, "curve_rpm_Nm", "no torque at all"),
    ({"stall_Nm": None, "no_load_rpm": None, "curve_rpm_Nm": [[0, 9]]}, "curve_rpm_Nm", "2"),
    ({"stall_Nm": None, "no_load_rpm": None, "curve_rpm_Nm": [[k, 9] for k in range(MOST_POINTS + 1)]},
     "curve_rpm_Nm", str(MOST_POINTS)),
    ({"continuous_Nm": 3, "continuous_A": 30, "torque_Nm_per_A": 0.1}, "continuous_A", "twice"),
    ({"continuous_A": 30}, "continuous_A", "without torque_Nm_per_A"),
    ({"resistance_ohm": 0.1}, "resistance_ohm", "without torque_Nm_per_A"),
    ({"no_load_A": 1.0}, "no_load_A", "without torque_Nm_per_A"),
    ({"resistance_ohm": 0.1, "torque_Nm_per_A": 0.1, "motor_efficiency": 0.7}, "motor_efficiency", "twice"),
    ({"efficiency": 1.2}, "efficiency", "1"),
    ({"count": 0}, "count", "1"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "field", "said"), WRONG)
def test_bad_motors_are_refused(change: dict[str, Any], field: str, said: str) -> None:
    """One message, which names the field and what is wrong."""
    table = {k: v for k, v in {**MOTOR, **change}.items() if v is not None}
    with pytest.raises(InputError) as told:
        shipped_with(table)
    (problem,) = told.value.problems
    assert problem.field == f"drive.motor.{field}"
    assert said in str(problem)


def shipped_with(motor: dict[str, Any], **drive: Any) -> Vehicle:
    """The shipped vehicle with a motor in place of its torque."""
    return shipped(torque_Nm=None, motor=motor, **drive)


@pytest.mark.parametrize(
    ("drive", "field", "said"),
    [
        ({"torque_Nm": 100.0}, "motor", "how hard it pushes is given by torque_Nm and by motor"),
        ({"torque_Nm": 100.0, "push_N": 90.0}, "motor", "given by torque_Nm and by push_N and by motor"),
        ({"power_W": 900.0}, "power_W", "the motor's curve has its own power"),
        ({"motor": None}, "torque_Nm", "nothing says how hard it pushes"),
        ({"battery": {"energy_Wh": 500.0, "most_A": 40.0}}, "battery.most_A", "without voltage_V"),
        ({"battery": {"energy_Wh": 500.0, "usable": 80.0}}, "battery.usable", "1"),
    ],
)
def test_contradictions_beside_a_motor_are_refused(drive: dict[str, Any], field: str, said: str) -> None:
    """One message, which names the field and what is wrong."""
    with pytest.raises(InputError) as told:
        shipped(**{"torque_Nm": None, "motor": MOTOR, **drive})
    (problem,) = told.value.problems
    assert problem.field == f"drive.{field}"
    assert said in str(problem)
