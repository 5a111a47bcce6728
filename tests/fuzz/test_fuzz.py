"""The fuzz in short, and that it would tell if something were wrong."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz import inputs, judge, runner
from tests.fuzz.case import Case, Place
from tests.fuzz.judge import Ended

ROOT = Path(__file__).parents[2]
SEED, INPUTS = 2026, 150


def fuzz(*args: str) -> subprocess.CompletedProcess[str]:
    """`python -m tests.fuzz`."""
    return subprocess.run(
        [sys.executable, "-m", "tests.fuzz", *args], cwd=ROOT, capture_output=True, text=True, check=False
    )


def test_hostile_inputs_do_no_harm() -> None:
    """150 inputs of all families; ten thousand take half an hour: `python -m tests.fuzz`."""
    done = fuzz("--inputs", str(INPUTS), "--seed", str(SEED), "--workers", "2")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
def test_ten_thousand_hostile_inputs_do_no_harm() -> None:
    """All of them."""
    done = fuzz("--inputs", "10000")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("family", ["vehicle", "course", "survey"])
def test_an_input_is_made_again_by_its_number(tmp_path: Path, family: str) -> None:
    """The same command line and the same bytes, so that what went wrong can be looked at."""
    made = []
    for name in ("one", "two"):
        place = Place(tmp_path / name / "0", tmp_path)
        made.append([(inputs.made(7, k, Place(tmp_path / name / str(k), tmp_path), family)) for k in range(15)])
        made[-1].append(judge.snapshot(place.root.parent))
    one, two = ([str(m).replace("/two/", "/one/") for m in of] for of in made)
    assert one[:-1] == two[:-1]
    assert list(made[0][-1]) == list(made[1][-1])


def fine(**changed: object) -> Ended:
    """How a good command ends, but for what is changed. (Keywords from a dictionary of mixed types: none can tell.)"""
    return Ended(**({"code": 0, "out": "done\n", "err": "", "wall_s": 0.1, "memory_MB": 200.0} | changed))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ended", "words"),
    [
        (fine(code=70, err="a fault"), "ended with code 70"),
        (fine(code=-11), "ended with code -11"),
        (fine(code=130), "without a Ctrl-C"),
        (fine(code=1), "a failed check's"),
        (fine(code=2), "without a word"),
        (fine(code=2, err="something is wrong\n"), "without naming"),
        (fine(out="peak seat nan g\n"), "no number in what is said"),
        (fine(err="Traceback (most recent call last):\nKeyError: 3\n"), "a traceback"),
        (fine(err="hull.toml: \x1b[31mred\n"), "a control character"),
        (fine(memory_MB=2500.0), "of memory"),
    ],
)
def test_the_judge_tells(tmp_path: Path, ended: Ended, words: str) -> None:
    """Each thing that must not be, on its own; and nothing of a command that ended well."""
    place = Place(tmp_path / "0", tmp_path)
    place.furnish()
    before = judge.outside(place), judge.snapshot(place.work)
    case = Case(("sheet", "hull.toml"), ("hull.toml",))
    assert [words in said for said in judge.complaints(case, place, before, ended)] == [True]
    assert judge.complaints(case, place, before, fine()) == []


def test_the_judge_sees_what_is_written(tmp_path: Path) -> None:
    """Outside the folder, hidden inside it, and over a file that was only to be read."""
    place = Place(tmp_path / "0", tmp_path)
    place.furnish()
    (place.work / "hull.toml").write_text("a")
    before = judge.outside(place), judge.snapshot(place.work)
    (place.home / ".bashrc").write_text("yours")
    (place.work / ".out-x").mkdir()
    (place.work / "hull.toml").write_text("b")
    (place.work / "out").mkdir()
    assert judge.complaints(Case(("run",), writes=("out",)), place, before, fine()) == [
        "written outside its folder: home/.bashrc",
        "left half made: .out-x",
        "changed or removed what it was not asked to: hull.toml",
    ]


def test_a_command_that_does_not_end_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fresh Python takes longer than 20 ms to load: it is killed, and its code says so."""
    monkeypatch.setattr(runner, "LIMIT_S", 0.02)
    place = Place(tmp_path / "0", tmp_path)
    place.furnish()
    assert runner.run(Case(("sheet", "wren"), process=True), place).code == -9
