"""The drive on the sheet, against sums done by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from trundle.findings.climbs import Climbs, climbs_of
from trundle.papers.drive import drive_part
from trundle.papers.parts import Part
from trundle.spec.motor import Motor
from trundle.spec.pull import Pull
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle

MOTOR: dict[str, Any] = {
    "count": 2, "stall_Nm": 20.0, "no_load_rpm": 2800.0, "ratio": 12.0, "efficiency": 0.8, "continuous_Nm": 3.0,
}  # fmt: skip
WEIGHT_N = 3600.0


def vehicle(motor: dict[str, Any] | None = None, **drive: Any) -> Vehicle:
    """The shipped vehicle by torque; with a motor in its place."""
    own = {"drive.torque_Nm": None, "drive.motor": motor} if motor is not None else {}
    return load_vehicle(find("vehicles", "teasel"), own | {f"drive.{k}": v for k, v in drive.items()})


def said(part: Part) -> str:
    """All its lines."""
    return " ".join(part.lines)


def test_slope_and_speed_by_hand() -> None:
    """A linear pull of 1000 N to nothing at 2 m/s, 1000 N of weight, 5 % rolling: half of it is left at 1 m/s. sin a +
    0.05 cos a = 0.5 has a = 27.10 deg (0.4555 + 0.0445 = 0.5); the level takes 50 N, so 1.9 m/s."""
    climbs = Climbs(Pull(1000.0, math.inf, ((0.0, 1000.0), (2.0, 0.0))), 1000.0, 0.05, 0.7, 0.1)
    assert climbs.slope_deg(500.0) == pytest.approx(27.10, abs=0.02)
    assert climbs.push_N(climbs.slope_deg(500.0)) == pytest.approx(500.0)
    assert climbs.speed_m_s(0.0) == pytest.approx(1.9)
    assert climbs.speed_m_s(climbs.slope_deg(500.0)) == pytest.approx(1.0)
    assert climbs.speed_m_s(80.0) == pytest.approx(
        2.0 * (1.0 - math.sin(math.radians(80)) - 0.05 * math.cos(math.radians(80)))
    )
    assert climbs.slope_deg(40.0) < 0.0
    assert climbs.slope_deg(1100.0) == 90.0
    assert climbs.grip_deg == pytest.approx(34.992, abs=1e-3)
    assert math.isinf(Climbs(Pull(1000.0), 1000.0, 0.05, 0.7, 0.1).speed_m_s(0.0))
    assert Climbs(Pull(10.0), 1000.0, 0.05, 0.7, 0.1).speed_m_s(0.0) == 0.0


def test_the_table_is_the_pull() -> None:
    """Rev/min, torque and push of a row belong together: n = v / r x ratio, F = 2 T ratio efficiency / r."""
    it = vehicle(MOTOR)
    part = drive_part(it, WEIGHT_N)
    (table,) = part.tables
    radius = it.drive_radius_m
    for row in table.rows:
        speed, kmh, rpm, torque, push = (float(x) for x in row[:5])
        assert kmh == pytest.approx(3.6 * speed, abs=0.07)
        assert rpm == pytest.approx(speed / radius * 12.0 * 60.0 / (2.0 * math.pi), abs=7.0)
        assert push == pytest.approx(2.0 * torque * 12.0 * 0.8 / radius, abs=1.5)
        assert torque == pytest.approx(20.0 * (1.0 - rpm / 2800.0), abs=0.02)
    assert {row[-1] for row in table.rows} == {"grip", "motors"}
    top = climbs_of(it, WEIGHT_N).speed_m_s(0.0)
    assert f"Top speed on the level {top:.2f} m/s" in said(part)


def test_slip_or_stall_first() -> None:
    """2 x 20 x 12 x 0.8 / 0.0971 = 3955 N against 0.75 x 3600 = 2700 of grip: it slips. Through 4 it stalls, and the
    sheet says what that does."""
    assert "the track slips before the motors stall: 3955 N at standstill, grip takes 2700 N" in said(
        drive_part(vehicle(MOTOR), WEIGHT_N)
    )
    text = said(drive_part(vehicle({**MOTOR, "ratio": 4.0}), WEIGHT_N))
    assert "the motors stall before the track slips: 1318 N at standstill" in text
    assert "a motor that stands under power soon burns" in text


def test_heat_on_a_slope() -> None:
    """3 N.m each for ever push with 593 N: sin a + 0.03 cos a = 0.1648, a = 7.8 deg. On its steepest slope, where grip
    ends at atan 0.75 = 36.87 deg, it takes 3600 (0.6 + 0.03 x 0.8) = 2246 N, 11.36 N.m each, 3.79 times."""
    text = said(drive_part(vehicle({**MOTOR, "heats_up_s": 900.0}), WEIGHT_N))
    assert "For ever (3 N·m each) it climbs 8°" in text
    over = 2246.4 * vehicle().drive_radius_m / (2 * 12 * 0.8) / 3.0
    seconds = 900.0 * math.log(over**2 / (over**2 - 1.0))
    assert f"37°, each gives {over:.1f} times that: begun cold for about {seconds:.0f} s." in text
    assert "give drive.motor.continuous_Nm" in said(drive_part(vehicle({**MOTOR, "continuous_Nm": None}), WEIGHT_N))


def test_what_is_an_estimate_says_so() -> None:
    """A vehicle by torque has no top speed; gears, motor and the usable share that are not given are named."""
    text = said(drive_part(vehicle(battery={"energy_Wh": 600.0}), WEIGHT_N))
    assert "Its top speed is not known" in text
    assert "(gears 0.8, motor 0.75: estimates)" in text
    assert "drive.battery.usable is not given: 0.8, an estimate." in text
    watts = 108.0 * 1.2 / 0.6
    assert f"it draws {watts:.0f} W: 480 Wh last {480.0 / watts:.1f} h, {3.6 * 1.2 * 480.0 / watts:.1f} km" in text
    bare = {k: v for k, v in MOTOR.items() if k != "efficiency"}
    assert "drive.motor.efficiency is not given: 0.8, an estimate." in said(drive_part(vehicle(bare), WEIGHT_N))


def test_another_ratio() -> None:
    """Twice the ratio: twice the push, half the speed."""
    climbs = climbs_of(vehicle(MOTOR), WEIGHT_N)
    other = climbs.through(Motor(**{**MOTOR, "ratio": 24.0}))
    assert other.pull.most_N == pytest.approx(2.0 * climbs.pull.most_N)
    assert other.pull.fastest_m_s == pytest.approx(0.5 * climbs.pull.fastest_m_s)
