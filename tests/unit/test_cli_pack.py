"""The command `pack`: the stack of prints, its papers, what it says, and that nothing is left half made."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
from html import unescape
from pathlib import Path

import pytest
from fpdf import FPDF

import trundle.drawing.font
from tests.unit.assembly_parts import subject
from trundle.cli.main import main
from trundle.drawing.font import add_fonts, font_file, picture_font, width_of
from trundle.errors import ComputerError, InputError
from trundle.papers.fit_parts import fits_part
from trundle.plans.contents import contents_pages
from trundle.plans.pack import KINDS, chosen
from trundle.plans.page import Page
from trundle.record.folder import write_folder
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import parse_settings
from trundle.spec.shipped import find

QUICK = ("--only", "cautions")


def run(*args: str) -> int:
    with pytest.raises(SystemExit) as end:
        main(["pack", *args])
    return int(end.value.code or 0)


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def sizes_mm(pdf: bytes) -> list[tuple[int, int]]:
    """Of the pages of a PDF, from their media boxes: 72 points an inch."""
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    return [(round(float(w) * 25.4 / 72.0), round(float(h) * 25.4 / 72.0)) for w, h in boxes]


def test_the_stack_of_prints(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow", "--svg", "sheets") == 0
    said = capsys.readouterr()
    pdf = Path("results/barrow-pack.pdf").read_bytes()
    pages = pdf.count(b"/Type /Page") - pdf.count(b"/Type /Pages")
    lines = said.out.splitlines()
    assert lines[0] == f"Drawn in {Path('results/barrow-pack.pdf')}: {pages} sheets of A3. Print at 100 %."
    assert lines[2].split() == ["C", "Contents"]
    assert any("General arrangement" in line for line in lines)
    assert set(sizes_mm(pdf)) == {(420, 297)}
    names = sorted(p.name for p in Path("sheets").iterdir())
    assert len(names) == pages == len(lines) - 2
    assert [int(n[:2]) for n in names] == list(range(1, pages + 1))
    first = Path("sheets", names[0]).read_text()
    # Every sheet stands in the contents, with its number.
    for line, name in zip(lines[2:], names, strict=True):
        mark = re.match(r"  ([^,\s]+(?:, [^,\s]+)*) ", line)
        assert mark is not None
        if mark[1] != "C":
            assert f">{mark[1]}<" in first, name
        if "template" not in name:  # those need all of their paper, and have no title block
            assert f"{int(name[:2])} of {pages}" in Path("sheets", name).read_text()


@pytest.mark.parametrize(("paper", "size"), [("A4", (297, 210)), ("letter", (279, 216)), ("Tabloid", (432, 279))])
def test_true_paper_sizes(paper: str, size: tuple[int, int]) -> None:
    """ISO 216; 8 1/2 x 11 and 11 x 17 in."""
    assert run("barrow", "--paper", paper, "--only", "general", "--out", "p.pdf") == 0
    assert set(sizes_mm(Path("p.pdf").read_bytes())) == {size}


def test_only_some_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow", *QUICK, "--out", "c.pdf") == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()[1:]] == ["C", "Z"]
    assert [k.name for k in chosen(("cautions", "general"))] == ["general", "cautions"]
    assert chosen(()) == KINDS


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("--paper", "A7"), '--paper: "A7" is no paper that is known here (allowed: A4, A3, Letter, Tabloid)'),
        (("--only", "generl"), '--only: "generl" is no kind of sheet; did you mean "general"? (allowed: general,'),
        (("--out", "a.dxf"), '--out: cannot write a ".dxf" file (allowed: .pdf; --svg DIR for SVG)'),
        (("--out", "."), '--out: cannot write a "" file'),
        (("--set", "hull.gauge_mm=12"), "hull.gauge_mm"),
    ],
)
def test_what_cannot_be_meant(args: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("teasel", *args) == 2
    assert told in capsys.readouterr().err
    assert list(Path().iterdir()) == []


def test_never_over_the_vehicles_own_file(capsys: pytest.CaptureFixture[str]) -> None:
    text = find("vehicles", "barrow").read_text()
    Path("mine.pdf").write_text(text)
    assert run("mine.pdf", "--out", "mine.pdf") == 2
    assert "vehicle's own file" in capsys.readouterr().err
    assert Path("mine.pdf").read_text() == text


def test_a_vehicle_that_does_not_stand_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("teasel", "--set", "hull.com_mm=[5000, 250]") == 2
    assert "Traceback" not in capsys.readouterr().err
    assert not Path("results").exists()


def test_a_font_that_is_missing_or_damaged(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    class Spec:
        origin = str(tmp_path / "matplotlib" / "__init__.py")

    whole = font_file().read_bytes()
    monkeypatch.setattr(trundle.drawing.font, "find_spec", lambda name: None)
    with pytest.raises(ComputerError, match="matplotlib is not installed"):
        font_file()
    monkeypatch.setattr(trundle.drawing.font, "find_spec", lambda name: Spec)
    with pytest.raises(ComputerError, match=r"DejaVuSans-Bold.ttf: the font of drawings is missing"):
        font_file(bold=True)
    file = tmp_path / "matplotlib" / "mpl-data" / "fonts" / "ttf" / "DejaVuSans.ttf"
    file.parent.mkdir(parents=True)
    for damaged in (b"no font", b"", whole[: len(whole) // 2]):
        file.write_bytes(damaged)
        with pytest.raises(ComputerError, match="cannot be read: it is cut short, or no font"):
            add_fonts(FPDF())


def test_the_command_says_that_its_font_is_missing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(trundle.drawing.font, "find_spec", lambda name: None)
    picture_font.cache_clear()
    width_of.cache_clear()
    try:
        assert run("barrow", *QUICK) == 2
    finally:
        picture_font.cache_clear()
        width_of.cache_clear()
    assert "the font of drawings is missing" in capsys.readouterr().err
    assert not Path("results").exists()


def ours(name: str) -> bool:
    return re.fullmatch(r"\d\d-[a-z]+\.svg", name) is not None


FILES = {f"{k:02}-sheet.svg": b"x" * 1000 for k in range(1, 9)}


def test_a_folder_is_replaced_whole(tmp_path: Path) -> None:
    folder = tmp_path / "Blätter 図面"
    write_folder(folder, {**FILES, "09-old.svg": b""}, ours)
    write_folder(folder, FILES, ours)
    assert sorted(p.name for p in folder.iterdir()) == sorted(FILES)
    assert [p.name for p in tmp_path.iterdir()] == [folder.name]


def test_a_folder_with_others_files_is_left(tmp_path: Path) -> None:
    (tmp_path / "d").mkdir()
    (tmp_path / "d" / "letter.txt").write_text("mine")
    with pytest.raises(InputError, match=r'holds "letter.txt", which is not of ours \(allowed: a new folder'):
        write_folder(tmp_path / "d", FILES, ours, "--svg")
    (tmp_path / "f").write_text("mine")
    with pytest.raises(InputError, match="is a file; a folder is wanted"):
        write_folder(tmp_path / "f", FILES, ours, "--svg")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["d", "f"]
    assert (tmp_path / "d" / "letter.txt").read_text() == "mine"


@pytest.mark.parametrize("kept", [False, True])
def test_a_full_disk_leaves_what_was(tmp_path: Path, kept: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "d"
    if kept:
        write_folder(folder, {"01-old.svg": b"old"}, ours)
    written = Path.write_bytes

    def full(self: Path, content: bytes) -> int:
        if self.name.startswith("05"):
            raise OSError(28, "No space left on device")
        return written(self, content)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(ComputerError, match="No space left on device"):
        write_folder(folder, FILES, ours)
    assert [p.name for p in tmp_path.iterdir()] == (["d"] if kept else [])
    if kept:
        assert (folder / "01-old.svg").read_bytes() == b"old"


def test_killed_in_between_nothing_looks_finished(tmp_path: Path) -> None:
    program = """
import os, signal, sys
from pathlib import Path
from trundle.record.folder import write_folder
class Files(dict):
    def items(self):
        for k in range(9):
            if k == 5:
                os.kill(os.getpid(), signal.SIGKILL)
            yield f"0{k}-a.svg", b"x"
write_folder(Path(sys.argv[1]), Files(), lambda name: True)
"""
    if not hasattr(os, "fork"):
        pytest.skip("there is no such signal here")
    done = subprocess.run([sys.executable, "-c", program, str(tmp_path / "d")], check=False, timeout=60)
    assert done.returncode == -9
    assert not (tmp_path / "d").exists()
    write_folder(tmp_path / "d", FILES, ours)
    assert len(list((tmp_path / "d").iterdir())) == len(FILES)


def test_two_at_once_do_not_mix(tmp_path: Path) -> None:
    failed: list[BaseException] = []

    def write(letter: str) -> None:
        for _ in range(20):
            try:
                write_folder(tmp_path / "d", {f"{k:02}-{letter}.svg": letter.encode() for k in range(1, 6)}, ours)
            except InputError as e:  # the other one's was just taking its place
                failed.append(e)

    threads = [threading.Thread(target=write, args=(letter,)) for letter in "ab"]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    names = {p.name[3:] for p in (tmp_path / "d").iterdir()}
    assert names in ({"a.svg"}, {"b.svg"})
    assert len(list((tmp_path / "d").iterdir())) == 5
    assert len(failed) < 40
    assert [p.name for p in tmp_path.iterdir()] == ["d"]


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "locked").mkdir(mode=0o555)
    assert run("barrow", *QUICK, "--out", "locked/p.pdf") == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_name_in_any_script(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("barrow", *QUICK, "--out", "Zeichnungen Ω/Kärre 図.pdf") == 0
    assert Path("Zeichnungen Ω/Kärre 図.pdf").read_bytes().startswith(b"%PDF")


def test_the_same_file_gives_the_same_bytes() -> None:
    assert run("barrow", *QUICK, "--out", "a.pdf") == 0
    assert run("barrow", *QUICK, "--out", "b.pdf") == 0
    assert Path("a.pdf").read_bytes() == Path("b.pdf").read_bytes()


def words(svg: str) -> list[str]:
    return [unescape(t) for t in re.findall(r"<text [^>]*>([^<]*)</text>", svg)]


def test_what_keeps_it_from_being_built_comes_first(capsys: pytest.CaptureFixture[str]) -> None:
    spoiled = ("--set", "bogie.*.build.pivot.sleeve_bore_mm=10")
    assert run("barrow", *spoiled, *QUICK, "--svg", "s", "--out", "p.pdf") == 0
    assert re.search(r"It cannot be built as drawn: \d+ faults?, on the first sheet", capsys.readouterr().out)
    told = words(next(Path("s").glob("01-*")).read_text())
    assert re.match(r"First: \d+ faults? keeps? it from being built as drawn", told[0])
    assert any("sleeve_bore_mm" in line for line in told)
    # By whom it is told in full, and as the sheet tells it.
    vehicle = vehicle_input("barrow", parse_settings((spoiled[1],))).vehicle
    whole = " ".join(told)
    assert all(line.split(":")[0] in whole for line in fits_part(vehicle).loud)


def test_what_the_file_does_not_say_is_named_with_its_field() -> None:
    assert run("barrow", *QUICK, "--svg", "s", "--out", "p.pdf") == 0
    told = words(next(Path("s").glob("01-*")).read_text())
    assert any(line.startswith("Nothing that was checked keeps it from being made") for line in told)
    at = told.index("Not drawn, or taken for granted: the file does not say it")
    assert any("build.bracket.hull_grade" in line for line in told[at:])


def test_long_contents_run_over_several_sheets() -> None:
    of = subject("barrow")
    many = [Page(f"X{k}", f"part {k}", of.paper, "1:1", ()) for k in range(120)]
    made = contents_pages(of, many)
    told = [t for p in made for t in words(p.drawing("B", "b.toml", "", 1, 1).svg())]
    assert len(made) > 1
    for k in range(120):
        row = told.index(f"X{k}")
        assert told[row - 1] == str(len(made) + k + 1), "the sheet's number, after the contents"
    for page in made:
        left, low, right, high = page.paper.frame
        svg = page.drawing("B", "b.toml", "", 1, 1).svg()
        for x, y in re.findall(r'x[12]="([-\d.]+)" y[12]="([-\d.]+)"', svg[: svg.index('stroke-width="0.7"')]):
            assert left <= float(x) <= right
            assert low <= page.paper.height - float(y) <= high
