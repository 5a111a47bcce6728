"""What to change: the changes of each vehicle, what counts as help, what is refused, and a real look for it."""

from __future__ import annotations

import functools
import operator
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import trundle
from trundle.cli.main import main
from trundle.errors import InputError
from trundle.findings import figures
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import parse_settings
from trundle.spec.shipped import names
from trundle.study.mend import search
from trundle.study.mend.aim import aim_of, aims
from trundle.study.mend.changes import Change, Lever, levers
from trundle.study.mend.judge import STAYS, STILL, costs, gain, refusal, remains
from trundle.study.mend.paste import lines
from trundle.study.mend.search import mend
from trundle.study.mend.tried import Task, Tried

THREE = Path(__file__).parent / "three-bogies.toml"
"""A vehicle of three equal bogies."""

WRITTEN_BUMP = "stops = { bump_below_level_deg = 16, droop_below_level_deg = 32, pad_rate_N_per_mm = 400 }"


def lever(vehicle: str | Path, label: str, direction: str) -> Lever:
    """One of a vehicle's."""
    found = [x for x in levers(trundle.load_vehicle(vehicle)) if (x.label, x.direction) == (label, direction)]
    assert len(found) == 1, [x.label for x in levers(trundle.load_vehicle(vehicle))]
    return found[0]


def change(vehicle: str | Path, label: str, direction: str, steps: int = 1) -> Change:
    """One step of it, or more."""
    found = lever(vehicle, label, direction).change(steps)
    assert found is not None
    return found


def finding(figure: str, harm: Harm = Harm.STRIKES, grade: Grade = Grade.RISK, part: str = "") -> Finding:
    """A finding of that figure."""
    return Finding(harm, grade, 1.0, f"too much {figure}", "", figure, part)


def tried(each: Mapping[str, list[float]], over: int = 8, found: tuple[Finding, ...] = ()) -> Tried:
    """Eight runs with some figures of their own."""
    sound = {"distance_m": [6.5] * 8, "energy_error": [0.0] * 8}
    return Tried(over, {k: tuple(v) for k, v in {**sound, **each}.items()}, found, 3000.0)


# What can be changed


def test_equal_bogies_are_changed_alike() -> None:
    """Its three are equal in their leaves; only two of them have a damper, and rollers are one as well."""
    assert change(THREE, "bogie.*.spring.thickness_mm", "more").sets(("front", "middle", "rear")) == (
        "bogie.*.spring.thickness_mm=4",
    )
    both = change(THREE, "bogie.front,rear.damper.bump_N_s_per_mm", "more")
    assert both.sets(("front", "middle", "rear")) == (
        "bogie.front.damper.bump_N_s_per_mm=0.8", "bogie.rear.damper.bump_N_s_per_mm=0.8",
        "bogie.front.damper.droop_N_s_per_mm=1.28", "bogie.rear.damper.droop_N_s_per_mm=1.28",
    )  # fmt: skip
    assert lever(THREE, "track.roller.*.at_mm", "up").change() is not None


def test_one_bogie_alone() -> None:
    """Where the finding is of that one."""
    one = lever(THREE, "bogie.*.stops.bump_below_level_deg", "less").only("front").change()
    assert one is not None
    assert one.settings == {"bogie.front.stops.bump_below_level_deg": 6}
    assert one.words == "bogie.front.stops.bump_below_level_deg 11 -> 6"


def test_a_mass_goes_with_what_it_is_made_of() -> None:
    """An arm of 160 in the place of 150 mm weighs 160/150 of it, a wheel of 90 in the place of 85 its square."""
    arm = change(THREE, "bogie.*.arm_mm", "more")
    assert arm.settings["bogie.rear.arm_mass_kg"] == pytest.approx(1.5 * 160.0 / 150.0, abs=1e-3)
    wheel = change(THREE, "wheel.road.radius_mm", "more")
    assert wheel.settings["wheel.road.mass_kg"] == pytest.approx(1.6 * (90.0 / 85.0) ** 2, abs=1e-3)
    tube = change(THREE, "bogie.*.build.arm.side_mm", "more")
    assert tube.settings["bogie.front.arm_mass_kg"] == pytest.approx(1.5 * 45.0 / 40.0, abs=1e-3)
    beam = change("otter", "bogie.*.build.arm.side_mm", "more")
    assert (
        beam.settings["bogie.one.beam_mass_kg"]
        > trundle.load_vehicle("otter").bogie["one"].model_dump()["beam_mass_kg"]
    )


def test_a_table_that_the_file_has_not_is_made() -> None:
    """A damper on the bogie that has none: its table is written with it."""
    damper = change(THREE, "bogie.middle.damper.bump_N_s_per_mm", "more")
    assert damper.settings == {"bogie.middle.damper": {"bump_N_s_per_mm": 0.1}}
    (option,) = damper.sets(("front", "middle", "rear"))
    assert parse_settings([option]) == damper.settings
    changed = trundle.load_vehicle(THREE, damper.settings)
    assert changed.bogie["middle"].model_dump()["damper"]["bump_N_s_per_mm"] == 0.1


@pytest.mark.parametrize("vehicle", names("vehicles"))
def test_each_change_is_one_that_the_file_takes(vehicle: str) -> None:
    """Every lever of every shipped vehicle changes what it says and nothing else but masses, and as `--set` the same.

    A change that does not fit is refused with a message, never by a fault.
    """
    given = vehicle_input(vehicle)
    now = given.vehicle.model_dump()
    taken = 0
    for one in levers(given.vehicle):
        made = one.change()
        if made is None:
            continue
        try:
            changed = trundle.load_vehicle(vehicle, made.settings)
        except InputError:
            continue
        taken += 1
        options = parse_settings(made.sets(given.vehicle.bogie))
        assert trundle.load_vehicle(vehicle, options) == changed
        moved = _moved(now, changed.model_dump())
        wanted = {".".join(p.path) for p in one.places}
        assert wanted <= moved
        assert all("mass" in path or "droop" in path for path in moved - wanted)
    assert taken > 30


def _moved(then: Any, here: Any, path: str = "") -> set[str]:
    """Paths of the values that are not the same."""
    if isinstance(then, dict):
        return set().union(*(_moved(then[k], here[k], f"{path}.{k}".lstrip(".")) for k in then))
    if isinstance(then, (list, tuple)) and then and isinstance(then[0], dict):
        pairs = enumerate(zip(then, here, strict=True), 1)
        return set().union(*(_moved(a, b, f"{path}.{i}") for i, (a, b) in pairs))
    return {path} if then != here else set()


def test_no_step_beyond_the_last_size() -> None:
    """There is none below one leaf, and none beyond the best steel."""
    last = lever(THREE, "bogie.*.build.arm.steel", "more")
    assert [last.change(k) is None for k in (1, 2, 3)] == [False, False, True]


# The line to paste


@pytest.mark.parametrize(
    ("label", "direction"),
    [
        ("bogie.*.stops.bump_below_level_deg", "more"),
        ("track.sag_mm", "more"),
        ("bogie.middle.damper.bump_N_s_per_mm", "more"),
        ("track.idler.at_mm", "up"),
        ("drive.speed_m_s", "less"),
    ],
)
def test_the_lines_are_toml_under_their_tables(label: str, direction: str) -> None:
    """Read by Python's own TOML reader they say what is set, in the tables of the file."""
    given, made = vehicle_input(THREE), change(THREE, label, direction)
    pasted = lines(given, made.settings, trundle.load_vehicle(THREE, made.settings))
    said = tomllib.loads("\n".join(pasted))
    for path, value in made.settings.items():
        assert functools.reduce(operator.getitem, path.split("."), said) == value


def test_the_line_of_a_stop() -> None:
    """As a builder writes it: the line of the file with the one figure changed."""
    made = change(THREE, "bogie.*.stops.bump_below_level_deg", "more")
    pasted = lines(vehicle_input(THREE), made.settings, trundle.load_vehicle(THREE, made.settings))
    assert pasted == tuple(row for b in ("front", "middle", "rear") for row in (f"[bogie.{b}]", WRITTEN_BUMP))


# Help, cost, refusal


def test_help_is_beyond_luck() -> None:
    """A median outside the range of the vehicle as it is helps, one inside it does not, nor one that is worse."""
    aim, before = finding("peak_seat_g"), tried({"peak_seat_g": [3.0, 3.1, 3.2, 3.3, 3.4, 3.5, 3.6, 3.7]})

    def given(value: float) -> Any:
        return gain(aim, before, tried({"peak_seat_g": [value] * 8}))

    assert given(2.5).beyond
    assert given(2.5).share == pytest.approx(0.85 / 3.35)
    assert not given(3.05).beyond
    assert not given(5.0).beyond
    assert given(2.99).beyond


def test_more_is_better_of_a_margin() -> None:
    """The other way round for figures of which the higher is the better."""
    aim, before = finding("spring_margin"), tried({"spring_margin": [0.8] * 8})
    found = gain(aim, before, tried({"spring_margin": [1.2] * 8}))
    assert found is not None
    assert found.beyond
    assert found.share == pytest.approx(0.5)


def test_getting_over_is_more_than_any_share() -> None:
    """What stayed on the obstacle and now gets over is the best help there is."""
    aim = finding("distance_m", Harm.STOPS, Grade.FAIL)
    before = tried({"distance_m": [3.0] * 8}, over=0)
    over = gain(aim, before, tried({"distance_m": [6.5] * 8}, over=8))
    nearly = gain(aim, before, tried({"distance_m": [6.0] * 8}, over=0))
    assert over is not None
    assert nearly is not None
    assert over.share > 100.0 * nearly.share


@pytest.mark.parametrize(
    ("after", "why"),
    [
        ({}, ""),
        ({"over": 7}, "does not get over"),
        ({"energy_error": [0.5] * 8}, "its energy ledger does not close"),
        ({"bolt_margin": [1.1] * 7 + [0.9]}, "something else gives: bolt margin"),
        (
            {"found": (finding("peak_belly_load_N", Harm.BREAKS, Grade.FAIL),)},
            "something new: peak belly load",
        ),
        ({"found": (finding("peak_belly_load_N", Harm.BREAKS, Grade.RISK),)}, "something new: peak belly load"),
        ({"found": (finding("peak_belly_load_N", Harm.BREAKS, Grade.NOTE),)}, ""),
    ],
)
def test_what_is_never_listed(after: dict[str, Any], why: str) -> None:
    """A change that does not get over, breaks something else or cannot be trusted, however much it helps."""
    before = tried({"peak_seat_g": [3.0] * 8, "bolt_margin": [1.4] * 8})
    each = {"peak_seat_g": [1.0] * 8, "bolt_margin": [1.4] * 8, "energy_error": [0.0] * 8}
    each |= {k: v for k, v in after.items() if isinstance(v, list)}
    then = tried(each, after.get("over", 8), after.get("found", ()))
    assert refusal(finding("peak_seat_g"), before, then) == why


def test_a_part_that_still_gives_is_not_mended() -> None:
    """From 0.4 to 0.9 is better and no help; to 1.05 in every run it is."""
    aim, before = finding("spring_margin", Harm.BREAKS, Grade.FAIL), tried({"spring_margin": [0.4] * 8})
    assert refusal(aim, before, tried({"spring_margin": [0.9] * 8})) == STILL
    assert refusal(aim, before, tried({"spring_margin": [1.05] * 7 + [0.98]})) == STILL
    assert refusal(aim, before, tried({"spring_margin": [1.05] * 8})) == ""


def test_what_still_stays_on_the_obstacle_is_not_mended() -> None:
    """Half a metre further is nearer and no help; over in every run it is."""
    aim, before = finding("distance_m", Harm.STOPS, Grade.FAIL), tried({"distance_m": [3.0] * 8}, over=0)
    assert refusal(aim, before, tried({"distance_m": [3.5] * 8}, over=0)) == STAYS
    assert refusal(aim, before, tried({"distance_m": [6.5] * 8}, over=7)) == STAYS
    assert refusal(aim, before, tried({"distance_m": [6.5] * 8}, over=8)) == ""


def test_what_is_weaker_itself_is_no_help() -> None:
    """A thinner plate is struck with less, and dented all the same; a blow that is no smaller for its part neither."""
    before = tried({"peak_belly_load_N": [5000.0] * 8})
    dented = finding("peak_belly_load_N", Harm.BREAKS)
    struck = finding("peak_belly_load_N", Harm.STRIKES)
    less = {"peak_belly_load_N": [4000.0] * 8}
    assert refusal(dented, before, tried(less, found=(dented,))) == STILL
    assert refusal(dented, before, tried(less)) == ""
    for size, helps in ((1.2, False), (0.9, True)):
        given = gain(struck, before, tried(less, found=(replace(struck, size=size),)))
        assert given is not None
        assert given.beyond == helps


def test_what_gave_before_is_not_held_against_a_change() -> None:
    """A bolt that gives with and without it is no new harm."""
    before = tried({"peak_seat_g": [3.0] * 8, "bolt_margin": [0.7] * 8})
    after = tried({"peak_seat_g": [1.0] * 8, "bolt_margin": [0.6] * 8})
    assert refusal(finding("peak_seat_g"), before, after) == ""


def test_costs_say_what_gets_worse() -> None:
    """Weight, height, what is worse beyond its range, and new findings; not what is better, or worse by luck."""
    aim = finding("peak_seat_g")
    before = tried(
        {"peak_wheel_load_10ms_N": [4000.0] * 8, "arm_margin": [9.0] * 8,
         "bolt_margin": [2.0] * 8, "peak_pitch_deg": [5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 7.0],
         "min_belly_clearance_mm": [60.0] * 8, "ride_height_mm": [159.0] * 8, "duration_s": [6.0] * 8}
    )  # fmt: skip
    after = tried(
        {"peak_wheel_load_10ms_N": [5000.0] * 8, "arm_margin": [5.0] * 8,
         "bolt_margin": [1.3] * 8, "peak_pitch_deg": [6.5] * 8, "min_belly_clearance_mm": [50.0] * 8,
         "ride_height_mm": [152.0] * 8, "duration_s": [5.0] * 8},
        found=(finding("bump_stop_hits", Harm.NEARLY),),
    )  # fmt: skip
    after = replace(after, weight_N=before.weight_N + 9.81)
    told = costs(aim, before, after)
    assert told[:2] == ("1.0 kg heavier", "sits 7 mm lower")
    assert "highest wheel load, mean of 10 ms 4000 -> 5000 N" in told
    assert "bolt margin 2.00 -> 1.30" in told
    assert not any("arm margin" in c for c in told)
    assert "least belly clearance 60.0 -> 50.0 mm" in told
    assert "new: too much bump_stop_hits" in told
    assert not any("pitch" in c or "duration" in c for c in told)


def test_what_still_fails_is_said() -> None:
    """It failed before, and is not what the change is for."""
    after = tried({}, found=(finding("bolt_margin", grade=Grade.FAIL), finding("peak_seat_g", grade=Grade.FAIL)))
    before = tried({}, found=(finding("bolt_margin"), finding("peak_seat_g")))
    assert remains(finding("peak_seat_g"), before, after) == ("too much bolt_margin",)
    assert remains(finding("peak_seat_g"), tried({}), after) == ()  # new: a cost


# What is to be mended


def test_the_worst_finding_that_a_change_can_help() -> None:
    """The first whose figure can be better; the ledger is the arithmetic's; not getting over is measured by how far."""
    ledger, stays = finding("energy_error", Harm.STOPS), finding("completed", Harm.STOPS, Grade.FAIL)
    jolt = finding("peak_seat_g")
    assert aim_of((ledger, jolt), None) == jolt
    aim = aim_of((ledger, stays, jolt), None)
    assert aim is not None
    assert aim.figure == "distance_m"
    assert aim_of((), None) is None
    named = aim_of((stays, jolt), "peak_wheel_load_N")
    assert named is not None
    assert named.figure == "peak_wheel_load_N"
    assert aim_of((stays, jolt), "peak_seat_g") == jolt


def test_figures_to_mend_have_a_better_side() -> None:
    """None of one wheel alone, and none of which no value is better."""
    assert {f.name for f in aims()} >= {"peak_seat_g", "spring_margin", "track_loose_s"}
    assert {"energy_error", "peak_span_load_N", "wheels.*.peak_N"}.isdisjoint(f.name for f in aims())
    assert all(figures.figure_of(f.name) is f for f in aims())


# The command


def call(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr."""
    with pytest.raises(SystemExit) as caught:
        main(["mend", *args])
    out, err = capsys.readouterr()
    assert isinstance(caught.value.code, int)
    return caught.value.code, out, err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["teasel"], "Missing argument"),
        (["teasle", "kerb-50"], 'did you mean "teasel"?'),
        (
            ["teasel", "kerb-50", "--for", "peak_seat"],
            '--for: no figure "peak_seat" to mend; did you mean "peak_seat_g"',
        ),
        (["teasel", "kerb-50", "--for", "energy_error"], '--for: no figure "energy_error" to mend'),
        (["teasel", "kerb-50", "--near", "0"], "--near: 0 near runs (allowed: 1 to"),
        (["teasel", "kerb-50", "--speed", "nan"], "--speed: a speed of nan m/s"),
        (["teasel", "kerb-50", "--workers", "0"], "Invalid value for '--workers'"),
        (["teasel", "kerb-50", "--set", "hull.mas_kg=3"], 'did you mean "mass_kg"'),
        (["teasel", "kerb-50", "--set", "hull.mass_kg=5000"], "teasel.toml"),
        (["barrow", "kerb-50", "--for", "track_loose_s"], "--for: this run gives no track_loose_s"),
    ],
)
def test_wrong_input(capsys: pytest.CaptureFixture[str], args: list[str], said: str) -> None:
    """One message, exit code 2."""
    code, _, err = call(capsys, *args)
    assert code == 2
    assert said in err
    assert "Traceback" not in err


def test_out_of_reach(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A file in the place of the folder."""
    (tmp_path / "taken").write_text("mine")
    code, _, err = call(capsys, "barrow", "kerb-50", "--out", str(tmp_path / "taken"))
    assert code == 2
    assert "taken" in err
    assert (tmp_path / "taken").read_text() == "mine"


def test_ctrl_c(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """130, and nothing is written."""

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(search, "nominal", stopped)
    code, out, err = call(capsys, "teasel", "kerb-50", "--out", str(tmp_path / "here"))
    assert (code, out) == (130, "")
    assert "stopped: nothing of it is kept" in err
    assert not (tmp_path / "here").exists()


def test_nothing_to_mend() -> None:
    """A run without a finding says so, and asks for a figure."""
    found = mend("barrow", "kerb-50", workers=1)
    if found.finding is None:
        assert "Nothing to mend" in repr(found)
        assert found.helps == ()


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Springs and sag alone are tried: a tenth of the runs."""

    def some(vehicle: trundle.Vehicle) -> list[Lever]:
        return [x for x in levers(vehicle) if x.label.endswith(("diameter_mm", "free_angle_deg", "sag_mm"))]

    monkeypatch.setattr(search, "levers", some)


@pytest.mark.usefixtures("few")
def test_a_real_one(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Wren over the 50 mm kerb, for a named figure: what is listed helps when it is set, by the same command line."""
    out = tmp_path / "mended"
    args = ["wren", "kerb-50", "--for", "peak_wheel_load_N", "--near", "3", "--workers", "2", "--out", str(out)]
    code, said, _ = call(capsys, *args)
    assert code == 0
    assert "To make better: highest wheel load" in said
    assert "Tried" in said
    page = (out / "mend.html").read_text(encoding="utf-8")
    assert "What to change: Wren over Kerb 50 mm" in page
    assert page.count("<svg") == 2
    options = [row.strip() for row in said.splitlines() if row.strip().startswith("--s")]
    assert 1 <= len(options) <= 3
    before = trundle.run("wren", "kerb-50").summary["peak_wheel_load_N"]
    sets = [part.split("'")[1] for part in options[0].split("--set ")[1:]]
    after = trundle.run(trundle.load_vehicle("wren", parse_settings(sets)), "kerb-50").summary["peak_wheel_load_N"]
    assert after < before


@pytest.mark.usefixtures("few")
def test_the_same_again() -> None:
    """Whatever the number of workers and the order in which they end."""
    one, two = (repr(mend("wren", "kerb-50", figure="seat_rms_m_s2", near=2, workers=k)) for k in (1, 2))
    assert one == two
    assert "Tried" in one


@pytest.mark.slow
@pytest.mark.parametrize(("vehicle", "course"), [("teasel", "kerb-100"), ("mole", "kerb-50"), ("otter", "kerb-150")])
def test_all_of_it(vehicle: str, course: str) -> None:
    """Every change of a whole vehicle: what is listed is beyond the range of the vehicle as it is, and gets over."""
    found = mend(vehicle, course, figure="seat_rms_m_s2")
    assert found.tried > 50
    assert found.was is not None
    for one in found.helps:
        assert one.gain.after.median < found.was.low
        assert one.result.completed
        assert one.pasted or "--speed" in one.option


def test_a_speed_for_the_whole_course() -> None:
    """Slower is tried by the same option that set it."""
    made = change(THREE, "drive.speed_m_s", "less")
    text = THREE.read_text(encoding="utf-8")
    task = Task(text, made.settings, trundle.load_course("kerb-50"), 1.0, 1)
    assert task.fast_m_s == 0.96
    assert task.vehicle().drive.speed_m_s == 1.2
