"""`trundle new` asks: fewer than 25 questions on every branch, a way back, a way out, and what was said is kept."""

from __future__ import annotations

import os
import re
from itertools import product
from pathlib import Path
from typing import get_args

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from tests.unit.builders import BUILDERS
from tests.unit.test_cli_refusals import call
from trundle.cli.interview import asked, prompts
from trundle.cli.interview.draft import MOTOR, Draft
from trundle.cli.interview.prompts import Move, NoAnswerError, more, read
from trundle.cli.interview.questions import MOST, POWER, QUESTIONS, TORQUE, Question, question_at
from trundle.cli.stopping import StoppedError
from trundle.design.answers import Answers, Use, load_answers, paths_of_answers
from trundle.design.blank import example_of
from trundle.design.stock import STOCKS
from trundle.errors import InputError
from trundle.spec.vehicle import load_vehicle

DOWN, CTRL_C, END = "\x1b[B", "\x03", "\x04"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[Answers]:
    """What would be made a design of: nothing is."""
    found: list[Answers] = []

    def note(answers: Answers, target: Path) -> None:
        found.append(answers)

    monkeypatch.setattr(asked, "propose_and_write", note)
    return found


def typed(*lines: str, kept: Path | None = None, out: Path | None = None) -> None:
    """An interview with these keys, each line ended by Enter but for control keys."""
    with create_pipe_input() as keys, create_app_session(input=keys, output=DummyOutput()):
        # Whatever is asked beyond that is stopped, or it would wait for ever.
        keys.send_text("".join(line if line in (CTRL_C, END) else f"{line}\r" for line in lines) + CTRL_C)
        asked.interview(kept, out)


def answered_by(monkeypatch: pytest.MonkeyPatch, wanted: Answers) -> list[str]:
    """Questions answered from a file of answers, without a terminal; gives the paths that are asked."""
    paths: list[str] = []
    have = Draft.of(wanted)
    if wanted.mass_kg is not None:
        have.put("all_up_kg", wanted.mass_kg)

    def ask(question: Question, draft: Draft) -> str | float | int | Move:
        paths.append(question.path)
        value = have.get(question.path)
        return Move.UNKNOWN if value is None or isinstance(value, dict) else value

    monkeypatch.setattr(asked, "ask", ask)
    asked.interview(None, None)
    return paths


@pytest.mark.parametrize("builder", BUILDERS)
def test_a_builder_is_asked_fewer_than_25_questions(
    builder: str, made: list[Answers], monkeypatch: pytest.MonkeyPatch
) -> None:
    """And what is made of the answers is what the builder wrote down."""
    wanted = load_answers("a.toml", BUILDERS[builder])
    paths = answered_by(monkeypatch, wanted)
    assert len(paths) == len(set(paths)) < 25
    (given,) = made
    assert given.mass_kg == pytest.approx(wanted.mass_kg) if wanted.mass_kg else given.mass_kg is None
    assert (given.stock, given.kerb_mm, given.length_mm) == (wanted.stock, wanted.kerb_mm, wanted.length_mm)
    assert (given.wheels, given.track, given.motor) == (wanted.wheels, wanted.track, wanted.motor)


NO_STOCK = "nothing yet"
BRANCHES = [
    {"stock.kind": kind, MOTOR: motor, "use": use}
    for kind, motor, use in product([*(k.kind_name() for k in STOCKS), NO_STOCK], (TORQUE, POWER), get_args(Use))
]


@pytest.mark.parametrize("branch", BRANCHES)
def test_no_branch_has_more_questions_than_is_said(
    branch: dict[str, str], made: list[Answers], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where everything is known, every question of the branch is asked."""
    example: dict[str, object] = {}
    for kind in STOCKS:
        if kind.kind_name() == branch["stock.kind"]:
            example = {f"stock.{field}": value for field, value in example_of(kind).items()}
    usual: dict[str, object] = {
        "name": "X",
        "wheels.each_side": 4,
        "wheels.abreast": 2,
        "track.width_mm": 160.0,
    }
    usual |= {"speed_m_s": 1.0}
    example |= {**usual, **branch, "all_up_kg": 200.0, "length_mm": 2000.0, "wheels.width_mm": 40.0}
    asked_paths: list[str] = []

    def ask(question: Question, draft: Draft) -> str | float | int | Move:
        asked_paths.append(question.path)
        value = example.get(question.path, 50.0)
        assert isinstance(value, (str, float, int))
        return Move.UNKNOWN if value == NO_STOCK else value

    monkeypatch.setattr(asked, "ask", ask)
    asked.interview(None, None)
    # Whatever is asked a second time counts.
    assert (20 if branch["stock.kind"] != NO_STOCK else 18) <= len(asked_paths) <= MOST < 25
    assert len(asked_paths) == len(set(asked_paths))


def test_every_question_is_of_an_answer_and_has_more_to_say() -> None:
    """A why, a usual value or a way to measure it; each answer that the file has is asked or can be done without."""
    for question in QUESTIONS:
        assert question.path in paths_of_answers() or question.path == MOTOR
        assert question.why
        assert len(more(question)) > 20
    done_without = {"empty_kg", "load_kg", "stock", "wheels", "track"}
    left = set(paths_of_answers()) - {q.path for q in QUESTIONS} - done_without
    assert left == {"stock.preload_N", "stock.progression"}


def test_an_interview_on_a_terminal(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """From the first key to a vehicle that stands: inches, a decimal comma, a question mark, a way back, one left for
    the end, some unknown."""
    typed(
        "Shed Cat", DOWN * 2, "132 lb", "?", "1400", "5 cm", "back", "2 in", "skip", "6", "140", "", "", "", DOWN * 2,
        "5/32 in", "36,5", "8", "4 in", DOWN * 2, "", "", DOWN * 2, "3,6 km/h",
    )  # fmt: skip
    vehicle = load_vehicle("shed-cat.toml")
    assert vehicle.name == "Shed Cat"
    given = load_answers("shed-cat.answers.toml")
    assert given.kerb_mm == pytest.approx(50.8)
    assert given.speed_m_s == pytest.approx(1.0)
    assert given.not_known[:1] == ("wheels.width_mm",)
    said = capsys.readouterr().out
    assert "Measure: " in said or "Usual: " in said
    assert "Now what you have left for the end." in said
    assert "first design that stands" in said
    assert re.search(r"Assumed, since nobody said .*\n(.*\n)*  track.width_mm = ", said)


def test_stop_keeps_the_answers_and_they_are_gone_on_with(made: list[Answers], folder: Path) -> None:
    """By name of the file, and by the same command and the same name."""
    typed("Vole", "", "180", "1900", "stop")
    kept = folder / "vole.answers.toml"
    assert "1900" in kept.read_text()
    assert made == []
    typed(*[""] * 5, DOWN * 6, *["60", "70", "", ""], *[""] * 2, DOWN * 2, kept=kept)
    typed("Vole", "y")
    assert [a.length_mm for a in made] == [1900.0, 1900.0]
    assert [a.stock.kind_name() if a.stock else "" for a in made] == ["rubber block"] * 2
    assert sorted(p.name for p in folder.iterdir()) == ["vole.answers.toml"]


def test_ctrl_c_keeps_them_too_and_says_so(made: list[Answers], folder: Path) -> None:
    with pytest.raises(StoppedError, match=r"your answers are in vole\.answers\.toml; to go on: trundle new --go-on"):
        typed("Vole", "", "180", CTRL_C)
    assert load_answers("vole.answers.toml").all_up_kg == 180.0
    typed("Stoat", "", "90", END)  # the end of what is typed
    assert load_answers("stoat.answers.toml").all_up_kg == 90.0


def test_answers_of_another_are_not_written_over(made: list[Answers], folder: Path) -> None:
    """What is there stays, whatever it is."""
    (folder / "vole.answers.toml").write_text("no answers")
    typed("Vole", "", "stop")
    assert (folder / "vole.answers.toml").read_text() == "no answers"
    assert load_answers("vole-2.answers.toml").name == "Vole"


def test_a_vehicle_that_is_there_is_refused_and_the_answers_kept(
    made: list[Answers], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before the first question where it is named, else as soon as its name is known."""
    (folder / "vole.toml").write_text("keep me")
    with pytest.raises(InputError, match="is there already"):
        typed(out=folder / "vole.toml")
    typed("Vole", "-vole", "Vole Two", "", "stop")
    assert (folder / "vole.toml").read_text() == "keep me"
    assert load_answers("vole-two.answers.toml").name == "Vole Two"


def test_what_cannot_be_built_is_asked_again(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Wheels that have no room: told, and asked for once more."""
    answers = folder / "a.answers.toml"
    answers.write_text('name = "A"\nuse = "ride-on"\nlength_mm = 1500\n[wheels]\neach_side = 8\ndiameter_mm = 200\n')
    typed(*[""] * 6, DOWN * 7, "", "", DOWN * 2, "4", kept=answers)
    said = " ".join(capsys.readouterr().out.split())
    assert "8 wheels of 200 mm have no room beside each other" in said
    assert load_vehicle("a.toml").name == "A"
    assert load_answers(answers).wheels.each_side == 4


@pytest.mark.parametrize(
    ("path", "words", "answer"),
    [
        ("all_up_kg", "40 lb", 18.1436948),
        ("length_mm", "6 ft 6 in", 1981.2),
        ("wheels.diameter_mm", "5 1/2 in", 139.7),
        ("kerb_mm", "12,5", 12.5),
        ("wheels.each_side", "6", 6),
        ("stock.coils", "7,5", 7.5),
        ("all_up_kg", "  ", Move.UNKNOWN),
        ("all_up_kg", "Don't know.", Move.UNKNOWN),
        ("all_up_kg", "BACK", Move.BACK),
        ("all_up_kg", "?", Move.MORE),
    ],
)
def test_what_is_typed(path: str, words: str, answer: object) -> None:
    place = question_at(path)
    assert place is not None
    got = read(QUESTIONS[place], words)
    assert got == (pytest.approx(answer) if isinstance(answer, float) else answer)


@pytest.mark.parametrize(
    ("path", "words", "why"),
    [
        ("all_up_kg", "heavy", "a number is wanted"),
        ("all_up_kg", "3 in", "is a length; a mass is wanted"),
        ("wheels.each_side", "six", "a whole number is wanted"),
        ("wheels.each_side", "5.5", "a whole number is wanted"),
        ("stock.coils", "many", "a number is wanted"),
        ("kerb_mm", "1" * 200, "a number is wanted"),
    ],
)
def test_what_is_no_answer(path: str, words: str, why: str) -> None:
    """Told why in one line."""
    place = question_at(path)
    assert place is not None
    with pytest.raises(NoAnswerError, match=why):
        read(QUESTIONS[place], words)


def test_an_answer_out_of_range_is_asked_again(made: list[Answers], capsys: pytest.CaptureFixture[str]) -> None:
    typed("Vole", "", "1000000", "-4", "heavy", "180", "stop")
    said = capsys.readouterr().out
    assert said.count("That cannot be: out of range") == 2
    assert "a number is wanted" in said
    assert load_answers("vole.answers.toml").all_up_kg == 180.0


def test_stock_changed_on_the_way_back_is_new_stock(made: list[Answers]) -> None:
    """Nothing of the leaf stays in the bar."""
    draft = Draft()
    draft.put("stock.kind", "leaf strip")
    draft.put("stock.width_mm", 40.0)
    draft.not_known("stock.thickness_mm", 3.0)
    draft.not_known("stock.kind")
    assert draft.all() == {"not_known": ["stock.kind"]}


@pytest.mark.skipif(os.name != "posix", reason="a pipe for a terminal")
def test_no_terminal_no_questions(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One message that names what to do instead."""
    code, out, err = call(capsys, "new")
    assert (code, out) == (2, "")
    assert "--from FILE" in err
    assert err.count("\n") == 1
    assert list(folder.iterdir()) == []


def test_the_prompts_words_are_the_moves() -> None:
    """Every move has a word that is told in the head."""
    for move in (Move.MORE, Move.BACK, Move.SKIP, Move.STOP):
        assert move.value in prompts.HOW
