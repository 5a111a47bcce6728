"""`trundle new --answers` and `--from`: a file to fill in, and what is made of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.unit.test_cli_refusals import call
from trundle.design.answers import Answers, load_answers
from trundle.design.blank import blank
from trundle.design.stock import STOCKS
from trundle.spec.vehicle import load_vehicle


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_file_to_fill_in_is_one_of_answers_as_it_is_and_filled_in() -> None:
    """Nothing but a name and a use as it comes; with its lines taken in, every field, and each kind of stock."""
    text = blank("a.toml")
    assert load_answers("a.toml", text) == Answers(name="My hull", use="ride-on")
    fields, *stocks = text.split("\n\n# [stock]\n")
    taken = "\n".join(line.removeprefix("# ") if " = " in line else line for line in fields.splitlines())
    for kind, stock in zip(STOCKS, stocks, strict=True):
        lines = [line.removeprefix("# ") for line in stock.splitlines()]
        given = load_answers("a.toml", "\n".join([taken, "[stock]", *lines]))
        assert type(given.stock) is kind
        assert given.model_fields_set | {"empty_kg", "not_known"} == set(Answers.model_fields)


def test_from_a_file_to_a_vehicle(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call(capsys, "new", "--answers", "a.toml")[0] == 0
    code, said, err = call(capsys, "new", "--from", "a.toml")
    assert (code, err) == (0, "")
    assert "Wrote my-hull.toml: My hull, a first design that stands." in said
    assert load_vehicle("my-hull.toml").hull.all_up_kg == 180.0
    assert "is there already" in call(capsys, "new", "--from", "a.toml")[2]
    assert "is there already; name another with --answers" in call(capsys, "new", "--answers", "a.toml")[2]
    assert sorted(p.name for p in folder.iterdir()) == ["a.toml", "my-hull.toml"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("Mine", "--from", "a.toml"), "give one of NAME and --from"),
        (("--like", "teasel"), "trundle new NAME --like VEHICLE"),
        (("--from", "none.toml"), "none.toml: no such file"),
        (("--answers", "a.toml", "--out", "b.toml"), "--answers names the file that is written"),
    ],
)
def test_options_that_do_not_go_together(
    options: tuple[str, ...], words: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = call(capsys, "new", *options)
    assert (code, out) == (2, "")
    assert words in err
    assert list(folder.iterdir()) == []


def test_a_refusal_names_file_and_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Also of what only the design finds."""
    (folder / "a.toml").write_text("length_mm = 400\n[wheels]\ndiameter_mm = 300\n")
    code, _, err = call(capsys, "new", "--from", "a.toml")
    assert code == 2
    assert "a.toml:1: length_mm: two road wheels of 300 mm" in err
    assert [p.name for p in folder.iterdir()] == ["a.toml"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("\nkerb_mm = 400\nlength_mm = 600\n", "a.toml:2: kerb_mm: a kerb of 400 mm, a length of 600 mm"),
        ("all_up_kg = 1500\nlength_mm = 300\n", "a.toml:2: length_mm: of round bar, as it is sold, every size"),
    ],
)
def test_what_comes_of_no_answers_is_told_by_the_answers(
    text: str, words: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line, with the field of the answers' file that it comes of: nobody has seen the vehicle's file."""
    (folder / "a.toml").write_text(text)
    code, out, err = call(capsys, "new", "--from", "a.toml")
    assert (code, out) == (2, "")
    assert words in err
    assert "bogie" not in err
    assert err.count("\n") == 1


def test_a_name_that_begins_like_an_option_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`trundle sheet -.toml` would not be understood."""
    (folder / "a.toml").write_text('name = "-x"\n')
    for options in (("-",), ("Mine", "--out", "-m.toml"), ("--from", "a.toml"), ("--answers", "-a.toml")):
        code, out, err = call(capsys, "new", *options)
        assert (code, out) == (2, "")
        assert "begins with -, like an option" in err
        assert err.count("\n") == 1
    assert [p.name for p in folder.iterdir()] == ["a.toml"]
