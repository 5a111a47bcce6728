"""A fault of the program or of the computer is never a result: it is named, and tried again."""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any, cast

import pytest
import study_fakes

from trundle.errors import ComputerError, InputError, Problem
from trundle.study import baseline as guard
from trundle.study.engine import Engine, StudyStoppedError
from trundle.study.identity import SHOWS, identity
from trundle.study.pool import Outcome, run_all
from trundle.study.rank import rank
from trundle.study.runs import How, run_cases

FAULTS = [
    MemoryError(),
    OSError(errno.ENOSPC, "No space left on device"),
    ImportError("libLLVM.so"),
    ZeroDivisionError("division by zero"),
    ComputerError(Problem("cannot be read: Permission denied", file="p.csv")),
    SystemExit(3),
]


def broken(payload: dict[str, Any]) -> Any:
    """A fault, of the kind asked for, as long as a file stands."""
    if Path(payload["while"]).exists():
        raise FAULTS[payload["fault"]]
    return {"x": 1.0}


@pytest.mark.parametrize("fault", range(len(FAULTS)))
def test_every_exception_but_a_refusal_is_a_fault(fault: int, tmp_path: Path) -> None:
    """Named with its type and what it says."""
    (tmp_path / "on").touch()
    found: list[Outcome] = []
    run_all([("k", {"fault": fault, "while": str(tmp_path / "on")})], broken, found.append, workers=1)
    (one,) = found
    assert one.kind == "fault"
    assert str(FAULTS[fault]) in one.reason
    assert one.reason.startswith(type(FAULTS[fault]).__name__) or isinstance(FAULTS[fault], ComputerError)


def short_of_memory(payload: dict[str, Any]) -> dict[str, Any]:
    """A run under which the memory ends, as long as a file stands; mass 13 is no vehicle."""
    if Path(os.environ["TRUNDLE_TEST_SHORT"]).exists() and payload["vehicle_settings"].get("hull.mass_kg") == 210:
        raise MemoryError
    return study_fakes.fake_run(payload)


@pytest.fixture
def short(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file, as long as which stands one of the runs has not memory enough."""
    file = tmp_path / "short"
    file.touch()
    monkeypatch.setenv("TRUNDLE_TEST_SHORT", str(file))
    return file


def test_a_study_is_whole_once_the_fault_is_gone(short: Path, tmp_path: Path) -> None:
    """The runs that had no memory are tried again by the same call; those that are done are not."""
    plan = study_fakes.make_plan(tmp_path, range(200, 230, 10))
    how = How(tmp_path / "out", workers=2, function=short_of_memory)
    first = run_cases(plan, how)
    assert first.table.groupby("state").size().to_dict() == {"done": 6, "fault": 3}
    order = rank(first.table)
    assert len(order) == 6
    assert not order["hull.mass_kg"].eq(210).any()  # no place, not even the last
    short.unlink()
    again = run_cases(plan, how)
    assert (again.ran, again.reused) == (3, 6)
    assert again.table["state"].eq("done").all()
    whole = run_cases(plan, How(workers=2, function=short_of_memory))
    assert again.table.equals(whole.table)


def test_a_baseline_is_neither_kept_nor_held_by_a_fault(
    short: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Code 3, the run named, nothing written."""
    (tmp_path / "set.toml").write_text(
        'vehicles = ["teasel"]\ncourses = ["kerb-50"]\nsettings = { "hull.mass_kg" = 210 }\n'
    )
    chosen = guard.open_baseline(tmp_path / "set.toml")
    how = How(workers=1, function=short_of_memory)
    with pytest.raises(StudyStoppedError, match=r"fault of the program or the computer.*MemoryError") as stopped:
        guard.keep(chosen, how)
    assert stopped.value.exit_code == 3
    assert not chosen.kept.exists()
    short.unlink()
    guard.keep(chosen, how)
    kept = chosen.kept.read_bytes()
    short.touch()
    with pytest.raises(StudyStoppedError, match="Nothing was kept or compared"):
        guard.check(chosen, how, accept="for a test")
    assert chosen.kept.read_bytes() == kept


def test_a_misspelt_tolerance_is_found_before_the_runs(tmp_path: Path) -> None:
    """Hours of them may follow."""
    (tmp_path / "set.toml").write_text('vehicles = ["teasel"]\ncourses = ["kerb-50"]\n[tolerance]\npeek_seat_g = 1\n')

    def never(payload: dict[str, Any]) -> dict[str, Any]:
        raise AssertionError

    with pytest.raises(InputError, match=r'set.toml:4: tolerance.peek_seat_g.*did you mean "peak_seat_g"'):
        guard.keep(guard.open_baseline(tmp_path / "set.toml"), How(workers=1, function=never))


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is no such limit")
def test_a_study_under_a_memory_limit(tmp_path: Path) -> None:
    """The command itself: no refusal and no fault of Trundle's own while the limit stands, all runs after it."""
    out = tmp_path / "out"
    command = [
        sys.executable, "-m", "trundle.cli.main", "compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=60,65",
        "--workers", "1", "--out", str(out),
    ]  # fmt: skip
    limit = f'ulimit -v {700_000}; exec "$@"'
    short = subprocess.run(["bash", "-c", limit, "-", *command], capture_output=True, text=True, check=False)
    assert short.returncode in (0, 2, 3), short.stderr  # how much a process needs differs from system to system
    assert "Traceback" not in short.stderr
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert (out / "runs.csv").read_text().count(",done,") == 2
    assert "refused" not in (out / "runs.csv").read_text()


def test_every_library_that_changes_figures_is_in_a_studys_key() -> None:
    """All that the project needs but what only shows (held against its own list), so that a new one is not left out."""
    import tomllib

    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {re.split(r"[^\w-]", line)[0] for line in project["dependencies"]}
    assert needed - SHOWS <= set(identity())
    assert {"scipy", "numba", "llvmlite", "pymunk", "numpy", "pandas"} <= set(identity())


class GoneEngine:
    """An engine that is gone at the first task."""

    workers, strikes, survives_kill = 1, 2, True

    def submit(self, *_: Any) -> Any:
        """Not there any more."""
        raise StudyStoppedError(Problem("the cluster has gone (OSError)", argument="cluster"))

    def abort(self, flight: list[Any]) -> None:
        """Nothing was begun."""


def test_a_cluster_that_goes_says_what_is_left(tmp_path: Path) -> None:
    """A study's folder keeps what is done; a baseline's runs are in memory until all are there."""
    plan = study_fakes.make_plan(tmp_path, range(200, 210, 10))
    gone = cast("Engine", GoneEngine())  # only what is called of it
    with pytest.raises(StudyStoppedError, match="what is done is kept, the same command goes on"):
        run_cases(plan, How(tmp_path / "out", engine=gone, function=study_fakes.fake_run))
    (tmp_path / "set.toml").write_text('vehicles = ["teasel"]\ncourses = ["kerb-50"]\n')
    with pytest.raises(StudyStoppedError, match=r"has gone .*; nothing was kept or compared") as stopped:
        guard.keep(guard.open_baseline(tmp_path / "set.toml"), How(engine=gone, function=study_fakes.fake_run))
    assert stopped.value.exit_code == 3
    assert "is kept" not in str(stopped.value)
