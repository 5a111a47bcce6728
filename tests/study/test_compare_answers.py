"""What `trundle compare` says of odd questions: the exit code, the names, and only what was really run."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from study_fakes import fake_run

from trundle.cli.main import main
from trundle.errors import InputError
from trundle.spec.shipped import find as shipped
from trundle.study import find as search
from trundle.study.case import names_of
from trundle.study.grid import make_plan, remarks
from trundle.study.runs import How, run_cases
from trundle.study.tolerance import chance_correlation, fewest_reached, tolerance_study

HEAVY = ("--set", "hull.mass_kg=4500")
"""More than Teasel's springs can carry."""


def call(capsys: pytest.CaptureFixture[str], *args: object) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a command."""
    with pytest.raises(SystemExit) as caught:
        main([str(a) for a in args])
    out, err = capsys.readouterr()
    assert isinstance(caught.value.code, int)
    return caught.value.code, out, err


def stopping(after: int) -> How:
    """Ctrl-C after so many runs."""

    def progress(done: int, total: int) -> None:
        if done == after:
            raise KeyboardInterrupt

    return How(function=fake_run, workers=1, progress=progress)


@pytest.mark.parametrize(
    "asked",
    [
        (*HEAVY, "--tolerance", "hull.mass_kg=5%", "--samples", 4),
        ("--find", "--vary", "hull.mass_kg=4500,5000"),
        ("--vary", "hull.mass_kg=4500,4600"),
        HEAVY,
    ],
)
def test_where_nothing_can_be_run_the_reason_is_said(
    asked: tuple[object, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = call(capsys, "compare", "teasel", "kerb-50", *asked, "--out", tmp_path, "--workers", 1)
    assert code == 2
    assert "the springs cannot carry the hull" in err
    assert "Traceback" not in err
    assert (tmp_path / "runs.csv").exists()
    assert "fault of Trundle" not in out + err


def test_runs_that_take_too_long_are_an_early_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("compare", "teasel", "kerb-50", "--budget-s", 0.001, "--out", tmp_path, "--workers", 1)
    code, _, err = call(capsys, *asked)
    assert code == 3
    assert "did not end within 0.001 s" in err


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--vary", "hull.mass_kg=8mm,260"], '"8mm" is a length; a mass is wanted'),
        (["--vary", "hull.mass_kg=260,nan"], "nan is not a number"),
        (["--vary", "bogie.*.spring.thickness_mm=thin"], 'a number is wanted (it is "thin")'),
        (["--listed", "--vary", "vehicle=teasel,wren", "--vary", "drive.grip=0.7,0.8"], "not whole files"),
        (["--cluster", ""], "is no address"),
        (["--find", "--vary", "hull.mass_kg=200:300", "--samples", "2"], "8 to 100000"),
        (["--tolerance", "track.links=1", "--samples", "2"], "a whole number is wanted"),
        (["--tolerance", "bogie.*.arm_mm=210", "--samples", "2"], "out of range"),
    ],
)
def test_values_that_can_never_be_are_refused_before_anything_runs(
    asked: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = call(capsys, "compare", "teasel", "kerb-50", *asked, "--out", tmp_path / "o")
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.splitlines()) == 1
    assert not (tmp_path / "o").exists()


@pytest.mark.parametrize("command", [["compare"], ["baseline", "keep"], ["baseline", "check"]])
def test_help_says_whom_a_cluster_has_to_trust(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = call(capsys, *command, "--help")
    assert code == 0
    assert "network where you trust everyone" in " ".join(out.split())


def test_a_limit_that_no_run_gives_is_found_in_the_first_run() -> None:
    ran: list[int] = []
    how = How(function=fake_run, workers=1, progress=lambda done, total: ran.append(done))
    with pytest.raises(InputError, match="did you mean"):
        search.find("teasel", ["yard"], ["hull.mass_kg=200:300:1"], ["peak_seat<2"], how=how)
    assert not ran


def test_files_of_one_name_are_told_apart(tmp_path: Path) -> None:
    a, b, c = (tmp_path / f / "way.toml" for f in ("a", "b", "c/b"))
    other = tmp_path / "d" / "yard.toml"
    assert names_of([a, b, other]) == {a: "a/way", b: "b/way", other: "yard"}
    assert names_of([b, c]) == {b: f"{tmp_path.name}/b/way", c: "c/b/way"}
    for folder, course in (("a", "kerb-50"), ("b", "kerb-100")):
        (tmp_path / folder).mkdir()
        shutil.copy(shipped("courses", course), tmp_path / folder / "way.toml")
        shutil.copy(shipped("vehicles", "teasel"), tmp_path / folder / "hull.toml")
    vary = [f"vehicle={tmp_path / 'b/hull.toml'}"]
    study = run_cases(make_plan(tmp_path / "a/hull.toml", [a, b], vary), How(function=fake_run, workers=1))
    assert sorted(set(study.table["course"])) == ["a/way", "b/way"]
    assert list(study.table["vehicle"]) == ["a/hull"] * 2 + ["b/hull"] * 2
    found = tolerance_study("teasel", [a, b], ["hull.mass_kg=5%"], samples=8, how=How(function=fake_run, workers=1))
    assert list(dict.fromkeys(found.chances["course"])) == ["a/way", "b/way"]
    assert set(found.chances["runs"]) == {8}


def test_a_speed_that_the_course_overrules_is_remarked_upon() -> None:
    """Every shipped course sets its own; one that does not is none of its business."""
    assert "Use --speed" in remarks(make_plan("teasel", ["kerb-50"], ["drive.speed_m_s=0.6,1.8"]))[0]
    assert "Use --speed" in remarks(make_plan("teasel", ["kerb-50"], settings={"drive.speed_m_s": 0.6}))[0]
    assert not remarks(make_plan("teasel", ["kerb-50"], ["hull.mass_kg=260,270"]))


def test_a_stopped_search_tells_of_what_was_run() -> None:
    found = search.find("teasel", ["yard"], ["hull.mass_kg=200:300:1"], [], how=stopping(3))
    assert found.study.interrupted
    assert (found.study.ran, found.study.reused, len(found.table)) == (3, 0, 3)
    assert found.best is not None
    none = search.find("teasel", ["kerb-50", "yard"], ["hull.mass_kg=200:300:1"], [], how=stopping(1))
    assert (len(none.table), none.best, none.nearest) == (0, None, None)


def test_a_stopped_sample_counts_what_was_drawn() -> None:
    found = tolerance_study("teasel", ["yard"], ["hull.mass_kg=5%"], samples=64, how=stopping(5))
    assert found.study.interrupted
    assert fewest_reached(found.study.table) == 4  # one is the vehicle as written


def test_the_threshold_for_chance() -> None:
    """Spearman at 5 %, two-sided, for n = 30: 0.362 in tables of exact critical values (from memory); the normal
    approximation is within 0.01 of it there. For one or two vehicles everything may be chance."""
    assert chance_correlation(30) == pytest.approx(0.362, abs=0.01)
    assert chance_correlation(1) == chance_correlation(2) == 1.0


def test_another_comparison_does_not_write_over_the_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for vary in ("hull.mass_kg=4500", "drive.grip=0.5", "bogie.*.spring.thickness_mm=5"):
        call(capsys, "compare", "teasel", "kerb-50", "--vary", vary, "--workers", 1)
    names = {p.name for p in Path("results").iterdir()}
    assert names == {f"compare-teasel-kerb-50-by-{n}" for n in ("mass_kg", "grip", "thickness_mm")}


def test_an_older_report_does_not_stay_beside_a_stopped_table(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "report.html").write_text("of another study")

    def stopped(cases: Any, how: How, options: Any) -> Any:
        return run_cases(cases, How(how.out, function=fake_run, workers=1, progress=stopping(2).progress), options)

    monkeypatch.setattr("trundle.study.runs.run_cases", stopped)
    code, out, err = call(capsys, "compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=240:300:1", "--out", tmp_path)
    assert code == 3
    assert "of 61 runs were not made" in out
    assert ": not run" not in out
    assert "Stopped" in err
    assert not (tmp_path / "report.html").exists()


def test_speeds_that_alone_differ_are_variants(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With nothing else varied each has a row of its own; else a variant is told at its worst over them."""
    plan = make_plan("teasel", ["kerb-50", "yard"], speeds_m_s=[0.6, 1.2])
    assert [(c.variant, c.speed_m_s, c.course.stem) for c in plan] == [
        (1, 0.6, "kerb-50"), (1, 0.6, "yard"), (2, 1.2, "kerb-50"), (2, 1.2, "yard"),
    ]  # fmt: skip
    both = list(make_plan("teasel", ["kerb-50"], ["hull.mass_kg=260,270"], speeds_m_s=[0.6, 1.2]))
    assert [c.variant for c in both] == [1, 1, 2, 2]
    asked = ("compare", "teasel", "kerb-50", "--speed", "0.6,1.2", "--workers", 1)
    _, out, _ = call(capsys, *asked, "--out", tmp_path / "a")
    assert "worst over the course." in out
    assert "speed_m_s" in out
    _, out, _ = call(capsys, *asked, "--vary", "hull.mass_kg=260,270", "--out", tmp_path / "b")
    assert "worst over the course and speeds." in out
