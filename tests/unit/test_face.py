"""`import trundle`: what a builder's own script meets."""

from __future__ import annotations

import json
import os
import pkgutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Literal

import pytest

import trundle
from trundle.fields.sketch import Mark, Note
from trundle.record.store import COURSE, VEHICLE, read_run
from trundle.result.inputs import course_input, vehicle_input
from trundle.spec.course import Course
from trundle.spec.shipped import find, names
from trundle.terrain.base import FileName, Floats, LevelObstacle

README = Path(__file__).parents[2] / "README.md"


@pytest.fixture(scope="module")
def result() -> trundle.Result:
    """By names alone."""
    return trundle.run("teasel", "kerb-50")


def readme_example() -> str:
    """The code under `From Python`."""
    section = README.read_text(encoding="utf-8").split("## From Python")[1].split("\n## ")[0]
    return "\n".join(line[4:] for line in section.splitlines() if line.startswith("    ") or not line.strip())


def test_the_readme_example_runs(tmp_path: Path) -> None:
    """As a script of its own in an empty folder, as it says."""
    code = "\n".join(f"    {line}" for line in readme_example().splitlines())
    assert "trundle.run" in code
    script = tmp_path / "mine.py"
    script.write_text(f'if __name__ == "__main__":\n{code}\n', encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script)], cwd=tmp_path, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "Teasel over Kerb 100" in done.stdout
    assert "What next" in done.stdout
    assert (tmp_path / "results" / "first" / "report.html").is_file()


def test_dir_lists_it_all_and_each_name_is_there() -> None:
    """In `dir`, in `__all__`, and to be had; each with words on what it is."""
    assert set(dir(trundle)) == set(trundle.__all__)
    for name in trundle.__all__:
        assert getattr(trundle, name) is not None
        assert name == "__version__" or getattr(trundle, name).__doc__
    with pytest.raises(AttributeError, match="no attribute"):
        trundle.ride  # noqa: B018


def test_no_package_takes_the_place_of_a_name() -> None:
    """`import trundle.sheet` would put a module where the function was."""
    inside = {m.name for m in pkgutil.iter_modules(trundle.__path__)}
    assert inside & set(trundle.__all__) == set()
    assert len(inside) > 10


def test_importing_loads_no_library() -> None:
    """Names load what they need on first use."""
    code = (
        "import sys, trundle; dir(trundle); print(sorted({'numpy', 'pandas', 'numba', 'pydantic'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_names_paths_and_objects_are_alike(result: trundle.Result) -> None:
    """The same figures to the last digit."""
    vehicle, course = find("vehicles", "teasel"), find("courses", "kerb-50")
    for given in (
        (str(vehicle), course),
        (trundle.load_vehicle("teasel"), trundle.load_course("kerb-50")),
        (trundle.load_vehicle(vehicle), "kerb-50"),
    ):
        again = trundle.run(*given).summary
        assert {**again, "speed_times_real_time": 0} == {**result.summary, "speed_times_real_time": 0}


def test_a_result_in_three_lines(result: trundle.Result) -> None:
    """How it ended; its figures; what else there is."""
    first, second, third = repr(result).splitlines()
    assert first[2:].removeprefix("RISK: ").startswith("Teasel over Kerb 50 mm: gets over")
    assert f"highest wheel load {result.summary['peak_wheel_load_N']:.0f} N" in second
    assert ".verdict" in third
    assert f"{len(result.timeline)} rows" in third


def test_a_verdict_is_data_and_reads_well(result: trundle.Result) -> None:
    """Every line of it in the text, each with its sign; a risk says so in a word."""
    said = result.verdict
    text = str(said)
    for section in said.sections:
        assert section.title in text
        for line in section.main:
            assert str(line) in text
            assert line.text in str(line)
    assert said.obstacles[0].text in text
    assert text.splitlines()[0] == str(said.headline)
    assert len(repr(said)) < 200


def test_a_result_saves_what_the_command_keeps(result: trundle.Result, tmp_path: Path) -> None:
    """The same files; the builder's own text, comments and all; figures and series read back as they were."""
    folder = result.save(tmp_path / "kept")
    assert {f.name for f in folder.iterdir()} == {
        "report.html", "timeline.parquet", "events.csv", "summary.json", VEHICLE, COURSE,
    }  # fmt: skip
    assert (folder / VEHICLE).read_text(encoding="utf-8") == find("vehicles", "teasel").read_text(encoding="utf-8")
    kept = read_run(folder)
    assert kept.timeline.equals(result.timeline)
    assert json.loads((folder / "summary.json").read_text(encoding="utf-8"))["ended_because"] == "course end"
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "note.txt").write_text("mine")
    with pytest.raises(trundle.InputError, match="folder: is in the way"):
        result.save(mine)


@pytest.mark.parametrize("name", names("vehicles"))
def test_an_object_is_kept_as_a_file_that_gives_it_back(name: str, tmp_path: Path) -> None:
    """Whatever was changed in it."""
    vehicle = trundle.load_vehicle(name, {"hull.mass_kg": 77.5, "note": 'in "quotes" and ünicode'})
    file = tmp_path / "v.toml"
    file.write_text(vehicle_input(vehicle).text_as_used(), encoding="utf-8")
    assert trundle.load_vehicle(file) == vehicle


@pytest.mark.parametrize("name", names("courses"))
def test_a_course_object_is_kept_with_its_surveys(name: str, tmp_path: Path) -> None:
    """A copy in another folder lays the same ground."""
    given = course_input(trundle.load_course(name))
    file = tmp_path / "c.toml"
    given.kept().write(file)
    again = trundle.load_course(file)
    assert [o.title() for o in again.obstacle] == [o.title() for o in given.course.obstacle]
    assert again.model_dump(exclude={"obstacle"}) == given.course.model_dump(exclude={"obstacle"})


class Rut(LevelObstacle):
    """A kind of somebody's own that reads two files, neither of them called `file`."""

    kind: Literal["rut"]
    left_csv: FileName
    right_csv: FileName

    def length_m(self) -> float:
        """Long enough."""
        return 1.0

    def heights_m(self, x_m: Floats) -> Floats:
        """Level."""
        return 0.0 * x_m

    def title(self) -> str:
        """As its kind."""
        return self.kind

    def marks(self) -> tuple[Mark, ...]:
        """Leaders to its middle."""
        return tuple(Note(field, (500.0, 0.0)) for field in ("kind", "left_csv", "right_csv"))


class RuttedCourse(Course):
    """A course of them."""

    obstacle: tuple[Rut, ...]


def test_every_file_that_an_obstacle_reads_is_kept(tmp_path: Path) -> None:
    """Whatever its field is called."""
    there, here = tmp_path / "there", tmp_path / "here"
    there.mkdir()
    for name in ("l.csv", "r.csv"):
        (there / name).write_text(name)
    rut = Rut(kind="rut", left_csv=str(there / "l.csv"), right_csv=str(there / "r.csv"))
    given = course_input(RuttedCourse(obstacle=(rut,)))
    here.mkdir()
    given.kept().write(here / "c.toml")
    assert {p.name: p.read_text() for p in here.glob("*.csv")} == {"l.csv": "l.csv", "r.csv": "r.csv"}
    kept = tomllib.loads((here / "c.toml").read_text())["obstacle"][0]
    assert (kept["left_csv"], kept["right_csv"]) == ("l.csv", "r.csv")


def test_an_argument_that_is_wrong_is_named_as_it_is_in_python() -> None:
    """And is a ValueError."""
    with pytest.raises(ValueError, match=r"speed_m_s: a speed of 99 m/s \(allowed: 0.01 to 30\)"):
        trundle.run("teasel", "kerb-50", speed_m_s=99.0)
    with pytest.raises(trundle.InputError, match="dt_ms: a step of 7 ms"):
        trundle.run("teasel", "kerb-50", dt_ms=7.0)
    with pytest.raises(ValueError, match='did you mean "teasel"'):
        trundle.run("teasle", "kerb-50")
    with pytest.raises(ValueError, match=r"factor: 0\.5 is no factor"):
        trundle.sheet("teasel", factor=0.5)
    with pytest.raises(ValueError, match="speed_m_s"):
        trundle.limits("teasel", speed_m_s=0.0)


def test_a_vehicle_that_cannot_stand_is_told_by_file_and_line() -> None:
    """As the command does."""
    with pytest.raises(trundle.StandingError, match=r"teasel\.toml:\d+: bogie"):
        trundle.run(vehicle_input("teasel", {"hull.mass_kg": 3000}), "kerb-50")


def test_a_sheet_reads_well() -> None:
    """Short by itself, whole when printed."""
    sheet = trundle.sheet("barrow")
    assert len(repr(sheet).splitlines()) == 3
    assert "Take care" in str(sheet)
    assert "Barrow" in repr(sheet)


def test_a_comparison_of_objects_ranks_them(tmp_path: Path) -> None:
    """Two thicknesses; the table names fields as the file does; one wrong variant is a row with its reason."""
    vehicle, course = trundle.load_vehicle("teasel"), trundle.load_course("kerb-50", {"obstacle.1.height_mm": 30})
    found = trundle.compare(vehicle, course, {"bogie.*.spring.thickness_mm": [3.0, 3.5, 900.0]})
    assert list(found.table["state"]) == ["done", "done", "refused"]
    assert set(found.table["vehicle"]) == {"teasel"}
    assert len(found.ranking.dropna(subset=["place"])) >= 2
    assert "3 runs (2 done, 1 refused)" in repr(found)
    assert "bogie.*.spring.thickness_mm" in repr(found)
