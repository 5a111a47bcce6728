"""What a run says of its motors: made-up records whose story, and whose sums, are known."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest
from record_parts import DT_S, Made, assembled, made, near_with, put, rolling

from trundle.findings.finding import Harm
from trundle.findings.grades import Grade
from trundle.model.assembly import Assembly
from trundle.spec.electric import drawn_W, lasts_s, warmth
from trundle.spec.motor import Motor
from trundle.spec.pull import pull_of
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.units import RPM

KERB = (("kerb 100 mm", 6.0, 6.125),)
GEARS = {"count": 2, "ratio": 12.0, "efficiency": 0.8}
LINE: dict[str, Any] = {**GEARS, "stall_Nm": 20.0, "no_load_rpm": 2800.0, "continuous_Nm": 3.0}


def with_motor(battery: dict[str, Any] | None = None, **motor: Any) -> Assembly:
    """The shipped vehicle by torque, with this motor in its place."""
    table = {k: v for k, v in {**LINE, **motor}.items() if v is not None}
    return assembled(
        load_vehicle(
            find("vehicles", "teasel"), {"drive.torque_Nm": None, "drive.motor": table, "drive.battery": battery}
        )
    )


def turned(assembly: Assembly, torque_Nm: float, begin_s: float, lasts_s: float, seconds: float = 8.0) -> pd.DataFrame:
    """A run at 1 m/s with a torque at the sprocket for a while."""
    t = rolling(assembly, seconds=seconds)
    radius = assembly.vehicle.drive_radius_m
    put(t, "sprocket.torque_Nm", begin_s, lasts_s, torque_Nm)
    put(t, "drive.push_N", begin_s, lasts_s, torque_Nm / radius)
    return t


def motor_lines(record: Made) -> dict[str, Grade]:
    """Text and grade of the lines on the motor."""
    return {x.text: x.grade for s in record.said.sections if s.title == "Motor" for x in s.lines}


def test_rms_of_a_duty_by_hand() -> None:
    """96 N.m at the sprocket for a quarter of the time are 96 / (2 x 12 x 0.8) = 5 N.m at each shaft, 2.5 r.m.s., 83 %
    of 3; braked with as much instead, the gears help: 96 x 0.8 / 24 = 3.2, 1.6 r.m.s. The brake, holding, is none."""
    assembly = with_motor()
    summary = made(assembly, turned(assembly, 96.0, 1.0, 2.0), KERB).summary
    assert summary["rms_motor_torque_Nm"] == pytest.approx(2.5)
    assert summary["motor_rms_of_rating_percent"] == pytest.approx(250.0 / 3.0)
    assert made(assembly, turned(assembly, -96.0, 1.0, 2.0), KERB).summary["rms_motor_torque_Nm"] == pytest.approx(1.6)
    held = turned(assembly, 96.0, 1.0, 2.0)
    put(held, "drive.brake_holds", 1.0, 2.0, 1.0)
    assert made(assembly, held, KERB).summary["rms_motor_torque_Nm"] == 0.0


def test_a_battery_by_hand() -> None:
    """By windings: 5 N.m at 0.08 N.m/A and 2 A idle are 64.5 A; at 1 m/s the shaft turns w = 12 / r; k w I + R I2 each;
    for 2 s of 8; nothing flows back while braking. An hour: the mean power."""
    assembly = with_motor(
        {"energy_Wh": 100.0, "usable": 0.5, "voltage_V": 24.0}, torque_Nm_per_A=0.08, resistance_ohm=0.05, no_load_A=2.0
    )
    t = turned(assembly, 96.0, 1.0, 2.0)
    put(t, "sprocket.torque_Nm", 4.0, 2.0, -96.0)
    summary = made(assembly, t, KERB).summary
    w = 12.0 / assembly.vehicle.drive_radius_m
    watts = 2.0 * (0.08 * w * 64.5 + 0.05 * 64.5**2)
    assert summary["battery_course_Wh"] == pytest.approx(watts * 2.0 / 3600.0)
    assert summary["battery_hour_Wh"] == pytest.approx(watts * 2.0 / 8.0)
    assert summary["battery_peak_1s_A"] == pytest.approx(watts / 24.0)
    # 8 m in all but for the first step.
    assert summary["battery_range_km"] == pytest.approx(50.0 / (watts * 2.0 / 3600.0) * 0.008, rel=2e-4)


def test_a_motor_of_a_straight_line_at_full_volts() -> None:
    """At full throttle P = V I whatever the speed: T w0 by the line; half the stall torque is at half the speed, where
    a motor without friction is 50 % efficient (any textbook). The same motor by its windings says the same."""
    line = Motor(**LINE)
    top = 2800.0 * RPM
    for share in (0.0, 0.25, 0.5, 1.0):
        assert float(drawn_W(line, 20.0 * (1.0 - share), share * top)) == pytest.approx(20.0 * (1.0 - share) * top)
    k = 24.0 / top
    windings = Motor(**LINE, torque_Nm_per_A=k, resistance_ohm=24.0 / (20.0 / k))
    torque, speed = np.meshgrid(np.linspace(0.0, 20.0, 7), np.linspace(0.0, top, 7))
    assert drawn_W(windings, torque, speed) == pytest.approx(drawn_W(line, torque, speed))


def test_other_losses_are_shares() -> None:
    """A stated efficiency, or 0.75 where nothing is known."""
    curve = {**GEARS, "curve_rpm_Nm": ((0.0, 5.0), (3000.0, 0.0))}
    assert float(drawn_W(Motor(**curve, motor_efficiency=0.8), 4.0, 100.0)) == pytest.approx(500.0)
    assert float(drawn_W(Motor(**curve), 3.0, 100.0)) == pytest.approx(400.0)


def test_warmth_against_its_closed_form() -> None:
    """Twice the torque it stands for ever: 4 (1 - exp(-t/T)) from cold; it passes 1 after T ln(4/3)."""
    dt, tau = 0.5, 600.0
    found = warmth(np.full(2000, 6.0), 3.0, tau, dt)
    t = dt * np.arange(1, 2001)
    assert found == pytest.approx(4.0 * (1.0 - np.exp(-t / tau)))
    assert lasts_s(2.0, tau) == pytest.approx(tau * math.log(4.0 / 3.0))
    assert abs(t[np.argmax(found >= 1.0)] - lasts_s(2.0, tau)) <= dt
    assert math.isinf(lasts_s(1.0, tau))


def test_within_its_rating_is_fine() -> None:
    """A tick, and no finding."""
    assembly = with_motor(heats_up_s=900.0)
    record = made(assembly, turned(assembly, 50.0, 1.0, 2.0), KERB)
    assert record.said.findings == ()
    (text,) = (x for x in motor_lines(record) if x.startswith("One of 2 motors gives"))
    assert motor_lines(record)[text] == Grade.FINE
    assert "43 % of what it may give for ever; begun cold it gets to" in text


def test_too_hot_if_it_goes_on_is_a_risk_and_says_for_how_long() -> None:
    """150 % r.m.s.: 900 s x ln(2.25/1.25) = 529 s, 9 min; without heats_up_s the time is not told, but the field."""
    torque = 2 * 12 * 0.8 * 4.5
    assembly = with_motor(heats_up_s=900.0)
    said = made(assembly, turned(assembly, torque, 0.0, 8.0), KERB).said
    (found,) = said.findings
    assert (found.harm, found.grade) == (Harm.BREAKS, Grade.RISK)
    assert "150 % of the 3 N·m that it may give for ever. Begun cold, it stands that for about 9 min." in found.text
    assert "but the motors get too hot if it goes on like this" in said.headline.text
    assert said.headline.grade == Grade.RISK
    assembly = with_motor()
    (found,) = made(assembly, turned(assembly, torque, 0.0, 8.0), KERB).said.findings
    assert found.text.endswith("give drive.motor.heats_up_s.")


def test_a_motor_that_cooks_in_the_run_fails() -> None:
    """Four times its torque with a time constant of 20 s: 16 (1 - exp(-8/20)) = 527 % within 8 s."""
    assembly = with_motor(heats_up_s=20.0)
    record = made(assembly, turned(assembly, 2 * 12 * 0.8 * 12.0, 0.0, 8.0), KERB)
    (found,) = record.said.findings
    assert found.grade == Grade.FAIL
    assert found.text.startswith("The motors cook on this course: begun cold, 527 % of the heat that they stand.")
    assert all(g != Grade.FINE for x, g in motor_lines(record).items() if x.startswith("One of"))


def test_how_often_in_near_runs() -> None:
    """Too hot in 2 of 8 is a note, in 5 a risk; each says so."""
    assembly = with_motor()
    for hot, grade in ((2, Grade.NOTE), (5, Grade.RISK)):
        each = {"motor_rms_of_rating_percent": (8 - hot) * (90.0,) + hot * (120.0,)}
        said = made(assembly, turned(assembly, 50.0, 1.0, 2.0), KERB, near=near_with(each)).said
        (found,) = said.findings
        assert found.grade == grade
        assert f"if it goes on like this in {hot} of 8 runs" in found.text


def test_a_stalled_motor_is_a_risk() -> None:
    """All that it gives while the track stands for 2 s; for 0.3 s it is no finding; less than all is no stall."""
    assembly = with_motor(continuous_Nm=None)
    full = pull_of(assembly.vehicle).most_N
    for lasts, share, count in ((2.0, 1.0, 1), (0.3, 1.0, 0), (2.0, 0.9, 0)):
        t = rolling(assembly)
        put(t, "drive.running_m_s", 3.0, lasts, 0.0)
        put(t, "drive.push_N", 3.0, lasts, share * full)
        put(t, "sprocket.torque_Nm", 3.0, lasts, share * full * assembly.vehicle.drive_radius_m)
        record = made(assembly, t, KERB)
        found = [f for f in record.said.findings if f.figure == "motor_stalled_s"]
        assert len(found) == count
        assert record.summary["motor_stalled_s"] == pytest.approx(lasts if share == 1.0 else 0.0)
        if found:
            assert found[0].grade == Grade.RISK
            assert "stand stalled for 2.0 s under full pull, 20 N·m each" in found[0].text
            assert found[0].time_s == pytest.approx(3.0, abs=2.0 * DT_S)


def test_an_empty_battery_and_a_fuse() -> None:
    """More than is usable fails; more amperes over a second than are allowed is a risk, over a tenth it is none."""
    assembly = with_motor({"energy_Wh": 0.1, "voltage_V": 24.0, "most_A": 100.0}, continuous_Nm=None)
    said = made(assembly, turned(assembly, 200.0, 1.0, 2.0), KERB).said
    assert [f.grade for f in said.findings] == [Grade.FAIL, Grade.RISK]
    assert "the battery is empty before the end" in said.headline.text
    assert "where the file allows 100 (drive.battery.most_A)" in said.findings[1].text
    assembly = with_motor({"energy_Wh": 900.0, "voltage_V": 24.0, "most_A": 100.0}, continuous_Nm=None)
    assert made(assembly, turned(assembly, 200.0, 1.0, 0.1), KERB).said.findings == ()


def test_asked_for_more_than_it_does() -> None:
    """2800 rev/min over 12 at the sprocket are 2.37 m/s: 3 m/s is never reached, and the ratio is named."""
    assembly = with_motor()
    t = rolling(assembly)
    t["drive.target_m_s"] = 3.0
    found = [f for f in made(assembly, t, KERB).said.findings if "its motors end" in f.short]
    assert len(found) == 1
    assert "asked for 3.0 m/s, and its motors end at 2.4 m/s" in found[0].short


def test_a_battery_without_a_motor_is_an_estimate_that_says_so() -> None:
    """Push x speed over 0.8 x 0.75."""
    vehicle = load_vehicle(find("vehicles", "teasel"), {"drive.battery": {"energy_Wh": 500.0}})
    assembly = assembled(vehicle)
    record = made(assembly, turned(assembly, 97.08, 0.0, 8.0), KERB)
    watts = 97.08 / vehicle.drive_radius_m / 0.6
    assert record.summary["battery_hour_Wh"] == pytest.approx(watts)
    (text,) = (x for x in motor_lines(record) if x.startswith("Battery"))
    assert text.endswith("Gears taken to pass 80 % and the motor 75 %, estimates.")
