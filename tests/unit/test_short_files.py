"""Vehicles and bogies like others, and rows of equal ones: spelled out once, errors told where they are written."""

from __future__ import annotations

import itertools
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from test_cli_refusals import call

import trundle
from trundle.errors import InputError, Problem
from trundle.fields.sketch import Around
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import alike_once
from trundle.spec.shipped import find
from trundle.spec.short import Row, tables_of
from trundle.study.case import Files
from trundle.study.mend.tried import Task

TEASEL = find("vehicles", "teasel").read_text(encoding="utf-8")
HEADS = ("[bogie.front]", "[bogie.middle]", "[bogie.rear]", "[track]")
FRONT, MIDDLE, REAR = (TEASEL[TEASEL.index(a) : TEASEL.index(b)] for a, b in itertools.pairwise(HEADS))
BEFORE, BEHIND = TEASEL[: TEASEL.index(HEADS[0])], TEASEL[TEASEL.index("[track]") :]


def at_mm(name: str) -> list[float]:
    found: list[float] = tomllib.loads(TEASEL)["bogie"][name]["at_mm"]
    return found


LIKE = f"""{BEFORE}{FRONT}
[bogie.middle]
like = "rear"   # which is like the front

at_mm = {at_mm("middle")}
[bogie.rear]
like = "front"
at_mm = {at_mm("rear")}
{BEHIND}"""


def put(folder: Path, text: str, name: str = "short.toml") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def refusal(file: Path, settings: dict[str, Any] | None = None) -> str:
    with pytest.raises(InputError) as caught:
        trundle.load_vehicle(file, settings)
    return str(caught.value)


def test_a_bogie_like_another(tmp_path: Path) -> None:
    """Through one that is like a third, with its own place; tables within field by field, of another kind whole."""
    long = TEASEL.replace(MIDDLE, FRONT.replace("[bogie.front", "[bogie.middle")).replace(
        REAR, FRONT.replace("[bogie.front", "[bogie.rear")
    )
    tables = tomllib.loads(long)["bogie"]
    made = tables_of(LIKE, "").data["bogie"]
    for name in ("front", "middle", "rear"):
        assert made[name] == {**tables[name], "at_mm": at_mm(name)}
    rear = tables_of(LIKE.replace('like = "front"', 'like = "front"\nspring.width_mm = 41'), "").data["bogie"]["rear"]
    assert rear["spring"] == {**made["front"]["spring"], "width_mm": 41}
    other = 'like = "front"\nspring = { kind = "axle rate", rate_N_per_mm = 7, free_angle_deg = 32 }'
    rear = tables_of(LIKE.replace('like = "front"', other), "").data["bogie"]["rear"]
    assert rear["spring"] == {"kind": "axle rate", "rate_N_per_mm": 7, "free_angle_deg": 32}


ROWS = """
[[bogies]]
name = "road"
count = 3
first_at_mm = [1520, 0]
spacing_mm = 640
"""


def row_text() -> str:
    rest = FRONT.split("\n", 1)[1].replace("[bogie.front.", "[bogies.")
    rest = "\n".join(line for line in rest.split("\n") if not line.startswith("at_mm"))
    return BEFORE + ROWS + rest + BEHIND


def test_a_row_of_equal_bogies(tmp_path: Path) -> None:
    """From front to rear; a table of one of its names changes that one."""
    made = tables_of(row_text(), "").data
    front = tomllib.loads(TEASEL)["bogie"]["front"]
    assert "bogies" not in made
    assert list(made["bogie"]) == ["road1", "road2", "road3"]
    for k, bogie in enumerate(made["bogie"].values()):
        assert bogie == {**front, "at_mm": [1520 - 640 * k, 0]}
    one = tables_of(row_text() + "\n[bogie.road2]\narm_mass_kg = 2\nspring.width_mm = 41\n", "").data["bogie"]
    assert one["road2"]["spring"]["width_mm"] == 41
    assert (one["road1"]["arm_mass_kg"], one["road2"]["arm_mass_kg"]) == (front["arm_mass_kg"], 2)
    vehicle = trundle.load_vehicle(put(tmp_path, row_text()), {"bogie.road3.arm_mass_kg": 2.5})
    assert [b.model_dump()["arm_mass_kg"] for b in vehicle.bogie.values()] == [1.8, 1.8, 2.5]
    assert vehicle.bogie["road2"].stations_at("road2")[0].name == "road2.fore"


def test_the_row_shows_its_fields() -> None:
    """Every one has a mark."""
    row = Row.model_validate(tomllib.loads(Row.EXAMPLE))
    marked = {mark.field for sketch in row.sketches(Around()) for mark in sketch.marks}
    assert marked == set(Row.model_fields)


def test_a_vehicle_like_another(tmp_path: Path) -> None:
    """A shipped one, or a file beside it that is like one; what is not said is the other's."""
    put(tmp_path, 'like = "teasel"\nname = "Mine"\nhull.mass_kg = 300\n', "mine.toml")
    (tmp_path / "sub").mkdir()
    file = put(tmp_path, 'like = "../mine.toml"\n[bogie.rear]\narm_mass_kg = 2\n', "sub/long.toml")
    made = trundle.load_vehicle(file)
    assert made == trundle.load_vehicle("teasel", {"name": "Mine", "hull.mass_kg": 300, "bogie.rear.arm_mass_kg": 2})


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            LIKE.replace('like = "front"', 'like = "frnt"'),
            'bogie.rear.like: there is no other bogie "frnt"; did you mean "front"? (allowed: front, middle)',
        ),
        (LIKE.replace('like = "front"', "like = 3"), "bogie.rear.like: the name of a bogie is wanted"),
        (LIKE.replace('like = "front"', 'like = "rear"'), 'bogie.rear.like: there is no other bogie "rear"'),
        (LIKE.replace('like = "front"', 'like = "middle"'), "goes round in a circle: "),
        (row_text().replace("spacing_mm = 640", ""), "bogies[1].spacing_mm: this field is missing: there are 3"),
        (row_text().replace("count = 3", "count = 30"), "bogies[1].count: out of range (it is 30) (allowed: 12 "),
        (row_text().replace("count = 3\n", ""), "bogies[1].count: this field is missing"),
        (row_text().replace("first_at_mm", "at_mm"), "stands at several places (allowed: first_at_mm and spacing_mm)"),
        ("bogies = 3\n" + TEASEL, "bogies: tables are wanted, [[bogies]]"),
        ('like = "nobody"\n', 'like: no such vehicle file, and no shipped vehicle of that name: "nobody"'),
        ("like = 3\n", "like: the name or path of another vehicle is wanted"),
        ('like = "short.toml"\n', "they go round in a circle"),
        ('like = "other.toml"\n', "they go round in a circle"),
        ('like = "course.toml"\n', '"course.toml" is no vehicle'),
    ],
)  # fmt: skip
def test_what_is_like_nothing(tmp_path: Path, text: str, words: str) -> None:
    """One message, with file and line."""
    put(tmp_path, 'like = "short.toml"\n', "other.toml")
    put(tmp_path, '[[obstacle]]\nkind = "flat"\n', "course.toml")
    said = refusal(put(tmp_path, text))
    assert words in said
    assert len(said.splitlines()) == 1
    place = said.split(": ", maxsplit=1)[0]
    assert place.rpartition(":")[2].isdigit()


def test_an_error_is_told_where_it_is_written(tmp_path: Path) -> None:
    """In the bogie that others are like, in the row, in the other file; once for all of them."""
    wrong = LIKE.replace(FRONT, FRONT.replace("width_mm = ", "width_mm = -", 1))
    line = wrong[: wrong.index("width_mm = -")].count("\n") + 1
    file = put(tmp_path, wrong)
    assert refusal(file).startswith(f"{file}:{line}: bogie.*.spring.width_mm (front, middle, rear): out of range")
    wrong = row_text().replace("arm_mass_kg = 1.8", "arm_mass_kg = 0", 1)
    file = put(tmp_path, wrong)
    line = wrong[: wrong.index("arm_mass_kg = 0")].count("\n") + 1
    assert refusal(file).startswith(f"{file}:{line}: bogie.*.arm_mass_kg (road1, road2, road3): out of range (it is 0)")
    there = put(tmp_path, TEASEL.replace("mass_kg = 265", "mass_kg = 0", 1), "there.toml")
    line = TEASEL[: TEASEL.index("mass_kg = 265")].count("\n") + 1
    file = put(tmp_path, '\nlike = "there.toml"\nhull.height_mm = -1\n')
    assert [said.split(": ")[:2] for said in refusal(file).splitlines()] == [
        [f"{file}:3", "hull.height_mm"],
        [f"{there}:{line}", "hull.mass_kg"],
    ]


def test_a_fault_of_equal_bogies_is_told_once() -> None:
    """Also where the message has their names in it; different faults and single ones stay as they are."""
    problems = [
        Problem("wheels a.fore and a.aft overlap", "bogie.a", file="x", line=3),
        Problem("wheels b.fore and b.aft overlap", "bogie.b", file="x", line=9),
        Problem("out of range (it is 0)", "bogie.b.arm_mm", "above 0", "x", 9),
        Problem("out of range (it is 0)", "bogie.a.arm_mm", "above 0", "x", 3),
        Problem("out of range (it is 1)", "bogie.c.arm_mm", "above 1", "x", 3),
        Problem("missing", "hull.mass_kg"),
        Problem("missing", "hull.com_mm"),
    ]
    assert [str(p) for p in alike_once(problems)] == [
        "x:3: bogie.* (a, b): wheels *.fore and *.aft overlap",
        "x:9: bogie.*.arm_mm (b, a): out of range (it is 0) (allowed: above 0)",
        "x:3: bogie.c.arm_mm: out of range (it is 1) (allowed: above 1)",
        "hull.mass_kg: missing",
        "hull.com_mm: missing",
    ]


@pytest.mark.parametrize("kind", ["like", "row", "file"])
@pytest.mark.parametrize(
    "settings",
    [
        {},
        {"bogie.*.arm_mass_kg": 2.2},
        {"hull.mass_kg": 290},
        {"bogie.LAST.spring.width_mm": 41, "bogie.LAST.at_mm.2": 1},
    ],
)  # fmt: skip
def test_what_is_kept_reloads(tmp_path: Path, kind: str, settings: dict[str, Any]) -> None:
    """In an empty folder, with settings of what is only spelled out; the mending's tasks and studies read it too."""
    text = {"like": LIKE, "row": row_text(), "file": 'like = "base.toml"\n[drive]\nspeed_m_s = 1.0 # slow\n'}[kind]
    put(tmp_path, LIKE, "base.toml")
    last = "road3" if kind == "row" else "rear"
    settings = {k.replace("LAST", last): v for k, v in settings.items()}
    given = vehicle_input(put(tmp_path, text), settings)
    (tmp_path / "empty").mkdir()
    kept = given.text_as_used()
    assert trundle.load_vehicle(put(tmp_path / "empty", kept)) == given.vehicle
    assert Task(kept, {}, trundle.load_course("kerb-50"), None, 1).vehicle() == given.vehicle
    if kind != "file":
        # What is set of the one that another is like takes that other's own file with it: it is written out then.
        assert ("# which is like the front" in kept) == (kind == "like" and "bogie.rear.at_mm.2" not in settings)
        assert tomlkit.parse(kept).unwrap() == tomllib.loads(kept)
    files = Files()
    assert list(files.named_by("bogie.*.arm_mass_kg", given.path or Path())) == [
        f"bogie.{name}.arm_mass_kg" for name in given.vehicle.bogie
    ]
    assert 'like = "base.toml"' not in files.text(given.path or Path())


def test_a_command_takes_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A problem found only when the vehicle is put together has its line too."""
    file = put(tmp_path, LIKE)
    assert call(capsys, "sheet", str(file), "--set", "bogie.rear.arm_mass_kg=2")[0] == 0
    wrong = put(tmp_path, LIKE.replace("droop_below_level_deg = 32", "travel_mm = 199"))
    code, _, err = call(capsys, "sheet", str(wrong))
    assert code == 2
    assert f"{wrong}:" in err
    assert ".stops.travel_mm (front, middle, rear): the arm is 200 mm long" in err
