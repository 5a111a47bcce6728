"""The command `draw`: what it writes, what it says, its exit codes."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from trundle.cli.main import main
from trundle.spec.shipped import find

TEASEL = find("vehicles", "teasel").read_text()


def run(*args: str) -> int:
    with pytest.raises(SystemExit) as end:
        main(["draw", *args])
    return int(end.value.code or 0)


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_without_options_a_pdf_of_all_pages(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow") == 0
    made = (tmp_path / "results" / "barrow-drawing.pdf").read_bytes()
    assert made.startswith(b"%PDF")
    said = capsys.readouterr()
    pages = made.count(b"/Type /Page") - made.count(b"/Type /Pages")
    assert pages > 2
    file = Path("results/barrow-drawing.pdf")
    assert said.out == f"Drawn in {file}: {pages} pages of A3, the vehicle 1 : 6.\n"
    assert said.err == ""


def test_a_picture_has_the_first_page_or_another_or_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow", "--out", "b.png") == 0
    picture = Image.open(io.BytesIO((tmp_path / "b.png").read_bytes()))
    assert picture.width / picture.height == pytest.approx(420 / 297, rel=1e-3)
    assert "page 1 of" in capsys.readouterr().out
    assert run("barrow", "--out", "c.svg", "--page", "2") == 0
    assert "full bump" in (tmp_path / "c.svg").read_text()
    assert run("barrow", "--out", "d.svg", "--page", "all") == 0
    written = sorted(p.name for p in tmp_path.glob("d-*.svg"))
    assert written == [f"d-{n}.svg" for n in range(1, len(written) + 1)]
    assert len(written) > 2


def test_a_setting_is_drawn(tmp_path: Path) -> None:
    assert run("barrow", "--set", "hull.seat_mm=[440, 245]", "--out", "b.svg") == 0
    assert "hull.seat_mm  245" in (tmp_path / "b.svg").read_text()


def test_a_refused_file_is_drawn_and_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The drawing on stdout's account, the message on stderr as of any other command, and exit code 2."""
    mine = tmp_path / "mine.toml"
    mine.write_text(TEASEL.replace("arm_mm = 200", "arm_mm = -200", 1))
    assert run("mine.toml", "--out", "m.svg") == 2
    said = capsys.readouterr()
    assert "Drawn in m.svg: page 1 of" in said.out
    assert "The file is refused: 1 fault, marked in it. Drawn from what can be read." in said.out
    assert said.err.startswith("mine.toml:")
    assert "bogie.front.arm_mm: out of range (it is -200)" in said.err
    assert "This file is refused" in (tmp_path / "m.svg").read_text()


@pytest.mark.parametrize(
    ("args", "why"),
    [
        (("teasel", "--out", "x.docx"), '--out: cannot draw a ".docx" file (allowed: .pdf, .png or .svg)'),
        (("teasel", "--out", "x"), '--out: cannot draw a "" file (allowed: .pdf, .png or .svg)'),
        (("teasel", "--out", "x.pdf", "--page", "2"), "--page: a .pdf has all pages"),
        (("teasel", "--out", "x.png", "--page", "0"), '--page: "0" is no page'),
        (("teasel", "--out", "x.png", "--page", "9"), "--page: there is no page 9 (allowed: 1 to"),
        (("teasel", "--window", "--out", "x.png"), "--out: --window writes no file"),
        (("teasle",), 'did you mean "teasel"?'),
        (("teasel", "--set", "hull.mass_kg"), '--set: "hull.mass_kg" is not PATH=VALUE'),
        (("teasel", "--set", "hul.mass_kg=3"), 'there is no "hul"; did you mean "hull"?'),
        (("kerb-50.toml",), "is a course"),
    ],
)
def test_what_cannot_be_meant(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], args: tuple[str, ...], why: str
) -> None:
    """One line, exit code 2, and nothing is written."""
    (tmp_path / "kerb-50.toml").write_text(find("courses", "kerb-50").read_text())
    assert run(*args) == 2
    said = capsys.readouterr()
    assert why in said.err
    # The first to use a kernel on this computer is told that it is got ready.
    assert len([line for line in said.err.strip().split("\n") if not line.startswith("Getting ")]) == 1
    assert said.out == ""
    assert [p.name for p in tmp_path.iterdir()] == ["kerb-50.toml"]


def test_the_vehicles_own_file_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Also where it has a picture's name."""
    mine = tmp_path / "mine.svg"
    mine.write_text(TEASEL)
    assert run("mine.svg", "--out", "mine.svg") == 2
    assert "the vehicle's own file" in capsys.readouterr().err
    assert mine.read_text() == TEASEL


def test_a_place_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder that is a file, and a folder of the file's name: nothing is left half made."""
    (tmp_path / "shed").write_text("a file")
    assert run("barrow", "--out", "shed/b.pdf") == 2
    assert "cannot be written" in capsys.readouterr().err
    (tmp_path / "b.pdf").mkdir()
    assert run("barrow", "--out", "b.pdf") == 2
    assert "is a folder" in capsys.readouterr().err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["b.pdf", "shed"]
