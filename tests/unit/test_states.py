"""One answer to each question about a run: what tells of it, and what counts it, agree."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd
import pytest
from pydantic import ValidationError
from record_parts import DT_S, assembly_of, flat_ground, made, put, rolling
from viewer_parts import film_of_result

from trundle.engine import loop
from trundle.errors import InputError
from trundle.fields.speed import FASTEST_M_S, SLOWEST_M_S, check_speed
from trundle.findings import events as ev
from trundle.findings.ending import Ending, ending, plain_ending
from trundle.findings.states import ledger_closes, motor_is_at_limit, track_is_loose
from trundle.report.page import report_html
from trundle.result.limits import limits
from trundle.result.limits.why import why_not
from trundle.result.result import Result
from trundle.spec.course import Course
from trundle.spec.drive import Drive
from trundle.study.grid import make_plan
from trundle_viewer.scene import SceneMaker

SPANS = (("kerb", 6.0, 6.1),)


def result(name: str, timeline: pd.DataFrame, ended: str = "stalled") -> Result:
    """A made-up run."""
    record = made(assembly_of(name), timeline, SPANS, ended)
    course = Course.model_validate({"obstacle": [{"kind": "flat", "length_mm": 1000.0}]})
    return Result(
        assembly_of(name).vehicle, course, flat_ground(SPANS), assembly_of(name), timeline, record.events,
        record.summary,
    )  # fmt: skip


def held(name: str = "teasel", step_s: float = DT_S, lasts_s: float = 0.6, **columns: float) -> pd.DataFrame:
    """A timeline of 2 s in which something holds the vehicle for the last `lasts_s`."""
    timeline = rolling(assembly_of(name), seconds=2.0 / step_s * DT_S)
    timeline["time_s"] = step_s * np.arange(1, len(timeline) + 1)
    last = timeline["time_s"] > 2.0 - lasts_s
    for column, value in columns.items():
        timeline.loc[last, column.replace("__", ".")] = value
    return timeline


WEIGHT = assembly_of().weight_N
PUSH = float(assembly_of().model.drive.push)
CAUSES = [
    ("teasel", {"belly__load_N": 0.2 * WEIGHT}, Ending.ON_BELLY, "belly: it carries 20 % of the weight"),
    ("teasel", {"drive__grip_used": -1.0}, Ending.TRACK_SLIPS, "grip: all of"),
    ("barrow", {"drive__grip_used": 1.0}, Ending.WHEELS_SPIN, "grip: all of"),
    ("barrow", {"drive__grip_used": 0.9, "drive__running_m_s": 1.2}, Ending.WHEELS_SPIN, "grip: all of"),
    ("teasel", {"sprocket__load_N": 0.1 * WEIGHT}, Ending.SPROCKET_HELD, "tail: the sprocket"),
    ("teasel", {"idler__load_N": 0.1 * WEIGHT}, Ending.IDLER_HELD, "nose: the idler"),
    ("teasel", {"drive__push_N": PUSH}, Ending.MOTOR_AT_LIMIT, "torque: the motor"),
    ("teasel", {"drive__push_N": 0.5 * PUSH}, Ending.STALLED, "stalled: 0 % of the grip and 50 % of the torque in use"),
]


@pytest.mark.parametrize("step_s", [2e-3, 1e-3, 0.5e-3])
@pytest.mark.parametrize(("name", "columns", "wanted", "said"), CAUSES)
def test_a_stall_s_reason_is_the_limit_s_reason(
    name: str, columns: dict[str, float], wanted: Ending, said: str, step_s: float
) -> None:
    """The words of a run and those of a search for limits come from the same evidence, at any step."""
    timeline = held(name, step_s, **columns)
    found = ending(loop.STALLED, timeline, assembly_of(name))
    assert found is wanted
    assert why_not(result(name, timeline, found.value)).startswith(said)


@pytest.mark.parametrize("step_s", [2e-3, 1e-3, 0.5e-3])
def test_the_last_half_second_is_half_a_second(step_s: float) -> None:
    """A load that ended 0.3 s before the end has held it for 0.2 s of the last 0.5: mean 40 % of it."""
    timeline = held("teasel", step_s, **{"belly__load_N": 0.25 * WEIGHT})
    timeline.loc[timeline["time_s"] > 1.7, "belly.load_N"] = 0.0
    assert ending(loop.STALLED, timeline, assembly_of()) is Ending.ON_BELLY
    timeline.loc[timeline["time_s"] > 1.5, "belly.load_N"] = 0.0
    assert ending(loop.STALLED, timeline, assembly_of()) is Ending.STALLED


def test_a_motor_is_not_blamed_for_what_the_ground_does_not_take() -> None:
    """Grip and torque both used up: it slips."""
    timeline = held(drive__grip_used=1.0, drive__push_N=PUSH)
    assert ending(loop.STALLED, timeline, assembly_of()) is Ending.TRACK_SLIPS


def test_every_way_for_the_loop_to_end_has_its_words() -> None:
    """None falls through."""
    codes = (loop.COURSE_END, loop.STALLED, loop.OVERTURNED, loop.DIVERGED, loop.TIME_UP, loop.ROLLED_BACK)
    assert len({plain_ending(code) for code in codes}) == len(codes)
    with pytest.raises(KeyError):
        plain_ending(loop.GOING)


def test_a_loose_track_is_loose_for_everybody() -> None:
    """Summary, events, verdict, viewer and page: two spells, one without pull, one with track to spare."""
    timeline = rolling(assembly_of())
    put(timeline, "track.slack_N", 2.0, 0.3, 4.9)
    put(timeline, "track.slack_N", 4.0, 0.3, 5.1)
    put(timeline, "track.spare_mm", 6.0, 0.2, 12.0)
    made_up = result("teasel", timeline, "course end")
    loose = track_is_loose(timeline["track.slack_N"], timeline["track.spare_mm"])
    events = made_up.events[made_up.events["kind"] == ev.LOOSE]
    assert events["duration_s"].tolist() == pytest.approx([0.3, 0.2])
    assert made_up.summary["track_loose_s"] == pytest.approx(0.5) == pytest.approx(DT_S * loose.sum())
    assert "Loose twice, 0.5 s in all" in report_html(made_up, "", "")
    scenes = SceneMaker(film_of_result(made_up))
    for at_s in (1.0, 2.1, 4.1, 6.1):
        row = round(at_s / DT_S)
        assert scenes.make(row).slack == bool(loose[row])


def test_the_verdict_says_how_long_the_motor_was_at_its_limit() -> None:
    """The seconds that `motor_is_at_limit` counts; braking is not counted."""
    timeline = rolling(assembly_of())
    put(timeline, "drive.push_N", 2.0, 0.4, PUSH)
    put(timeline, "drive.push_N", 4.0, 0.4, 0.99 * PUSH)
    put(timeline, "drive.push_N", 6.0, 0.4, -PUSH)
    assert DT_S * motor_is_at_limit(timeline["drive.push_N"], PUSH).sum() == pytest.approx(0.4)
    assert "(the most the file allows, for 0.4 s)" in report_html(result("teasel", timeline, "course end"), "", "")


def test_the_ledger_closes_up_to_half_a_hundredth() -> None:
    """And an error that is no number does not close."""
    assert ledger_closes(0.005)
    assert not ledger_closes(0.0051)
    assert not ledger_closes(math.nan)


def course(**speeds: float) -> Course:
    return Course.model_validate({"obstacle": [{"kind": "flat", "length_mm": 1000.0, **speeds}]})


def drive(speed_m_s: float) -> Drive:
    return Drive(speed_m_s=speed_m_s, push_N=100.0, brake_N=100.0, grip=0.7)


TAKES: list[Any] = [
    drive,
    lambda v: course(speed_m_s=v),
    lambda v: Course.model_validate({**course().model_dump(exclude_none=True), "speed_m_s": v}),
    lambda v: check_speed(v),
    lambda v: make_plan("teasel", ["kerb-100"], speeds_m_s=[1.0, v]),
]


@pytest.mark.parametrize("takes", TAKES)
def test_one_range_of_target_speeds(takes: Any) -> None:
    """Vehicle, obstacle, course, run and study take the same, ends included."""
    for good in (SLOWEST_M_S, 1.0, FASTEST_M_S):
        takes(good)
    for bad in (0.0, -1.0, 0.99 * SLOWEST_M_S, 1.01 * FASTEST_M_S, math.inf, math.nan):
        with pytest.raises((ValidationError, InputError)):
            takes(bad)


@pytest.mark.parametrize("speed_m_s", [0.0, 31.0])
def test_limits_are_not_looked_for_at_a_speed_that_no_run_takes(speed_m_s: float) -> None:
    with pytest.raises(InputError, match=r"0\.01 to 30"):
        limits(assembly_of("barrow").vehicle, speed_m_s=speed_m_s)
