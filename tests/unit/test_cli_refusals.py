"""The command line against wrong use: exit code 2, a message, never a traceback."""

from __future__ import annotations

import errno
import math
from pathlib import Path

import pytest

from trundle.cli import inputs
from trundle.cli.main import main, trundle
from trundle.cli.size import check_numbers
from trundle.errors import InputError
from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle


def call(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, str, str]:
    """Exit code, stdout and stderr of a command."""
    with pytest.raises(SystemExit) as caught:
        main(list(args))
    out, err = capsys.readouterr()
    assert isinstance(caught.value.code, int)
    return caught.value.code, out, err


WRONG = [
    (["rnu"], 'did you mean "run"?'),
    (["run"], "Missing argument"),
    (["run", "teasel"], "Missing argument"),
    (["run", "teasle", "kerb-50"], 'did you mean "teasel"?'),
    (["run", "teasel", "kreb-50"], 'did you mean "kerb-50"?'),
    (["run", "kerb-50", "teasel"], "no such vehicle file"),
    (["run", "teasel", "kerb-50", "--sped", "1"], "No such option '--sped'"),
    (["run", "teasel", "kerb-50", "--speed", "fast"], "not a valid float"),
    (["run", "teasel", "kerb-50", "--speed", "nan"], "--speed: a speed of nan m/s (allowed: 0.01 to 30)"),
    (["run", "teasel", "kerb-50", "--speed=-1"], "--speed: a speed of -1 m/s"),
    (["run", "teasel", "kerb-50", "--dt-ms", "nan"], "--dt-ms: a step of nan ms (allowed: 0.01 to 5 ms)"),
    (["run", "teasel", "kerb-50", "--dt-ms", "1e308"], "--dt-ms: a step of"),
    (["run", "teasel", "kerb-50", "--ground-mm", "3"], "--ground-mm: a ground grid of 3 mm does not fit"),
    (["run", "teasel", "kerb-50", "--ground-mm", "nan"], "--ground-mm: a ground grid of nan mm does not fit"),
    (["run", "teasel", "kerb-50", "--set", "hull.mass_kg"], "--set: "),
    (["run", "teasel", "kerb-50", "--set", "hull.mas_kg=3"], 'hull.mas_kg: unknown field; did you mean "mass_kg"'),
    (["run", "teasel", "kerb-50", "--set", "hul.mass_kg=3"], 'there is no "hul"; did you mean "hull"?'),
    (["run", "teasel", "kerb-50", "--set", "hull.mass_kg=heavy"], 'a number is wanted (it is "heavy")'),
    *(
        (["compare", "teasel", "kerb-50", "--vary", "hull.mass_kg=250,300", *option], words)
        for option, words in (
            (["--dt-ms", "nan"], "--dt-ms: a step of nan ms (allowed: 0.01 to 5 ms)"),
            (["--dt-ms", "inf"], "--dt-ms: a step of inf ms (allowed: 0.01 to 5 ms)"),
            (["--dt-ms", "0"], "--dt-ms: a step of 0 ms (allowed: 0.01 to 5 ms)"),
            (["--dt-ms=-1"], "--dt-ms: a step of -1 ms (allowed: 0.01 to 5 ms)"),
            (["--ground-mm", "nan"], "--ground-mm: a ground grid of nan mm does not fit"),
            (["--ground-mm", "0"], "--ground-mm: a ground grid of 0 mm does not fit"),
            (["--ground-mm=-5"], "--ground-mm: a ground grid of -5 mm does not fit"),
            (["--ground-mm", "inf"], "--ground-mm: a ground grid of inf mm does not fit"),
            (["--speed", "0.8,nan"], "--speed: a speed of nan m/s (allowed: 0.01 to 30)"),
            (["--speed", "0.8,inf"], "--speed: a speed of inf m/s (allowed: 0.01 to 30)"),
            (["--speed", "0.8", "--speed", "0"], "--speed: a speed of 0 m/s (allowed: 0.01 to 30)"),
            (["--speed=-1,1"], "--speed: a speed of -1 m/s (allowed: 0.01 to 30)"),
            (["--speed", "0.8;1"], '--speed: "0.8;1" is not a speed'),
            (["--budget-s", "nan"], "--budget-s: nan s is no time to wait"),
        )
    ),
    (
        ["compare", "teasel", "kerb-50", "--tolerance", "hull.mass_kg=5%", "--speed", "1"],
        "--speed: cannot be combined with",
    ),
    (["sheet", "teasel", "--factor", "nan"], "--factor: nan is no factor"),
    (["sheet", "teasel", "--run", "/"], "--run"),
    (["course", "kerb-50", "--out", "a.exe"], "--out"),
    (["watch", "teasel", "--movie", "a.mp4"], "name a course too"),
    (["watch", "teasel", "--hide", "track"], "name a course too"),
    (["watch", "teasel", "--frame", "2", "a.png"], "no time passes on the bench"),
    (["watch", "teasel", "--frame", "0", "a.jpg"], 'cannot draw a ".jpg" file'),
    (["watch", "teasel", "--set", "hull.mass=1"], "unknown field"),
    (["watch", "nope"], "no such vehicle file"),
    (["limits", "teasel", "--speed", "nan"], "--speed"),
    (["baseline", "check", "nope"], "no baseline is called"),
]


@pytest.mark.parametrize(("args", "words"), WRONG, ids=[" ".join(a)[:60] for a, _ in WRONG])
def test_wrong_use(
    args: list[str], words: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Code 2, the message on stderr, nothing on stdout, nothing written."""
    monkeypatch.chdir(tmp_path)
    code, out, err = call(capsys, *args)
    assert code == 2, err
    assert words in err
    assert "Traceback" not in err
    assert out == ""
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("dt_ms", [math.nan, 0.0, -1.0, 0.0099, 5.01, math.inf])
def test_the_command_and_the_engine_allow_the_same_step(dt_ms: float) -> None:
    """The command looks first, so that nothing is compiled in vain; both say it in the same words."""
    with pytest.raises(InputError) as ours:
        check_numbers(dt_ms)
    with pytest.raises(InputError) as engine:
        run(load_vehicle(find("vehicles", "teasel")), load_course(find("courses", "kerb-50")), dt_ms=dt_ms)
    assert str(ours.value) == str(engine.value)


@pytest.mark.parametrize("speed_m_s", [math.nan, 0.0, -1.0, 0.0099, 30.1, math.inf])
def test_the_command_and_the_run_allow_the_same_speed(speed_m_s: float) -> None:
    """As for the step."""
    with pytest.raises(InputError) as ours:
        check_numbers(speeds_m_s=[1.0, speed_m_s])
    with pytest.raises(InputError) as engine:
        run(load_vehicle(find("vehicles", "teasel")), load_course(find("courses", "kerb-50")), speed_m_s=speed_m_s)
    assert str(ours.value) == str(engine.value)


def test_steps_grids_and_speeds_that_a_run_takes() -> None:
    """The ends of each range belong to it."""
    for dt_ms in (0.01, 0.5, 5.0):
        check_numbers(dt_ms)
    for ground_mm in (10.0, 5.0, 2.5, 2.0, 1.0):
        check_numbers(ground_mm=ground_mm)
    check_numbers(speeds_m_s=[0.01, 30.0])


def test_an_option_is_not_blamed_on_the_file(capsys: pytest.CaptureFixture[str]) -> None:
    """The file is right; its name would mislead."""
    _, _, err = call(capsys, "run", "teasel", "kerb-50", "--speed=-1")
    assert err.startswith("--speed: ")


def test_every_problem_has_its_own_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """file:line: field: problem."""
    path = tmp_path / "c.toml"
    path.write_text('[[obstacle]]\nkind = "kerb up"\nheight_mm = -1\ngap_mm = nan\nwdith_mm = 3\n')
    code, _, err = call(capsys, "course", str(path))
    lines = err.strip().splitlines()
    assert code == 2
    assert [line.removeprefix(str(path)).split(":")[1] for line in lines] == ["3", "4", "5"]


def test_doubts_are_said_on_stderr(capsys: pytest.CaptureFixture[str]) -> None:
    """A note does not stop the command."""
    file = inputs.vehicle_file("teasel", ("hull.mass_kg=6",))
    err = capsys.readouterr().err
    assert f"note: {file.path}: hull.mass_kg: it is 6 but the longest arm is 200 mm" in err


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (KeyboardInterrupt(), 130, "stopped"),
        (MemoryError(), 2, "not enough memory"),
        (OSError(errno.ENOSPC, "No space left on device", "x.html"), 2, "trundle: x.html: No space left on device"),
        (BrokenPipeError(errno.EPIPE, "Broken pipe"), 0, ""),
        (RecursionError("deep"), 70, "a fault of Trundle's own"),
    ],
)
def test_what_goes_wrong_inside(
    error: BaseException, code: int, words: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A message and a code for each; no traceback even for our own faults."""

    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(trundle, "invoke", fail)
    got, _, err = call(capsys, "run", "teasel", "kerb-50")
    assert got == code
    assert words in err
    assert "Traceback" not in err


def test_a_message_quotes_a_file_without_its_control_characters(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A field and a heading that would clear the screen or write from right to left: one line, ? in their place."""
    (tmp_path / "way.csv").write_text("x\x1b[2J_mm\x0by_mm\n0,0\n", encoding="utf-8")
    (tmp_path / "way.toml").write_text('[[obstacle]]\nkind = "surveyed profile"\nfile = "way.csv"\n', encoding="utf-8")
    (tmp_path / "hull.toml").write_text(
        '"mass\\u001b[2J\\u202e\\n" = 1\n' + find("vehicles", "wren").read_text("utf-8")
    )
    for args, words in (
        (["course", str(tmp_path / "way.toml")], "it has: x?[2J_mm y_mm"),
        (["sheet", str(tmp_path / "hull.toml")], "mass?[2J? : unknown field"),
    ):
        code, _, err = call(capsys, *args)
        assert (code, err.count("\n")) == (2, 1)
        assert words in err


def test_a_ctrl_c_while_a_message_is_written_is_a_ctrl_c(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It came in the moment between the fault and its message: 130, no traceback."""

    def press(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("trundle.cli.main.click.echo", press)
    assert call(capsys, "run", "teasle", "kerb-50")[0] == 130


@pytest.mark.parametrize("option", ["--html", "--pdf"])
def test_a_sheet_is_not_written_over_the_vehicle(
    tmp_path: Path, option: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A slip of the hand, and the file would be gone; also by another way to it."""
    file = tmp_path / "mine.toml"
    file.write_bytes(find("vehicles", "wren").read_bytes())
    (tmp_path / "sub").mkdir()
    before = file.read_bytes()
    with pytest.raises(SystemExit) as caught:
        main(["sheet", str(file), option, str(tmp_path / "sub" / ".." / "mine.toml")])
    assert caught.value.code == 2
    assert "is the vehicle's own file" in capsys.readouterr().err
    assert file.read_bytes() == before
