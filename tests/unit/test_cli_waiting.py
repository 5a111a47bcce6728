"""The one long wait on a new machine is told of, in every command, and only when it is there."""

from __future__ import annotations

import io
import sys
import time

import numba
import pytest

from trundle.cli import waiting
from trundle.cli.waiting import Compiling, busy, progress
from trundle.law import kept
from trundle.law.compile import PLAIN, _listen, tell_of_compiling
from trundle.result import ready


class Terminal(io.StringIO):
    """A stderr that is one."""

    def isatty(self) -> bool:
        return True


@pytest.mark.skipif(PLAIN, reason="nothing is compiled")
def test_compiling_is_told_of_at_its_begin_and_its_end() -> None:
    """One kernel that calls another: both are counted, and at the end nothing is going on any more."""
    told: list[tuple[int, bool]] = []
    inside = numba.njit(lambda x: x + 1.0)
    outside = numba.njit(lambda x: inside(x) * 2.0)
    _listen()
    tell_of_compiling(lambda done, going: told.append((done, going)))
    try:
        assert outside(1.0) == 4.0
        first = list(told)
        assert outside(2.0) == 6.0
    finally:
        tell_of_compiling(None)
    assert told == first, "what is compiled already is not told of"
    assert first[0][1]
    assert not first[-1][1]
    assert first[-1][0] - first[0][0] == 2
    assert [going for _, going in first].count(False) == 1


def test_without_a_terminal_it_is_said_once(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not in what a script reads, and not for every kernel."""
    monkeypatch.setattr(waiting, "is_compiled", lambda: False)
    show = Compiling()
    for done in range(5):
        show(done, True)
        show(done, False)
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "Getting the force law ready" in err


def test_a_piece_that_only_a_picture_calls_is_not_told_of_as_the_whole(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """After a first run the long wait is over, and is not announced once more."""
    monkeypatch.setattr(waiting, "is_compiled", lambda: True)
    Compiling()(0, True)
    said = capsys.readouterr().err
    assert "a further part of the force law" in said
    assert "half a minute" not in said


def test_on_a_terminal_a_line_moves_and_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """It counts kernels, and nothing of it is left when something else is printed."""
    monkeypatch.setattr(waiting, "is_compiled", lambda: False)
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    show = Compiling()
    show(0, True)
    assert show.bar is not None
    assert show.bar.live.is_started
    show(3, True)
    show(4, False)
    assert not show.bar.live.is_started
    assert "3 kernels" in screen.getvalue() or "4 kernels" in screen.getvalue()


def test_workers_find_everything_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    """A short run is made in this process if, and only if, the step loop has not been compiled."""
    ran: list[object] = []
    monkeypatch.setattr(ready, "PLAIN", False)
    monkeypatch.setattr(ready, "run", lambda *given, near: ran.append(given))
    monkeypatch.setattr(ready, "is_compiled", lambda: True)
    ready.make_ready()
    assert ran == []
    monkeypatch.setattr(ready, "is_compiled", lambda: False)
    ready.make_ready()
    assert len(ran) == 1


def test_the_short_run_is_short() -> None:
    """It reaches its end, in far less time than compiling takes."""
    monkey = pytest.MonkeyPatch()
    with monkey.context() as m:
        results = []
        real = ready.run
        m.setattr(ready, "PLAIN", False)
        m.setattr(ready, "is_compiled", lambda: False)
        m.setattr(ready, "run", lambda *given, near: results.append(real(*given, near=near)))
        ready.make_ready()
    assert results[0].completed
    assert results[0].summary["duration_s"] < 10.0


def test_what_else_there_is_to_it_is_one_line_each(capsys: pytest.CaptureFixture[str]) -> None:
    """A damaged file is said with the wait that follows from it, and once; so is a wait for another command."""
    show = Compiling()
    for _ in range(3):
        show.news(kept.DAMAGED, "a/b.kernel")
        show(0, True)
        show(1, False)
        show.news(kept.WAITING, "a")
        show.news(kept.UNKEPT, "a: No space left on device")
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines() == [
        "Getting the force law ready again, up to half a minute: a kept file of it is damaged, or others may write it "
        "(a/b.kernel)",
        "Another command is getting the force law ready: waiting for it ...",
        "note: the force law as made ready can be kept nowhere, the next command makes it ready again "
        "(a: No space left on device)",
    ]


def test_what_lasts_is_told_of_and_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of what is over at once; a line of what lasts, and nothing is left of it."""
    monkeypatch.setattr(waiting, "PATIENCE_S", 60.0)
    monkeypatch.setattr(sys, "stderr", Terminal())
    with busy("keeping the run"):
        pass
    assert "keeping" not in sys.stderr.getvalue()
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    with busy("keeping the run"):
        end = time.monotonic() + 20.0
        while "keeping the run" not in sys.stderr.getvalue() and time.monotonic() < end:
            time.sleep(0.01)
    assert "keeping the run" in sys.stderr.getvalue()


def test_the_figures_of_a_long_run_are_told_of(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the bar at its end."""
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    monkeypatch.setattr(sys, "stderr", Terminal())
    with progress("Teasel over the yard") as tell:
        tell(0.5)
        tell(1.0)
    assert "working out its figures" in sys.stderr.getvalue()
