"""A very long run asks first, and one that does not fit in memory is refused whatever is said."""

from __future__ import annotations

import math
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.unit.test_cli_refusals import call
from trundle.cli import size
from trundle.cli.size import ASK_STEPS, COPIES, Size, ask_first, size_of
from trundle.engine.length import MOST_STEPS
from trundle.errors import InputError
from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle


def answers(monkeypatch: pytest.MonkeyPatch, said: bool | None) -> list[str]:
    """A terminal at which somebody says yes or no, or (None) no terminal. Gives the questions asked."""
    asked: list[str] = []

    def confirm(text: str, default: bool, err: bool) -> bool:
        assert (default, err) == (False, True)
        assert said is not None
        asked.append(text)
        return said

    monkeypatch.setattr(sys.stdin, "isatty", lambda: said is not None, raising=False)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: said is not None, raising=False)
    monkeypatch.setattr(size.click, "confirm", confirm)
    return asked


LONG = Size(ASK_STEPS + 1, 1_400.0)


def test_a_short_run_is_not_asked_about(monkeypatch: pytest.MonkeyPatch) -> None:
    """Up to the stated number of steps."""
    asked = answers(monkeypatch, False)
    ask_first(Size(ASK_STEPS, 1_400.0), False)
    assert asked == []


def test_a_long_run_asks_at_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once, with steps and memory in the question; yes starts it, no does not."""
    monkeypatch.setattr(size, "_memory_MB", lambda: math.inf)
    asked = answers(monkeypatch, True)
    ask_first(LONG, False)
    assert asked == ["That is about 500,001 steps, which fill about 1,400 MB of memory. Start it?"]
    answers(monkeypatch, False)
    with pytest.raises(InputError, match="not started"):
        ask_first(LONG, False)


def test_a_long_run_wants_yes_where_nobody_can_be_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """In a pipe or a script; --yes asks nothing, at a terminal neither."""
    monkeypatch.setattr(size, "_memory_MB", lambda: math.inf)
    answers(monkeypatch, None)
    with pytest.raises(InputError, match=r"give --yes to start it \(allowed: up to 500,000 steps without --yes\)"):
        ask_first(LONG, False)
    ask_first(LONG, True)
    asked = answers(monkeypatch, False)
    ask_first(LONG, True)
    assert asked == []


def test_what_does_not_fit_is_refused_with_yes_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """More steps than the engine takes, or more memory than the machine has; the limit in MB is said."""
    answers(monkeypatch, True)
    with pytest.raises(InputError, match=r"1,000,000,000 steps, which fill about 2,800,000 MB .* or 14,000 MB, with"):
        ask_first(Size(10**9, 2.8e6), True)
    ask_first(Size(MOST_STEPS, 1.0), True)
    monkeypatch.setattr(size, "_memory_MB", lambda: 1_000.0)
    with pytest.raises(InputError, match="up to the 1,000 MB that this computer has"):
        ask_first(LONG, True)


@pytest.mark.parametrize(("name", "speed_m_s"), [("teasel", None), ("teasel", 1.2), ("wren", None)])
def test_the_size_said_is_about_the_size_there_is(name: str, speed_m_s: float | None) -> None:
    """Against a run that reaches the end: its rows, within the 6.7 s that the engine allows for slow going and the
    2 s that a hull of some 2 m takes over its own length (it starts on the course and ends with its nose); and the
    log's bytes from the timeline, whose columns are those of the log but for a few (within a fifth)."""
    vehicle, course = load_vehicle(find("vehicles", name)), load_course(find("courses", "kerb-50"))
    told = size_of(vehicle, course, None, 5.0, speed_m_s)
    result = run(vehicle, course, speed_m_s=speed_m_s, near=1)
    assert result.completed
    rows, columns = result.timeline.shape
    assert rows <= told.steps <= rows + 8_700
    assert told.memory_MB == pytest.approx(COPIES * 8e-6 * columns * told.steps, rel=0.2)


def test_the_command_asks_before_it_runs(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Exit code 2 without a terminal, naming --yes; a thousand million steps are refused with it too."""
    answers(monkeypatch, None)
    slow = ["run", "teasel", "kerb-50", "--speed", "0.01"]
    code, out, err = call(capsys, *slow)
    assert (code, out) == (2, "")
    assert "steps, which fill about" in err
    assert "give --yes to start it" in err
    code, out, err = call(capsys, *slow, "--dt-ms", "0.01", "--yes")
    assert (code, out) == (2, "")
    assert "up to 5,000,000 steps or" in err
    code, _, err = call(capsys, *slow[:3], "--dt-ms", "0.02", "--how-sure")
    assert code == 2
    assert "give --yes" in err


def test_a_study_of_very_long_runs_asks_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The same question for compare, before anything is run, with the memory of both workers."""
    course = tmp_path / "long.toml"
    course.write_text(
        'name = "Long"\nrun_up_mm = 2500\nrun_out_mm = 900000\n[[obstacle]]\nkind = "kerb up"\nheight_mm = 20\n'
    )
    given = ("compare", "teasel", str(course), "--vary", "hull.mass_kg=250,300", "--workers", "2", "--dt-ms", "0.5")
    code, out, err = call(capsys, *given, "--out", str(tmp_path / "study"))
    assert (code, out) == (2, "")
    assert "the longest of these runs is about 1,5" in err
    assert "--yes" in err
    assert not (tmp_path / "study").exists()


HOUR = Size(3_600_000, 1_030.0, 3_300.0, 1_700.0)


def test_the_disk_that_a_long_run_wants_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """For its log while it lasts, and for what is kept."""
    answers(monkeypatch, None)
    with pytest.raises(InputError, match=r"1,030 MB of memory and 3,300 MB of disk for temporary files while it lasts, "
                       r"1,700 MB for good; give --yes"):  # fmt: skip
        ask_first(HOUR, False)


def test_a_disk_without_room_is_refused_before_the_run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """With --yes too, and told where room is wanted; on one disk both parts count together."""
    free = {"MB": 5_100.0}
    monkeypatch.setattr(size.shutil, "disk_usage", lambda _: SimpleNamespace(free=1e6 * free["MB"]))
    monkeypatch.setattr("trundle.engine.spill.spill_folder", lambda: tmp_path)
    ask_first(HOUR, True, folder=tmp_path / "not" / "yet" / "there")
    free["MB"] = 4_900.0
    with pytest.raises(InputError, match=r"up to the 4,900 MB that are free in .*TMPDIR"):
        ask_first(HOUR, True, folder=tmp_path / "not" / "yet" / "there")
    ask_first(HOUR, True)
    free["MB"] = 3_200.0
    with pytest.raises(InputError, match=r"up to the 3,200 MB that are free in .*TMPDIR"):
        ask_first(HOUR, True)


def test_the_memory_of_a_long_run_is_bounded() -> None:
    """An hour takes a third more than what goes to a file at the least, not seventeen times as much."""
    course = load_course(find("courses", "kerb-50"))
    vehicle = load_vehicle(find("vehicles", "teasel"))
    short, long = (size_of(vehicle, course, None, 5.0, speed) for speed in (1.2, 0.002))
    assert (short.aside_MB, short.memory_MB < 100.0) == (0.0, True)
    assert 2_000_000 < long.steps < 5_000_000
    assert long.aside_MB == pytest.approx(long.steps / short.steps * short.memory_MB / COPIES)
    assert 768.0 < long.memory_MB < 1_300.0
    assert long.kept_MB < long.aside_MB
