"""Which gear ratio suits a motor: runs of a small vehicle over a small kerb, and the choice among made-up outcomes."""

from __future__ import annotations

import math
from typing import Any

import pytest
from record_parts import assembly_of

import trundle
from tests.unit.test_cli_refusals import call
from trundle.errors import InputError
from trundle.findings.climbs import climbs_of
from trundle.findings.gearing import FIGURES, RESERVE, Geared, Gearing, Trouble
from trundle.findings.grades import Grade
from trundle.report.gearing import headline, reasons, row


@pytest.fixture(scope="module")
def found() -> Gearing:
    """Mole over 50 mm, at three ratios beside its own: far too fast, a little slower, far too slow."""
    return trundle.gearing("mole", "kerb-50", ratios=(2.0, 20.0, 40.0))


def test_torque_falls_with_the_ratio(found: Gearing) -> None:
    """The push that a course takes is the course's: r.m.s. torque x ratio stays within 5 % while the speed is held.
    (A motor at its limit pushes as it can.)"""
    by = {one.ratio: one for one in found.tried}
    assert list(by) == [2.0, 14.0, 20.0, 40.0]
    assert by[20.0].rms * 20.0 == pytest.approx(by[14.0].rms * 14.0, rel=0.05)
    for one in found.tried:
        assert one.climbs.pull.fastest_m_s * one.ratio == pytest.approx(by[14.0].climbs.pull.fastest_m_s * 14.0)


def test_the_highest_ratio_that_holds_the_speed_is_taken(found: Gearing) -> None:
    """3900 rev/min at 88.7 mm turn 0.906 m/s through 40, less 50 N of 6432: 0.90, where 1.2 is asked; through 2 its
    motors are too hot. The advice names all of that, in order."""
    assert found.best.ratio == 20.0
    assert (found.best.runs, found.own.runs) == (4, 4)
    assert headline(found).grade == Grade.FINE
    assert headline(found).text == "Mole over Kerb 50 mm: take a ratio of 20 in place of 14 (drive.motor.ratio)."
    said = " ".join(line.text for line in reasons(found))
    assert "More (40) is no better: it does not come up to 1.2 m/s, its top speed on the level is 0.90 m/s." in said
    assert "With 20 (now 14 in brackets) one motor gives" in said
    by = {one.ratio: one for one in found.tried}
    assert [t.word for t in by[2.0].troubles] == ["too hot"]
    assert row(by[40.0], found)[-1] == "slow"


def test_on_the_screen(capsys: pytest.CaptureFixture[str]) -> None:
    """One row for each ratio, the caution at the end; code 0."""
    code, out, _ = call(capsys, "gearing", "mole", "kerb-50", "--ratio", "20")
    assert code == 0
    assert "take a ratio of 20 in place of 14" in out
    assert "steering takes more torque than any kerb" in " ".join(out.split())
    rows = [line for line in out.splitlines() if line.startswith(("14, now", "20, take"))]
    assert len(rows) == 2


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("teasel", "kerb-50"), "drive.motor: a ratio can be chosen for a motor whose torque over speed is known"),
        (("mole", "kerb-50", "--ratio", "nan"), "--ratio: a ratio of nan (allowed: 0.05 to 2000)"),
        (("mole", "kerb-50", "--ratio", "0"), "--ratio: a ratio of 0 (allowed: 0.05 to 2000)"),
        (("mole", "kerb-50", "--speed", "nan"), "--speed"),
        (("mole", "nowhere"), "no such course file"),
    ],
)
def test_wrong_use(args: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 2, one message, nothing on stdout."""
    code, out, err = call(capsys, "gearing", *args)
    assert (code, out) == (2, "")
    assert words in err
    assert "Traceback" not in err


def test_a_wrong_ratio_in_python() -> None:
    with pytest.raises(InputError, match="a ratio of inf"):
        trundle.gearing("mole", "kerb-50", ratios=[math.inf])


def outcome(ratio: float, **changed: Any) -> Geared:
    """A made-up one: gets over in 6 s, torque by its ratio."""
    vehicle = assembly_of("mole").vehicle
    motor = vehicle.drive.motor
    assert motor is not None
    climbs = climbs_of(vehicle, assembly_of("mole").weight_N).through(motor.model_copy(update={"ratio": ratio}))
    figures: dict[str, float | None] = dict.fromkeys(FIGURES) | {"rms_motor_torque_Nm": 14.0 / ratio}
    whole: dict[str, Any] = {
        "ratio": ratio, "climbs": climbs, "over": True, "why": "", "asked_m_s": 1.2, "duration_s": 6.0,
        "distance_m": 7.0, "troubles": (), "figures": figures, "runs": 4,
    }  # fmt: skip
    return Geared(**{**whole, **changed})


def first(*tried: Geared) -> float:
    """The ratio of the best."""
    quickest = min((one.duration_s for one in tried if one.over), default=math.inf)
    return min(tried, key=lambda one: one.order(quickest)).ratio


def test_what_comes_before_what() -> None:
    """Over before troubles before speed before heat; where none holds the speed, the quickest; where none gets over,
    the one that comes furthest."""
    hot = (Trouble("the motors get too hot", "too hot"),)
    assert first(outcome(12.0), outcome(16.0)) == 16.0
    assert first(outcome(12.0), outcome(16.0, troubles=hot)) == 12.0
    assert first(outcome(12.0), outcome(16.0, duration_s=6.3)) == 12.0
    assert first(outcome(12.0, troubles=hot), outcome(16.0, over=False)) == 12.0
    assert first(outcome(12.0, troubles=hot), outcome(40.0, duration_s=9.0), outcome(50.0, duration_s=11.0)) == 40.0
    assert first(outcome(12.0, over=False, distance_m=3.0), outcome(16.0, over=False, distance_m=2.0)) == 12.0


def test_a_reserve_of_speed_is_left() -> None:
    """A tenth: what is just fast enough does not hold its speed on a battery half empty."""
    one = outcome(14.0)
    ratio = 14.0 * one.top_m_s / 1.2
    assert outcome(ratio / RESERVE * 0.97).holds(6.0)
    assert not outcome(ratio / RESERVE * 1.03).holds(6.0)


def test_nothing_gets_over() -> None:
    """A failure, with what stopped the one that comes furthest."""
    stuck = outcome(14.0, over=False, why="grip: all of 0.75 is used up")
    gearing = Gearing("Mole", "Wall", (stuck,), stuck, stuck)
    assert headline(gearing).grade == Grade.FAIL
    assert headline(gearing).text == "Mole over Wall: no ratio gets it over."
    assert "grip: all of 0.75 is used up" in " ".join(line.text for line in reasons(gearing))
    assert gearing.grade == Grade.FAIL
