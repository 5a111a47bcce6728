"""Pages, papers, the command."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from sheet_parts import built

from trundle.cli.sheet import sheet as command
from trundle.errors import InputError
from trundle.making.made import made
from trundle.making.part import Made
from trundle.papers.document import whole_sheet
from trundle.papers.files import write_html, write_pdf
from trundle.papers.parts import merged, number
from trundle.papers.screen import is_figure
from trundle.papers.standing import standing_sheet
from trundle.papers.words import warnings
from trundle.spec.shipped import names


def arm() -> Made:
    return next(p for p in made(built()) if p.what == "arm")


def test_pieces_of_like_bogies_are_counted() -> None:
    """Three bogies with two arms on each side: 12 arms of 22 + 150 + 24 mm; 12 bracket plates."""
    found = {p.what: p for p in made(built())}
    assert found["arm"].count == 12
    assert found["arm"].length_mm == 196.0
    assert [h.along_mm for h in found["arm"].holes] == [22.0, 172.0]
    assert found["bracket plate"].count == 12
    assert [h.along_mm for h in found["bracket plate"].holes] == [50.0, 100.0, 20.0, 130.0]


def test_trade_arm() -> None:
    """A 220 mm arm from 40 x 40 x 3 tube: first hole 20 from its end, the second 170 on, 30 from the back of
    the channel (common practice, no source): it fits, both holes inside the 37 mm deep channel."""
    vehicle = built(
        **{
            "bogie__*__arm_mm": 170.0,
            "bogie__*__build__arm__thickness_mm": 3.0,
            "bogie__*__build__arm__pivot_from_end_mm": 20.0,
            "bogie__*__build__arm__axle_to_end_mm": 30.0,
            "bogie__*__build__arm__holes_from_back_mm": 30.0,
            "bogie__*__build__arm__axle_hole_mm": 12.7,
            "bogie__*__build__axle__thread": "UNC 1/2",
            "bogie__*__build__pivot__thread": "UNC 1/2",
        }
    )
    piece = next(p for p in made(vehicle) if p.what == "arm")
    assert piece.length_mm == 220.0
    assert piece.height_mm == 37.0
    assert not piece.outside


def test_hole_off_the_piece_is_told() -> None:
    """A bracket whose hull bolts break out of its upper edge is drawn, and said loudly (its pivots' are refused)."""
    made = whole_sheet(built(**{"bogie__*__build__bracket__hull_bolts_from_top_mm": 3.0}), "x")
    loud = [line for p in made.document.parts for line in p.loud]
    assert any("does not lie inside the piece" in line for line in loud)
    with pytest.raises(InputError, match="runs over the plate's edge"):
        built(**{"bogie__*__build__bracket__pivots_from_bottom_mm": 5.0})


def test_files(tmp_path: Path) -> None:
    """Page without any address to fetch, PDF with pages; a bad place is told."""
    made = whole_sheet(built(), "teasel")
    page = write_html(made, tmp_path / "s.html").read_text(encoding="utf-8")
    assert "<svg" in page
    assert "Cut list" in page
    assert "http://www.w3.org/2000/svg" in page
    assert not re.search(r"(src|href)=", page)
    assert write_pdf(made, tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    with pytest.raises(InputError, match="folder"):
        write_html(made, tmp_path)


@pytest.mark.parametrize("name", names("vehicles"))
def test_command_on_every_shipped_vehicle(name: str) -> None:
    """It prints, ends with what to do next and the caution, and shows no nan."""
    result = CliRunner().invoke(command, [name], catch_exceptions=False)
    assert result.exit_code == 0
    assert "What next" in result.output
    assert "not a certificate" in result.output
    assert not re.search(r"\b(nan|inf|None)\b", result.output)


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["teasel", "--factor", "0.2"], "no factor"),
        (["teasel", "--factor", "2", "--run", "x"], "not both"),
        (["teasel", "--run", "/nowhere"], "no summary"),
        (["teazel"], 'did you mean "teasel"'),
        (["teasel", "--set", "bogie.front.spring.steel=tin"], "unknown steel"),
    ],
)
def test_command_refuses(args: list[str], said: str) -> None:
    """One InputError, which the entry point turns into exit code 2."""
    with pytest.raises(InputError, match=re.escape(said)):
        CliRunner().invoke(command, args, catch_exceptions=False)


def test_near_stop_and_yield_are_told() -> None:
    """A softer leaf sits near its stops; one of dead-soft steel yields standing still and is said loudly."""
    soft = built(**{"bogie__*__stops__bump_below_level_deg": 17.0})
    said = [w.text for w in warnings(standing_sheet(soft, adjusters=False), soft)]
    assert any("off the bump stop: any bump will hit it" in t for t in said)
    weak = built(**{"bogie__*__spring__steel": "5160 annealed", "bogie__*__stops__bump_below_level_deg": 5.0})
    loud = [w.text for w in warnings(standing_sheet(weak, adjusters=False), weak) if w.loud]
    assert any("takes a set" in t or "bends for good" in t for t in loud)


def test_words_and_figures() -> None:
    """Small helpers of the tables."""
    assert number(-0.04, 1) == "0.0"
    assert number(float("inf")) == "–"
    assert merged([("a", "1"), ("b", "1"), ("c", "2")]) == (("a and b", "1"), ("c", "2"))
    assert all(map(is_figure, ("1.5", "-3", "+0.25", "± 0.5", "22 (8.8)", "1.54 / -0.31", "6.8 mm", "–", "")))
    assert not any(map(is_figure, ("51CrV4", "1 mm down", "1200 bending", "M12")))
