"""A command whose stdin, stdout or stderr is closed, full or left, and names that a terminal's markup could read."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import pytest
from rich.console import Console

from tests.unit.test_cli_pipes import as_a_builder_has_it
from tests.unit.test_cli_refusals import call
from trundle.cli import streams, waiting
from trundle.cli.main import trundle
from trundle.cli.stopping import if_stopped
from trundle.report.bars import bar, words
from trundle.report.terminal import screen

ROOT = Path(__file__).parents[2]
SHELL = pytest.mark.skipif(os.name != "posix", reason="streams are closed by a POSIX shell")


def in_shell(redirect: str, *args: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The command with its streams as `redirect` has them (`>&-`)."""
    command = ["sh", "-c", f'exec "$@" {redirect}', "sh", sys.executable, "-m", "trundle.cli.main", *args]
    env = as_a_builder_has_it() | {"PYTHONPATH": str(ROOT)}
    return subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)


@SHELL
@pytest.mark.parametrize("redirect", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-", "2>/dev/full"])
@pytest.mark.parametrize(
    ("args", "code"),
    [(["new", "My hull"], 0), (["course", "kerb-50", "--out", "c.svg"], 0), (["run", "nope", "nope"], 2), ([], 2)],
    ids=lambda v: " ".join(v) if isinstance(v, list) else str(v),
)
def test_a_stream_that_is_closed_or_full(redirect: str, args: list[str], code: int, tmp_path: Path) -> None:
    """The command does what it does, with the code that it has."""
    if "/dev/full" in redirect and not Path("/dev/full").exists():
        pytest.skip("this system has no device that is always full")
    done = in_shell(redirect, *args, cwd=tmp_path)
    assert "Traceback" not in done.stderr
    assert done.returncode == code, done.stderr
    if code == 0:
        assert len(list(tmp_path.iterdir())) == 1


@SHELL
def test_a_study_and_a_run_without_any_stream(tmp_path: Path) -> None:
    """Workers start, and no table holds a line that was meant for the screen."""
    for args in (
        ["compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=250,260", "--workers", "1", "--out", "study"],
        ["run", "teasel", "kerb-50", "--out", "run"],
    ):
        assert in_shell("<&- >&- 2>&-", *args, cwd=tmp_path).returncode == 0
    assert (tmp_path / "study" / "runs.csv").read_text(encoding="utf-8-sig").count("\n") == 3
    assert (tmp_path / "run" / "report.html").is_file()


def test_a_closed_stream_is_opened_where_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    """Something to write to, that takes everything."""
    for name in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    streams.make_usable()
    print("a", file=sys.stdout, flush=True)
    print("b", file=sys.stderr, flush=True)
    assert sys.stdin.read() == ""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        stream.close()


def test_notices_that_nobody_takes_stop_nothing() -> None:
    """A pipe whose reader has left: progress goes on being told to nobody, and the study goes on."""
    reader, writer = os.pipe()
    os.close(reader)
    notices = streams.Notices(os.fdopen(writer, "wb"), encoding="utf-8", line_buffering=True)
    for _ in range(3):
        assert notices.write("12 of 100 runs\n") == 15
        notices.flush()
    notices.close()


class Screen(io.StringIO):
    """A terminal that keeps what is shown."""

    def isatty(self) -> bool:
        return True


MARKED = ["[bold]x[/]", "[/x]", "[/]", "[link=http://a]b", ":smile: [red", "a [mm]"]


@pytest.mark.parametrize("name", MARKED)
def test_a_name_is_no_markup_in_a_bar(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """It stands in the bar as it is written, and no run is lost over it."""
    shown = Screen()
    monkeypatch.setattr(sys, "stderr", shown)
    monkeypatch.setattr(waiting, "PATIENCE_S", 0.0)
    monkeypatch.setenv("COLUMNS", "120")
    with waiting.progress(f"{name} over kerb") as tell:
        tell(0.5)
    assert f"{name} over kerb" in shown.getvalue()


@pytest.mark.parametrize("name", MARKED)
def test_a_name_is_no_markup_in_any_other_bar_or_line(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bar of a study, and whatever is printed to the screen."""
    shown = Screen()
    with bar(words(), file=shown) as one:
        one.add_task(name)
    assert name in shown.getvalue()
    printed = io.StringIO()
    monkeypatch.setattr(sys, "stdout", printed)
    screen().print(name)
    assert printed.getvalue().strip() == name


def test_every_console_and_bar_comes_from_one_place() -> None:
    """Rich reads markup unless it is told not to: only these files make a console or a bar, and they tell it."""
    makers = {"report/bars.py", "report/terminal.py", "papers/screen.py"}
    home = ROOT / "sim" / "trundle"
    found = {
        p.relative_to(home).as_posix()
        for p in home.rglob("*.py")
        for word in ("Console(", "Progress(", "from_markup", '"{task.description}"')
        if word in p.read_text(encoding="utf-8")
    }
    assert found == makers
    assert Console(markup=False).render_str("[/x]", markup=False).plain == "[/x]"


# What Ctrl-C is answered with.


def failing(monkeypatch: pytest.MonkeyPatch, body: Callable[[], object]) -> None:
    def invoke(*_: object, **__: object) -> object:
        return body()

    monkeypatch.setattr(trundle, "invoke", invoke)


def raised(error: BaseException) -> None:
    raise error


def test_ctrl_c_says_what_is_kept_where_something_is(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """And claims nothing where a command keeps nothing."""

    def body() -> None:
        with if_stopped("all of it is lost"), if_stopped("two of three are kept"):
            raised(KeyboardInterrupt())

    failing(monkeypatch, body)
    assert call(capsys, "sheet", "teasel") == (130, "", "\nstopped: two of three are kept\n")
    for stop in (KeyboardInterrupt(), click.Abort()):
        failing(monkeypatch, lambda stop=stop: raised(stop))  # type: ignore[misc]
        code, out, err = call(capsys, "sheet", "teasel")
        assert (code, out, err.strip()) == (130, "", "stopped")


def test_the_end_of_a_damaged_file_is_no_ctrl_c(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Click takes any EOFError for the end of what is typed, and said "stopped" with code 130."""
    failing(monkeypatch, lambda: raised(EOFError("Ran out of input")))
    code, _, err = call(capsys, "sheet", "teasel")
    assert code == 70
    assert "EOFError: Ran out of input" in err


def test_a_run_that_is_stopped_says_that_nothing_of_it_is_kept(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """There is no run folder then; once there is one, it is named."""
    monkeypatch.chdir(tmp_path)
    given = ("run", "teasel", "kerb-50", "--out", "r")
    with monkeypatch.context() as m:
        m.setattr("trundle.result.run.run", lambda *_, **__: raised(KeyboardInterrupt()))
        code, out, err = call(capsys, *given)
    assert (code, out, err) == (130, "", "\nstopped: nothing of this run is kept\n")
    assert not (tmp_path / "r").exists()
    monkeypatch.setattr("trundle.report.terminal.print_said", lambda *_: raised(KeyboardInterrupt()))
    code, out, err = call(capsys, *given)
    assert (code, out, err) == (130, "", "\nstopped: the run is kept in r\n")
    assert (tmp_path / "r" / "report.html").is_file()
