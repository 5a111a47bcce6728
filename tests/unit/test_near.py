"""A run among its neighbours: how they are drawn, that each is the run it claims to be, what is said of them."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable
from math import gcd
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import trundle
from trundle.engine import cores, spill
from trundle.engine.cores import each_at_once
from trundle.engine.nearby import Draw, drawn, faster, room_m
from trundle.engine.simulate import at_start, rolled
from trundle.errors import InputError, Problem
from trundle.fields.near import NEAR
from trundle.findings.figures import figure_of
from trundle.findings.near import Near, Spread, near_in, near_of, said_of, spread_of
from trundle.findings.near_row import row_of
from trundle.findings.words import force, ranged
from trundle.record.long import LongTimeline
from trundle.result import near as near_module
from trundle.result import run as run_module
from trundle.result.near import count_for, draws, start_mm
from trundle.result.run import run
from trundle.spec.course import Course
from trundle.terrain.edges import KerbUp
from trundle.terrain.ground import lay
from trundle.terrain.instructions import Reverse, Stop
from trundle.terrain.slopes import Flat, RampUp

KERB = KerbUp(kind="kerb up", height_mm=60.0)
COURSE = Course(run_up_mm=2500, run_out_mm=2500, obstacle=(KERB,))


@pytest.fixture(scope="module")
def result() -> trundle.Result:
    return trundle.run("teasel", COURSE)


@pytest.mark.parametrize("count", [2, 3, 5, 8, 13, 100])
def test_draws_are_one_in_each_share_of_speed_and_of_start(count: int) -> None:
    """The first is the run as asked; the others, by speed and by start, fill as many equal shares, each once."""
    first, *others = draws(count, 0.06)
    assert first == Draw(1.0, 0.0)
    speed = sorted(int((d.speed - 0.97) / 0.06 * (count - 1)) for d in others)
    start = sorted(int(d.shift_m / 0.06 * (count - 1)) for d in others)
    assert speed == start == list(range(count - 1))
    assert draws(count, 0.06) == (first, *others)


def test_neighbours_in_speed_are_apart_in_start() -> None:
    """So that neither is told for the other: of eight, the two are hardly correlated."""
    _, *others = draws(NEAR, 0.06)
    assert abs(np.corrcoef([d.speed for d in others], [d.shift_m for d in others])[0, 1]) < 0.3


def test_draws_of_a_seed_are_within_the_same_bounds_and_others_than_of_another() -> None:
    one, other = draws(40, 0.06, 1), draws(40, 0.06, 2)
    assert one == draws(40, 0.06, 1)
    assert set(one).isdisjoint(other)
    for d in (*one, *other):
        assert 0.97 <= d.speed <= 1.03
        assert 0.0 <= d.shift_m <= 0.06


@pytest.mark.parametrize("count", range(1, 60))
def test_starts_fill_their_shares(count: int) -> None:
    assert gcd(near_module._coprime(count), count) == 1


def test_the_start_is_varied_by_a_links_pitch() -> None:
    assert start_mm(trundle.load_vehicle("teasel")) == trundle.load_vehicle("teasel").track.pitch_mm  # type: ignore[union-attr]
    assert start_mm(trundle.load_vehicle("barrow")) == near_module.BARE_START_MM


def test_a_near_run_is_the_run_of_a_file_with_that_speed(result: trundle.Result) -> None:
    """All target speeds, of vehicle, course, obstacle and driver, times the factor: as if the files had said so."""
    slow = Flat(kind="flat", length_mm=600.0, gap_mm=0.0, speed_m_s=0.5)
    back = Reverse(kind="reverse", at_mm=3000, to_mm=2600, speed_m_s=0.4)
    course = Course(run_up_mm=1500, run_out_mm=3000, speed_m_s=0.8, obstacle=(slow, KERB), driver=(back,))
    vehicle = trundle.load_vehicle("teasel", {"drive.speed_m_s": 1.0})
    f = 1.02
    told = Course(
        run_up_mm=1500, run_out_mm=3000, speed_m_s=0.8 * f,
        obstacle=(slow.model_copy(update={"speed_m_s": 0.5 * f}), KERB),
        driver=(back.model_copy(update={"speed_m_s": 0.4 * f}),),
    )  # fmt: skip
    ground = lay(course)
    ours = rolled(drawn(at_start(vehicle, ground), Draw(speed=f), ground)).rows.values
    theirs = rolled(at_start(trundle.load_vehicle("teasel", {"drive.speed_m_s": f}), lay(told))).rows.values
    assert ours.shape == theirs.shape
    np.testing.assert_allclose(ours, theirs, rtol=1e-6, atol=1e-6)


def test_a_near_run_that_starts_further_on_is_that_of_a_course_with_less_before_it() -> None:
    """On level ground: 40 mm further on is the same as 40 mm less run-up."""
    vehicle = trundle.load_vehicle("teasel")
    ground = lay(COURSE)
    ours = rolled(drawn(at_start(vehicle, ground), Draw(shift_m=0.04), ground)).rows.values
    theirs = rolled(at_start(vehicle, lay(COURSE.model_copy(update={"run_up_mm": 2460})))).rows.values
    assert ours.shape == theirs.shape
    assert ours[0, 0] == theirs[0, 0]
    # Time, place, height, pitch [s, m, m, rad]: all but the place is the same but for rounding, which a blow enlarges.
    differ = np.abs(ours - theirs)[:, :4].max(axis=0)
    np.testing.assert_allclose(differ, [0.0, 0.04, 0.0, 0.0], atol=2e-5)


def test_on_a_slope_it_stands_there_anew() -> None:
    """A start on a ramp is no level one: the vehicle stands as it would if it had been put there."""
    vehicle = trundle.load_vehicle("teasel")
    hill = RampUp(kind="ramp up", height_mm=400, slope_deg=8, gap_mm=0)
    ground = lay(Course(run_up_mm=800, run_out_mm=3000, obstacle=(hill,)))
    start = at_start(vehicle, ground)
    moved = drawn(start, Draw(shift_m=0.05), ground).standing
    assert moved.residual_N < 1e-3 * moved.assembly.weight_N
    assert moved.q[0] == pytest.approx(start.standing.q[0] + 0.05, abs=1e-3)
    assert abs(moved.q[2] - start.standing.q[2]) > 1e-5


def test_it_starts_no_further_on_than_the_course_leaves() -> None:
    """Neither past the place of its first instruction nor without any road."""
    vehicle = trundle.load_vehicle("teasel")
    at = at_start(vehicle, lay(COURSE)).standing.q[0]
    told = COURSE.model_copy(update={"driver": (Stop(kind="stop", at_mm=1e3 * at + 10.0, for_s=1.0),)})
    ground = lay(told)
    assert room_m(at_start(vehicle, ground), ground) == pytest.approx(0.010, abs=1e-6)
    assert run(vehicle, told, near=3).near.start_mm == pytest.approx(10.0, abs=1e-3)  # type: ignore[union-attr]


def test_the_model_itself_stays_as_it_was() -> None:
    start = at_start(trundle.load_vehicle("teasel"), lay(COURSE))
    model = start.standing.assembly.model
    before = model.vehicle.tobytes(), model.ground.speeds.tobytes()
    faster(model, 1.03)
    assert (model.vehicle.tobytes(), model.ground.speeds.tobytes()) == before


def test_the_first_of_the_near_runs_is_the_run_itself(result: trundle.Result) -> None:
    alone = trundle.run("teasel", COURSE, near=1)
    assert alone.near is None
    assert result.near is not None
    assert len(result.near) == NEAR
    for name, value in alone.summary.items():
        if figure_repeats(name):
            assert result.summary[name] == value, name
    assert result.near.values("peak_seat_g")[0] == alone.summary["peak_seat_g"]
    assert result.near.values("wheels.*.peak_N", "front.fore")[0] == alone.summary["wheels"]["front.fore"]["peak_N"]
    assert result.timeline.equals(alone.timeline)
    for each in (result, alone):
        assert each.summary["headline"] == each.verdict.headline.text


def figure_repeats(name: str) -> bool:
    """The headline speaks of all the near runs (`in 4 of 8 runs`), and time on a clock is never the same."""
    return name not in ("speed_times_real_time", "headline")


def test_threads_change_no_bit(result: trundle.Result) -> None:
    one = trundle.run("teasel", COURSE, threads=1)
    assert one.summary["near"] == result.summary["near"]


def test_a_kept_run_gives_its_ranges_back(result: trundle.Result, tmp_path: Path) -> None:
    folder = result.save(tmp_path / "run")
    kept = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    again = near_in(kept)
    assert again == result.near
    of = kept["near"]["figures"]["peak_seat_g"]
    assert of["low"] <= of["median"] <= of["high"]
    assert of["given"] == kept["near"]["runs"] == 8


@pytest.mark.parametrize(
    "wrong",
    [
        5, {}, {"runs": 8}, {"ended": [], "figures": {}, "speed_percent": 3, "start_mm": 60, "asked": 8},
        {"ended": ["course end"], "figures": {"x": {"each": [1, 2]}}, "speed_percent": 3, "start_mm": 60, "asked": 8},
        {"ended": ["course end"], "figures": {"x": {"each": ["a"]}}, "speed_percent": 3, "start_mm": 60, "asked": 8},
        {"ended": ["course end"], "figures": {}, "speed_percent": 3, "start_mm": 60, "asked": "many"},
        {"ended": ["course end"], "figures": 7, "speed_percent": 3, "start_mm": 60, "asked": 8},
    ],
)  # fmt: skip
def test_damaged_ranges_are_named(wrong: object) -> None:
    with pytest.raises(InputError, match="near"):
        near_in({"near": wrong})


def test_a_blow_that_happens_in_some_runs_is_said_so() -> None:
    """Three of eight hit the stop: the median is that of the three."""
    stop = figure_of("peak_bump_stop_N")
    spread = spread_of([0, 0, 3900.0, 0, 4400.0, 0, 3100.0, 0], stop)
    assert spread is not None
    assert (spread.median, spread.low, spread.high, spread.given, spread.of) == (3900.0, 3100.0, 4400.0, 3, 8)
    assert spread.said(force) == "3.9 kN (3.1 to 4.4), in 3 of 8 runs"
    assert spread_of([0, 0, 0], stop) is None
    margin = spread_of([0.0, 1.2, 1.4], figure_of("bracket_margin"))  # the worst that there is
    assert margin == Spread(1.2, 0.0, 1.4, 3, 3)
    # A load that is no single blow may be 0.
    still = spread_of([0, 0, 3], figure_of("bump_stop_hits"))
    assert still is not None
    assert (still.median, still.given) == (0.0, 3)


def test_the_middle_of_counts_is_a_count() -> None:
    assert spread_of([2, 3, 3, 2], figure_of("bump_stop_hits")).median == 3  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ((4.7, 3.9, 5.2), "4.7 g (3.9 to 5.2)"),
        ((4.7, 4.68, 4.71), "4.7 g"),
        ((4.7, 4.7, 5.2), "4.7 g (4.7 to 5.2)"),
    ],
)
def test_ranges_in_short(values: tuple[float, float, float], said: str) -> None:
    assert ranged(*values, lambda g: f"{g:.1f} g") == said


def test_a_range_over_two_units_names_both() -> None:
    assert ranged(1010.0, 950.0, 1300.0, force) == "1.0 kN (950 N to 1.3 kN)"


def test_how_many_get_over_and_break_is_counted() -> None:
    """One of three stalls and is not counted; the margin is below 1 in the other two."""
    ended = ("course end", "stalled", "course end")
    near = Near(ended, {"spring_margin": (0.9, 0.7, 0.8)}, 3.0, 60.0, 3)
    assert near.over == 2
    assert near.count("spring_margin", lambda m: m < 1.0) == 2
    assert near.spread("bolt_margin") is None
    assert said_of(near).endswith("2 of 3 reach the end; figures are of those.")


def test_runs_that_are_not_to_be_trusted_are_left_out() -> None:
    """0.5 % is the limit: two of eight are past it, a third blew up; the median is of the other five."""
    errors = (0.001, 0.006, 0.002, 0.001, 0.2, 0.0, 0.0, 0.001)
    ended = ["course end"] * 8
    ended[7] = "numbers blew up"
    near = Near(ended, {"energy_error": errors, "arm_margin": (5, 0.1, 4, 3, 0.1, 2, 1, 0.1)}, 3.0, 60.0, 8)
    assert (near.doubtful, near.over, near.told) == (3, 5, (0, 2, 3, 5, 6))
    spread = near.spread("arm_margin")
    assert spread is not None
    assert (spread.median, spread.low, spread.high, spread.of) == (3.0, 1.0, 5.0, 5)
    assert near.count("arm_margin", lambda m: m < 1.0) == 0
    assert near.kept()["figures"]["arm_margin"]["low"] == 1.0
    assert "5 of 8 reach the end, 3 left out, since their energy ledger does not close." in said_of(near)


def test_where_most_reach_the_end_a_run_that_does_not_has_no_say() -> None:
    """It was not hit by what comes after; where most do not, those that do have none. The same in a study's row."""
    duration = {"duration_s": (6.0, 6.2, 6.1, 1.0)}
    ended = ["course end", "course end", "course end", "stalled"]
    near = Near(ended, duration, 3.0, 60.0, 4)
    assert near.spread("duration_s") == Spread(6.1, 6.0, 6.2, 3, 3)
    assert said_of(near).endswith("3 of 4 reach the end; figures are of those.")
    row = row_of({"duration_s": 6.0, "wheels": {}, "completed": True}, near)
    assert (row["duration_s"], row["near_over"], row["completed"]) == (6.1, 3, True)
    near = Near(["course end", "course end", "stalled", "stalled"], duration, 3.0, 60.0, 4)
    assert near.spread("duration_s") == Spread(3.55, 1.0, 6.1, 2, 2)
    assert said_of(near).endswith("2 of 4 reach the end; figures are of those that do not.")


def test_where_no_run_is_to_be_trusted_all_are_told() -> None:
    near = Near(["course end"] * 2, {"energy_error": (0.1, 0.2), "arm_margin": (1.0, 3.0)}, 3.0, 60.0, 2)
    assert (near.over, near.told) == (0, (0, 1))
    assert near.spread("arm_margin") == Spread(2.0, 1.0, 3.0, 2, 2)


def test_the_verdict_says_what_ranges_are_of(result: trundle.Result) -> None:
    assert "8 runs close by (speed within 3 %, start within " in result.verdict.text
    assert "Rolled once" in trundle.run("teasel", COURSE, near=1).verdict.text


def test_very_long_courses_are_rolled_less_often() -> None:
    """Eight of five minutes at 1 ms, fewer of longer ones, and of an hour one: not two, which are no range."""
    assert [count_for(steps) for steps in (6_000, 300_000, 500_000, 600_000, 600_001, 3_600_000)] == [8, 8, 4, 4, 1, 1]


def test_fewer_runs_than_wanted_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(near_module, "STEPS_IN_ALL", 5 * 12_000)
    result = trundle.run("teasel", COURSE)
    assert result.near is not None
    assert 4 <= len(result.near) < 8
    assert f"of {len(result.near)} runs close by, not 8, since the course is long" in said_of(result.near)


def test_long_logs_are_set_aside_one_beside_the_first(result: trundle.Result, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each of them in a file, one after the other, however many cores there are; the same ranges."""
    monkeypatch.setattr(spill, "SPILL_BYTES", 200_000)
    monkeypatch.setattr(run_module, "SPILL_BYTES", 200_000)
    at_once: list[int] = []
    real = run_module.each_at_once

    def told(work: Any, jobs: Any, threads: int, on_progress: Any) -> Any:
        at_once.append(threads)
        return real(work, jobs, threads, on_progress)

    monkeypatch.setattr(run_module, "each_at_once", told)
    aside = trundle.run("teasel", COURSE, threads=4)
    assert at_once == [1]
    assert isinstance(aside.log, LongTimeline)
    assert aside.near == result.near


@pytest.mark.parametrize("near", [0, -1, 1001])
def test_numbers_that_nobody_means_are_refused(near: int) -> None:
    with pytest.raises(InputError, match=r"near.*allowed: 1 to 1000"):
        trundle.run("teasel", COURSE, near=near)


def test_jobs_come_back_in_order_and_progress_rises() -> None:
    shares: list[float] = []

    def work(job: int, tell: Callable[[float], None]) -> int:
        for k in range(5):
            time.sleep(0.01 * (4 - job))
            tell((k + 1) / 5)
        return job * job

    for threads in (1, 3):
        shares.clear()
        assert each_at_once(work, [0, 1, 2, 3], threads, shares.append) == [0, 1, 4, 9]
        assert shares == sorted(shares)
        assert shares[-1] == pytest.approx(1.0)


@pytest.mark.parametrize("threads", [1, 3])
def test_one_that_fails_stops_the_others_at_once(threads: int) -> None:
    ran = threading.Event()

    def work(job: int, tell: Callable[[float], None]) -> None:
        if job == 0:
            raise InputError(Problem("this one"))
        for _ in range(1_000):
            time.sleep(0.01)
            tell(0.0)
        ran.set()

    began = time.monotonic()
    with pytest.raises(InputError, match="this one"):
        each_at_once(work, range(8), threads)
    assert time.monotonic() - began < 5.0
    assert not ran.is_set()


def test_an_interrupt_ends_all_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C comes to the main thread, where progress is told."""
    monkeypatch.setattr(cores, "LOOK_S", 0.01)

    def stop(_: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        trundle.run("teasel", COURSE, near=400, threads=2, on_progress=stop)
    assert not [t for t in threading.enumerate() if t.name.startswith("near")]


def test_several_runs_of_one_vehicle_are_told_together() -> None:
    """near_of takes each figure of each run, wheels by their names."""
    a, b = (trundle.run("teasel", COURSE, near=1, speed_m_s=v).summary for v in (1.0, 1.1))
    near = near_of([a, b], 3.0, 60.0, 2)
    assert near.values("peak_wheel_load_N") == (a["peak_wheel_load_N"], b["peak_wheel_load_N"])
    assert near.values("static_wheel_load_N.*", "front.fore") == 2 * (a["static_wheel_load_N"]["front.fore"],)
    assert "speed_times_real_time" not in near.each
