"""What is wrong is said by its cause: field, what is allowed, what to add, how to save it."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path
from typing import Any

import pytest

from tests.unit.test_cli_refusals import call
from tests.unit.test_spec_refusals import TEASEL, said
from trundle.cli.size import Size, ask_first, size_of
from trundle.engine.length import LEAST_ROAD_M
from trundle.engine.loop import DIVERGED, OVERTURNED
from trundle.engine.roll import Rows
from trundle.engine.simulate import simulate
from trundle.errors import InputError, decimal_comma
from trundle.findings.words import spoken
from trundle.result.inputs import course_input
from trundle.result.run import result_of, run
from trundle.spec.course import Course, load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle
from trundle.terrain.ground import lay

ROOT = Path(__file__).parents[2]

# A course that is shorter than the vehicle.


def short(folder: Path, run_out_mm: float) -> Path:
    path = folder / "short.toml"
    path.write_text(
        f'run_up_mm = 100\nrun_out_mm = {run_out_mm}\n[[obstacle]]\nkind = "kerb up"\nheight_mm = 20\ngap_mm = 0\n'
    )
    return path


@pytest.mark.parametrize("vehicle", ["teasel", "barrow", "wren"])
def test_a_course_shorter_than_the_vehicle_says_what_to_add(vehicle: str, tmp_path: Path) -> None:
    """It was said that the numbers blew up. What is said to be enough is enough; two steps of the
    10 mm to which it is rounded less is not."""
    with pytest.raises(InputError) as found:
        run(vehicle, short(tmp_path, 100))
    (problem,) = found.value.problems
    length_mm = load_vehicle(find("vehicles", vehicle)).hull.length_mm
    assert (problem.line, problem.field) == (2, "run_out_mm")
    assert f"too short for this vehicle: its hull is {length_mm:.0f} mm long" in problem.problem
    more = re.match(r"(\d+) mm or more", problem.allowed)
    assert more is not None
    ends = run(vehicle, short(tmp_path, 100 + int(more.group(1))))
    assert ends.completed
    # From there to the end is what is asked for, to two of those steps.
    went_mm = ends.timeline["hull.x_mm"]
    assert went_mm.iloc[-1] - went_mm.iloc[0] == pytest.approx(LEAST_ROAD_M * 1e3, abs=20.0)
    with pytest.raises(InputError, match="too short for this vehicle"):
        run(vehicle, short(tmp_path, 100 + int(more.group(1)) - 20))


@pytest.mark.parametrize(
    ("why", "words"),
    [(DIVERGED, "stiffness and mass do not go together"), (OVERTURNED, "it overturns in the first step")],
)
def test_what_else_ends_a_run_in_its_first_step(why: int, words: str) -> None:
    """Each by its own cause."""
    vehicle, course = load_vehicle(find("vehicles", "teasel")), load_course(find("courses", "kerb-50"))
    ground = lay(course)
    raw = simulate(vehicle, ground)
    ended = dataclasses.replace(raw, rows=Rows((raw.rows.values[:1],), why))
    with pytest.raises(InputError, match=words):
        result_of(ended, vehicle, course, ground)


# Decimal commas.


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("mass_kg = 180", "mass_kg = 12,5", ":LINE: a decimal comma (allowed: numbers with a decimal point"),
        ("mass_kg = 180", 'mass_kg = "2,5"', ":LINE: hull.mass_kg: out of range (it is 2.5)"),
        (
            "pad_rate_N_per_mm = 120",
            'pad_loss = "0,4"',
            ':LINE: bogie.front.stops.pad_loss: a decimal comma (it is "0,4")',
        ),
        ("com_mm = [", "com_mm = [1,", "there are 3); a decimal comma splits a number in two (allowed: up to 2)"),
    ],
)
def test_a_decimal_comma_in_a_vehicle_file(old: str, new: str, words: str, tmp_path: Path) -> None:
    text = TEASEL.read_text(encoding="utf-8")
    old = old if old in text else next(m.group(0) for m in re.finditer(rf"(?m)^{old.split()[0]} = \S+", text))
    path = tmp_path / "v.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    line = text[: text.index(old)].count("\n") + 1
    with pytest.raises(InputError) as found:
        load_vehicle(path)
    assert words.replace("LINE", str(line)) in str(found.value)


def test_a_decimal_comma_in_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Numbers have a decimal point" in call(capsys, "run", "teasel", "kerb-50", "--speed", "0,8")[2]
    assert "Numbers have a decimal point" not in call(capsys, "run", "teasel", "kerb-50", "--speed", "fast")[2]
    assert "a decimal comma" in call(capsys, "sheet", "teasel", "--set", "hull.belly_grip=0,5")[2]
    assert call(capsys, "sheet", "teasel", "--set", "hull.mass_kg=265,0") == call(capsys, "sheet", "teasel")
    assert decimal_comma(" -12,5 ")
    assert not any(map(decimal_comma, ("12.5", "1,2,3", "1,", ",5", "a,b", "")))


SPLIT = "four whole numbers: two with a decimal comma"
SURVEYS = [
    ("x_mm,y_mm\n0,0\n1250,5,38,2\n", 3, "4 cells where the heading has 2; a decimal comma"),
    ("x_mm,y_mm,,\n0,0,,\n1250,5,38,2\n", 3, "4 cells where the heading has 2; a decimal comma"),
    ("x_mm,y_mm,peg,who\n0,0\n1250,5,38,2\n", 3, SPLIT),
    ("x_mm,y_mm,peg,who\n0,0,,\n1250,5,38,2\n", 3, SPLIT),
    ("x_mm,y_mm,peg,who\n0,5,1,5\n1250,5,38,2\n", 2, SPLIT),
    ("peg,x_mm,y_mm,who\n0,0,0,0\n1250,5,38,2\n1300,5,38,2\n", 4, "is there a decimal comma"),
    ("x_mm;y_mm\n0;0\n1250,5;38,2\n", 1, "columns are separated by semicolons"),
    ("x_mm\ty_mm\n0\t0\n", 1, "columns are separated by tabs"),
    ('x_mm,y_mm\n0,0\n"1250,5","38,2"\n', 3, '"1250,5" is not a number (allowed: digits with a decimal point)'),
]


@pytest.mark.parametrize(("content", "line", "words"), SURVEYS)
def test_a_decimal_comma_in_a_survey(content: str, line: int, words: str, tmp_path: Path) -> None:
    """Read as other ground than was measured, silently, where the heading had four names."""
    (tmp_path / "s.csv").write_text(content)
    (tmp_path / "c.toml").write_text('[[obstacle]]\nkind = "surveyed profile"\nfile = "s.csv"\n')
    with pytest.raises(InputError) as found:
        load_course(tmp_path / "c.toml")
    assert str(found.value).startswith(f"{tmp_path / 's.csv'}:{line}: ")
    assert words in str(found.value)
    if line == 1:
        assert "save it anew as CSV" in str(found.value)


@pytest.mark.parametrize(
    "content",
    [
        "x_mm,y_mm,peg,who\n0,0,1,ann\n1250,5,2,ann\n",
        "x_mm,y_mm,peg,day\n0.0,0,1,7\n1250.5,38.2,2,7\n",
        "x_mm,y_mm,peg\n0,0,1\n500,20,\n1000,30,2\n",
        "x_mm,y_mm,\n0,0,\n1250,38,gate\n",
    ],
)
def test_spare_columns_of_a_survey_are_no_decimal_commas(content: str, tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text(content)
    (tmp_path / "c.toml").write_text('[[obstacle]]\nkind = "surveyed profile"\nfile = "s.csv"\n')
    assert load_course(tmp_path / "c.toml").obstacle[0].length_m() >= 1.0


# Fields, and what is allowed.


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"track.pad_mm": 150}, "track.pad_mm: pad_mm is 150, more than the whole track"),
        ({"track.tension_N": 500}, "track.tension_N: say how it is set once"),
        ({"track.idler.rim_rubber_mm": 199}, "track.idler.rim_rubber_mm: rim_rubber_mm is 199, but the idler has"),
        ({"track.sprocket.rim_rubber_mm": 199}, "track.sprocket.rim_rubber_mm: rim_rubber_mm is 199, but the sprocket"),
        ({"hull.belly_mm": [[0, 0], [50, 0], [40, 0]]}, "hull.belly_mm[3]: points must run from tail to nose"),
        ({"drive.push_N": 500}, "drive.push_N: how hard it pushes is given by torque_Nm and by push_N"),
    ],
)
def test_a_table_that_contradicts_itself_names_field_and_range(changes: dict[str, Any], words: str) -> None:
    told = said(changes)
    assert len(told) == 1
    assert words in told[0]
    assert "(allowed: " in told[0]


def test_a_clamp_says_what_it_grips_and_how_much_it_may() -> None:
    leaf = next(b.spring for b in load_vehicle(TEASEL).bogie.values())
    assert leaf.kind == "leaf across"
    written = leaf.model_dump(exclude_unset=True)
    for change in ({"seat": "clamp"}, {"seat": "clamp", "clamp_mm": leaf.length_mm}):
        spring = {k: v for k, v in written.items() if k not in ("seat_apart_mm", "clamp_mm", "clamp_fit")} | change
        (told,) = said({"bogie.front.spring": spring})
        assert "bogie.front.spring.clamp_mm: " in told
        assert "the length of leaf that a clamp grips" in told
        assert f"(allowed: above 0, up to {0.8 * leaf.length_mm:g})" in told


def test_instructions_say_what_is_allowed() -> None:
    course = {
        "obstacle": [{"kind": "kerb up", "height_mm": 20.0}],
        "driver": [{"kind": "stop", "at_mm": 19000.0, "for_s": 1.0}],
    }
    with pytest.raises(ValueError, match=r"is past the end of the course at 7630 \(allowed: up to 7630\)"):
        Course.model_validate(course)


# How long a run would be.


def test_a_long_stop_is_not_blamed_on_the_step(tmp_path: Path) -> None:
    path = tmp_path / "c.toml"
    path.write_text(
        find("courses", "kerb-50").read_text(encoding="utf-8")
        + '\n[[driver]]\nkind = "stop"\nat_mm = 3000\nfor_s = 3600\n',
        encoding="utf-8",
    )
    vehicle = load_vehicle(find("vehicles", "teasel"))
    size = size_of(vehicle, load_course(path), None, 5.0, None)
    assert size.mostly_waits
    with pytest.raises(InputError, match=r"^driver: that is about 3,6.*shorter stops \(for_s\), or a shorter course"):
        ask_first(size, False)
    with pytest.raises(InputError, match=r"^driver: that is about 18,0.*: shorter stops \(for_s\)"):
        ask_first(size_of(vehicle, load_course(path), 0.2, 5.0, None), True)
    with pytest.raises(InputError, match=r"shorter stops \(for_s\)"):
        run(vehicle, course_input(path), dt_ms=0.5)
    with pytest.raises(InputError, match=r"^--dt-ms: .*: a shorter course, more speed or a longer step"):
        ask_first(Size(10**9, 1.0), True)


# The rest.


def test_samples_without_a_use_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = call(capsys, "compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=250,260", "--samples", "5")
    assert (code, out) == (2, "")
    assert "--samples: is only used with --find or --tolerance" in err


def test_a_size_that_is_too_small_says_the_range(capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = call(capsys, "watch", "teasel", "kerb-50", "--size", "5x5")
    assert code == 2
    assert "--size: a size of 5x5 (allowed: 320x240 to " in err


def test_a_name_that_reads_as_a_number_is_quoted() -> None:
    """`longest five for 0.7 s`: Wren's arms are called one to five."""
    assert [spoken(n) for n in ("five", "Two.aft", "front.fore", "fiver")] == [
        '"five"',
        '"Two aft"',
        "front fore",
        "fiver",
    ]


def test_extras_are_installed_from_the_checkout() -> None:
    """A package of our name on an index is not ours: what is suggested is what README says, `-e '.[video]'`."""
    files = [*ROOT.glob("*.md"), *(ROOT / "sim").rglob("*.py"), *(ROOT / "viewer").rglob("*.py")]
    suggested = [line for f in files for line in f.read_text(encoding="utf-8").splitlines() if "pip install" in line]
    assert len(suggested) >= 4
    assert all(re.search(r"pip install (-q )?-e ('\.\[\w+\]'|\.)", line) for line in suggested)
