"""A course from somebody else, kept beside a run: nothing outside the folder, nothing of the run's own replaced."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import trundle
from trundle.record.store import read_run
from trundle.result.inputs import course_input
from trundle.result.kept_course import LONGEST, safe_names
from trundle.result.result import Result

PROFILE = "x_mm,y_mm\n0,0\n500,20\n1000,0\n2000,0\n"
PLACES = [
    "p.csv",
    "../data/p.csv",
    "../../.bashrc",
    "timeline.parquet",
    "events.csv",
    "EVENTS.CSV",
    "vehicle.toml",
    "report.html",
    "deep/er/p.csv",
    "..\\evil.csv",
    "CON.csv",
    "a b.txt",
    " .csv",
    "ä" * 100,
]


@pytest.fixture(scope="module")
def rolled() -> Result:
    """A run to keep with any course."""
    return trundle.run("teasel", "kerb-50")


def course_with(folder: Path, names: list[str]) -> Path:
    """A course of a profile under each of these names, each with a height of its own."""
    folder.mkdir(parents=True)
    text = '# from a friend\nname = "Sent"\n'
    for number, name in enumerate(names):
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(PROFILE.replace("20", str(20 + number)))
        text += f"\n[[obstacle]]\nkind = \"surveyed profile\"  # level\nfile = '{name}'\n"
    (folder / "c.toml").write_text(text)
    return folder / "c.toml"


def everything(folder: Path) -> dict[str, bytes]:
    """All files below a folder."""
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_run_writes_only_inside_its_folder(tmp_path: Path, rolled: Result) -> None:
    """Whatever files a course names: they lie under bare names of their own, and what stood outside stands."""
    path = course_with(tmp_path / "home" / "courses" / "mine", PLACES)
    before = everything(tmp_path)
    given = course_input(path)
    result = Result(**{**vars_of(rolled), "course": given.course, "course_input": given})
    run = result.save(tmp_path / "out" / "run")
    after = everything(tmp_path)
    assert {n: after[n] for n in before} == before
    new = set(after) - set(before)
    assert all(Path(n).parts[:2] == ("out", "run") and len(Path(n).parts) == 3 for n in new), new
    assert len([n for n in new if n.endswith(".csv")]) == len(PLACES) + 1  # and events.csv
    assert read_run(run).timeline.equals(rolled.timeline)
    kept = (run / "course.toml").read_text(encoding="utf-8")
    assert "# from a friend" in kept
    assert kept.count("# level") == len(PLACES)


def vars_of(result: Result) -> dict[str, object]:
    """The fields of a result, to make another of them."""
    return {name: getattr(result, name) for name in Result.__dataclass_fields__}


def test_a_kept_course_can_be_moved_when_its_source_is_gone(tmp_path: Path, rolled: Result) -> None:
    """It lays the same ground, and keeps itself again just so."""
    path = course_with(tmp_path / "a" / "b", PLACES)
    given = course_input(path)
    shutil.rmtree(tmp_path / "a")  # also before it is kept: a run may be long
    Result(**{**vars_of(rolled), "course": given.course, "course_input": given}).save(tmp_path / "run")
    (tmp_path / "run").rename(tmp_path / "moved")
    again = course_input(tmp_path / "moved" / "course.toml")
    assert [o.files_read() for o in again.course.obstacle] == [o.files_read() for o in given.course.obstacle]
    assert again.kept() == given.kept()


def test_a_course_that_stands_alone_is_kept_as_it_is() -> None:
    """To the last blank."""
    given = course_input("garden-path")
    assert given.path is not None
    assert given.kept().text == given.path.read_text(encoding="utf-8")
    assert list(given.kept().files) == ["garden-path.csv"]


def test_names_differ_on_every_disk() -> None:
    """Also where capital letters are not told apart, and where 255 bytes are the longest."""
    names = safe_names(["a/p.csv", "b/P.csv", "c/p.CSV", "p.csv", "p-2.csv", *PLACES])
    assert len({n.casefold() for n in names.values()}) == len(set(names))
    assert all(len(n.encode()) <= 4 * LONGEST + 8 and Path(n).name == n for n in names.values())
    assert names["a/p.csv"] == "p.csv"


def test_what_is_kept_is_what_was_run(tmp_path: Path) -> None:
    """The builder may change the file while a run goes on."""
    file = tmp_path / "c.toml"
    file.write_text('name = "First"\n[[obstacle]]\nkind = "kerb up"\nheight_mm = 40\n')
    given = course_input(file)
    file.write_text('name = "Second"\n')
    assert "First" in given.kept().text
