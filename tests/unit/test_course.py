"""The course file: loaded, changed by field path, refused with file, line and field."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trundle.errors import InputError
from trundle.spec import shipped
from trundle.spec.course import Course, load_course
from trundle.spec.reader import matching_paths, set_values
from trundle.terrain.ground import lay

TEXT = """\
name = "Try"
speed_m_s = 1

[[obstacle]]
kind = "kerb up"
height_mm = 100

[[obstacle]]
kind = "sleepers"
height_mm = 90
width_mm = 250
pitch_mm = 600
count = 3
speed_m_s = 0.5
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A course file of two obstacles."""
    path = tmp_path / "try.toml"
    path.write_text(TEXT)
    return path


def problems(path: Path, **settings_: Any) -> list[str]:
    """What is said about a course that cannot be used."""
    with pytest.raises(InputError) as caught:
        load_course(path, settings_.get("settings"))
    return [str(p) for p in caught.value.problems]


def test_a_course_loads_with_its_defaults(file: Path) -> None:
    """Run-up and run-out of 3 m and gaps of 1.5 m where nothing is written."""
    course = load_course(file)
    assert (course.run_up_mm, course.run_out_mm, course.speed_m_s) == (3000, 3000, 1)
    ground = lay(course)
    assert [s[:2] for s in ground.spans] == [("kerb 100 mm", 4.5), ("sleepers 3 x 90 mm", 6.13)]
    assert dict(zip(ground.speed_from_m, ground.speed_m_s, strict=True)) == {0.0: 1.0, 4.625: 0.5}


@pytest.mark.parametrize("path", ["obstacle.1.height_mm", "obstacle[1].height_mm", "obstacle.*.height_mm"])
def test_a_field_is_set_by_its_path(file: Path, path: str) -> None:
    """List entries count from 1, with a dot or in brackets, or all at once."""
    course = load_course(file, {path: 120})
    heights = [p.height_mm for p in course.obstacle]
    assert heights == ([120, 120] if "*" in path else [120, 90])


def test_set_values_leaves_the_original_alone() -> None:
    """Lists are copied too."""
    data = {"a": [{"b": 1}, {"b": 2}]}
    assert set_values(data, {"a.2.b": 5}) == {"a": [{"b": 1}, {"b": 5}]}
    assert data == {"a": [{"b": 1}, {"b": 2}]}
    assert matching_paths(data, "a.*.b") == [("a", 0, "b"), ("a", 1, "b")]
    assert matching_paths(data, "a.1.new") == [("a", 0, "new")]


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("obstacle.3.height_mm", 'there is no "3" (allowed: 1, 2)'),
        ("obstacle.0.height_mm", 'there is no "0"'),
        ("obstacle.3", 'there is no "3"'),
        ("obstacle.first.height_mm", 'there is no "first"'),
        ("obstacle.1.height_mm.x", 'there is no "x"'),
        ("obstacel.1.height_mm", 'did you mean "obstacle"'),
        ("obstacle..height_mm", "not a field path"),
    ],
)
def test_a_path_that_leads_nowhere_is_named(file: Path, path: str, says: str) -> None:
    """With what there is instead."""
    (said,) = problems(file, settings={path: 1})
    assert said.startswith(path)
    assert says in said


DIP = '[[obstacle]]\nkind = "dip"\nlength_mm = 900\n'
FLAT = '[[obstacle]]\nkind = "flat"\nlength_mm = 900\n'
BAD = {
    'name = "x"': ": the course is empty",
    "obstacle = []": ": the course is empty",
    "obstacle = 3": ":1: obstacle: a list is wanted (it is 3)",
    FLAT.replace("flat", "flta"): ':2: obstacle[1].kind: unknown kind "flta"; did you mean "flat"?',
    FLAT.replace("kind", "kid"): ':1: obstacle[1]: the field "kind" is missing',
    DIP + "deepth_mm = 3": ':4: obstacle[1].deepth_mm: unknown field; did you mean "depth_mm"?',
    DIP: ":1: obstacle[1].depth_mm: this field is missing",
    DIP + 'depth_mm = "deep"': ":4: obstacle[1].depth_mm: a number is wanted",
    DIP + "depth_mm = nan": ":4: obstacle[1].depth_mm: a finite number is wanted",
    DIP + "depth_mm = 9\ngap_mm = -1": ":5: obstacle[1].gap_mm: out of range (it is -1)",
    "run_up_mm = 1e6\nrun_out_mm = 1e6\n" + FLAT: ": the course is 2002 m long; the limit is 2000 m",
    '[[obstacle]]\nkind = "surveyed profile"\nfile = "none.csv"': "none.csv: no such file",
    '[[obstacle]]\nkind = "surveyed profile"\nfile = ""': ":3: obstacle[1].file:",
    "speed_m_s = 0\n" + FLAT: ":1: speed_m_s: out of range (it is 0) (allowed: 0.01 or more)",
}


@pytest.mark.parametrize("text", BAD, ids=lambda t: repr(t)[-40:])
def test_a_wrong_course_is_refused_with_line_and_field(tmp_path: Path, text: str) -> None:
    """One message for one mistake."""
    path = tmp_path / "bad.toml"
    path.write_text(text)
    (said,) = problems(path)
    assert BAD[text] in said
    assert said.startswith(str(tmp_path))


def test_a_value_given_by_option_is_not_blamed_on_a_line(file: Path) -> None:
    """The file is right; the option is not."""
    (said,) = problems(file, settings={"obstacle.1.height_mm": -5})
    assert said == f"{file}: obstacle[1].height_mm: out of range (it is -5) (allowed: above 0)"


SCRAPS = [
    *TEXT.splitlines(),
    "[[obstacle]]",
    "[obstacle]",
    "obstacle = [1]",
    "height_mm = 1" + "0" * 400,
    'kind = "log"',
    "gap_mm = [[]]",
    "note = {a = 1}",
    'kind = "surveyed profile"',
    'file = "."',
]


@settings(max_examples=120, deadline=None)
@given(
    st.one_of(st.text(max_size=300), st.lists(st.sampled_from(SCRAPS), max_size=12).map("\n".join)),
)
def test_random_files_never_give_a_traceback(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    """Either a clean error or a course that can be laid."""
    path = tmp_path_factory.getbasetemp() / "random.toml"
    path.write_text(text, encoding="utf-8", errors="replace")
    try:
        course = load_course(path)
    except InputError:
        return
    assert np.isfinite(lay(course, 0.01).height_m).all()


def test_shipped_courses_load_lay_and_say_what_they_are_for() -> None:
    """Eight or more, each with a note; the yard takes 20 s at walking pace and has nothing high in it."""
    names = shipped.names("courses")
    assert len(names) >= 8
    for name in names:
        course = load_course(shipped.find("courses", name))
        assert course.name
        assert course.note
        assert np.isfinite(lay(course).height_m).all()
    yard = lay(load_course(shipped.find("courses", "yard")))
    assert yard.spans[-1][2] - yard.spans[0][1] >= 25.0
    assert np.ptp(yard.height_m) < 0.2
    kerb: Course = load_course(shipped.find("courses", "kerb-100.toml"))
    assert lay(kerb).height_m[-1] == 0.1


def test_a_course_is_found_by_path_or_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file at hand goes before a shipped one; a name that is neither gets the nearest and the list."""
    monkeypatch.chdir(tmp_path)
    assert shipped.find("courses", "yard").parent == shipped.folder("courses")
    Path("yard").write_text("")
    assert shipped.find("courses", "yard") == Path("yard")
    for name in ("kreb-100", "kreb-100.toml"):
        with pytest.raises(InputError, match=r'did you mean "kerb-100"\?.*one of: .*yard'):
            shipped.find("courses", name)
    for name in ("x" * 5000, "a\0b", "", str(tmp_path)):
        with pytest.raises(InputError):
            shipped.find("courses", name)


def test_an_installed_package_has_its_own_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a checkout around it, `_scenarios` inside the package is used."""
    home = tmp_path / "lib" / "site" / "trundle"
    (home / "_scenarios" / "courses").mkdir(parents=True)
    (home / "_scenarios" / "courses" / "a.toml").write_text("")
    monkeypatch.setattr(shipped, "__file__", str(home / "spec" / "shipped.py"))
    assert shipped.names("courses") == ["a"]
    assert shipped.find("courses", "a").is_file()
