"""Runs as the viewer holds them, and folders that are no runs."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from viewer_parts import film, keep, result

from trundle.cli.watch import watch
from trundle.errors import InputError
from trundle.record.store import SUMMARY, TIMELINE
from trundle_viewer.film import check_same_course, film_of_folder, film_of_result, same_course, wanted

ROOT = Path(__file__).parents[2]


def test_a_folder_reads_back_as_the_run_it_was(tmp_path: Path) -> None:
    kept, fresh = film_of_folder(keep(tmp_path / "a")), film()
    assert kept.rows == fresh.rows
    for name in wanted(fresh.assembly):
        assert np.array_equal(kept.col(name), fresh.col(name)), name
    assert [(e.kind, e.where, e.row) for e in kept.events] == [(e.kind, e.where, e.row) for e in fresh.events]
    # The geometry is rebuilt from the files: the same to the idler's place.
    a, b = kept.assembly.model.rings, fresh.assembly.model.rings
    assert np.allclose(a.x, b.x, atol=1e-9)


def test_ten_minutes_stay_within_memory() -> None:
    """600 s at 1 ms with 8 stations in well under the 1 GB of a small machine: here 4 bytes a value."""
    f = film()
    own = [n for n in f.place if n.startswith(("wheel.", "arm."))]
    columns = len(f.place) - len(own) + len(own) * 8 / len(f.assembly.wheel)
    eight = f._data.itemsize * columns + f._travel.itemsize
    assert eight * 600_000 < 250e6


def test_missing_cut_short_and_foreign_folders_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such run folder"):
        film_of_folder(tmp_path / "none")
    (tmp_path / "empty").mkdir()
    with pytest.raises(InputError, match="is not a run folder"):
        film_of_folder(tmp_path / "empty")
    cut = keep(tmp_path / "cut")
    whole = (cut / TIMELINE).read_bytes()
    (cut / TIMELINE).write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InputError, match="cannot be read"):
        film_of_folder(cut)
    old = keep(tmp_path / "old")
    summary = json.loads((old / SUMMARY).read_text())
    (old / SUMMARY).write_text(json.dumps({**summary, "format": 0}))
    with pytest.raises(InputError, match="layout 0"):
        film_of_folder(old)
    (old / SUMMARY).write_text(json.dumps({"format": summary["format"]}))
    with pytest.raises(InputError, match="cut short"):
        film_of_folder(old)


def test_a_timeline_of_another_vehicle_is_refused(tmp_path: Path) -> None:
    mixed = keep(tmp_path / "mixed")
    text = (mixed / "vehicle.toml").read_text()
    (mixed / "vehicle.toml").write_text(text.replace("bogie.front", "bogie.foremost"))
    with pytest.raises(InputError, match="does not belong to the vehicle"):
        film_of_folder(mixed)


def test_two_courses_cannot_be_laid_over_each_other() -> None:
    other = film_of_result(result("teasel", "kerb-50"))
    assert same_course(film(), film())
    with pytest.raises(InputError, match="different courses"):
        check_same_course(film(), other)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["nothing-there"], "no such vehicle file"),
        (["teasel", "--movie", "a.gif"], "name a course too"),
        (["teasel", "kerb-1000"], "no such course"),
        (["teasel", "kerb-100", "--movie", "a.avi"], "movie"),
        (["teasel", "kerb-100", "--size", "big"], "no size"),
        (["teasel", "kerb-100", "--size", "20x20"], "320x240"),
        (["teasel", "kerb-100", "--slow", "3"], "--movie"),
        (["teasel", "kerb-100", "--frame", "99", "a.png"], "outside the run"),
        (["teasel", "kerb-100", "--frame", "soon", "a.png"], "no time"),
        (["teasel", "kerb-100", "--movie", "a.gif", "--frame", "1", "a.png"], "not both"),
    ],
)
def test_wrong_words_are_answered_in_one_line(
    args: list[str], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(watch, args)
    assert isinstance(done.exception, InputError)
    assert says in str(done.exception)
    assert not list(tmp_path.iterdir())


def test_only_calls_that_both_pygame_lines_have() -> None:
    """pygame 2.6.1 and pygame-ce 2.5: names of the latter alone (its release notes) are not used."""
    only_ce = re.compile(r"\b(draw\.aacircle|flood_fill|FRect|pygame\.Window|pygame\.geometry|pygame\.system|fblits)\b")
    for file in (ROOT / "viewer" / "trundle_viewer").glob("*.py"):
        assert not only_ce.search(file.read_text()), file.name


def test_nothing_in_sim_imports_the_viewer_but_a_command_when_called() -> None:
    for file in (ROOT / "sim").rglob("*.py"):
        tree = ast.parse(file.read_text())
        inside = [n for f in ast.walk(tree) if isinstance(f, ast.FunctionDef) for n in ast.walk(f)]
        checked = [
            n
            for i in ast.walk(tree)
            if isinstance(i, ast.If) and "TYPE_CHECKING" in ast.dump(i.test)
            for n in ast.walk(i)
        ]
        for node in ast.walk(tree):
            names = (
                [a.name for a in node.names]
                if isinstance(node, ast.Import)
                else [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else []
            )
            if any(n.split(".")[0] == "trundle_viewer" for n in names):
                assert file.parent.name == "cli", file
                assert node in inside or node in checked, file
