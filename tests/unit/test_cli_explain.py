"""`trundle explain` on the screen, and its pictures."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from tests.unit.test_cli_refusals import call


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_field_is_told_with_its_picture(capsys: pytest.CaptureFixture[str]) -> None:
    """What, how, allowed; its dimension in letters and braille; how to get it as a file."""
    code, out, err = call(capsys, "explain", "hull.com_mm")
    assert (code, err) == (0, "")
    assert out.startswith("hull.com_mm\n\n")
    assert "two numbers [forward, up], each -20,000 to 20,000 mm; must be given" in out
    assert "com_mm 760 forward" in out
    assert any("\u2801" <= letter <= "\u28ff" for letter in out)
    assert out.rstrip().endswith("trundle explain hull.com_mm --picture FILE.png")
    assert max(map(len, out.splitlines())) <= 100


def test_a_narrow_terminal_has_words_only(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "48")
    code, out, _ = call(capsys, "explain", "hull.com_mm")
    assert code == 0
    assert not any("\u2801" <= letter <= "\u28ff" for letter in out)
    assert "--picture FILE.png" in out
    assert max(len(line) for line in out.splitlines() if "trundle explain" not in line) <= 48


def test_the_map_is_a_screenful(capsys: pytest.CaptureFixture[str]) -> None:
    """Every table's header, every kind."""
    code, out, _ = call(capsys, "explain")
    assert code == 0
    for words in (
        "[hull]",
        "[wheel.*]",
        "[bogie.*]",
        "[bogie.*.spring]",
        "[[track.roller]]",
        "[[obstacle]]",
        "leaf across",
    ):
        assert words in out
    assert len(out.splitlines()) < 70


def test_a_table_and_a_family(capsys: pytest.CaptureFixture[str]) -> None:
    """Its fields, which must be given, and an example to paste; of a family the kinds."""
    out = call(capsys, "explain", "roller")[1]
    assert "at_mm *" in out
    assert "    [[track.roller]]\n    at_mm = [700, 210]\n" in out
    out = call(capsys, "explain", "bogie")[1]
    assert {"paired arms", "single arm", "walking beam"} <= {line.strip().split("  ")[0] for line in out.splitlines()}


def test_several_things_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = call(capsys, "explain", "rate_N_per_mm")
    assert code == 0
    assert "things; ask for one:" in out
    assert 'trundle explain "axle rate.rate_N_per_mm"' in out


def test_wrong_words_are_answered_with_near_ones(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = call(capsys, "explain", "coom_mm")
    assert (code, out) == (2, "")
    assert err.startswith('nothing in the guide goes by "coom_mm"; did you mean "hull.com_mm"')
    assert len(err.splitlines()) == 1


def test_a_picture_as_a_file(capsys: pytest.CaptureFixture[str], wide: Path) -> None:
    """Of a field, of a table; in three formats."""
    assert call(capsys, "explain", "hull.com_mm", "--picture", "com.png")[0] == 0
    assert Image.open(io.BytesIO((wide / "com.png").read_bytes())).width == 1600
    assert call(capsys, "explain", "hull", "--picture", "hull.svg")[0] == 0
    svg = (wide / "hull.svg").read_text()
    assert all(f">{name}" in svg for name in ("com_mm 760 forward", "seat_mm", "belly_span_mm"))
    assert call(capsys, "explain", "roller", "--picture", "roller.pdf")[0] == 0
    assert (wide / "roller.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("hull", "--picture", "hull.doc"), 'cannot draw a ".doc" file (allowed: .png, .svg, .pdf)'),
        (
            ("bogie", "--picture", "b.png"),
            "a bogie is drawn by its kind (allowed: paired arms, single arm, walking beam)",
        ),
        (("rate_N_per_mm", "--picture", "b.png"), '"rate_N_per_mm" is '),
        (("--picture", "b.png"), "of what?"),
        (("--page", "b.txt"), 'the guide is no ".txt" file (allowed: .html)'),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    arguments: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str], wide: Path
) -> None:
    code, out, err = call(capsys, "explain", *arguments)
    assert (code, out) == (2, "")
    assert words in err
    assert not list(wide.iterdir())
