"""A drawing over several sheets: what is read back from each sheet's file lies where it lay, and the sheets together
are the whole drawing; scale on every sheet and across the register marks."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from svg_parts import Floats, Sheet, off, points_on, read

from trundle.drawing.clip import Window, clipped
from trundle.drawing.marks import Arc, Band, Circle, Group, Line, Mark, Polygon, Text
from trundle.drawing.pens import INK, css
from trundle.drawing.sheet import Drawing
from trundle.errors import InputError
from trundle.plans.paper import PAPERS, Paper, paper_named
from trundle.plans.template_files import true_size_pdf
from trundle.plans.tile import OVERLAP_MM, Tile, tiles

OURS = css(INK["accent"])
"""No frame, bar or register mark has this ink."""


def drawing(wide: float = 700.0, high: float = 330.0) -> Drawing:
    """Marks of every kind all over it; places from a fixed seed."""
    rng = np.random.default_rng(7)
    d = Drawing(wide, high, "test piece")

    def place() -> tuple[float, float]:
        return float(rng.uniform(30.0, wide - 30.0)), float(rng.uniform(30.0, high - 30.0))

    for k in range(25):
        (x, y), (u, v) = place(), place()
        d.marks.append(Line(x, y, u, v, "accent"))
        d.marks.append(Circle(*place(), float(rng.uniform(2.0, 28.0)), "accent"))
        d.marks.append(Arc(*place(), 25.0, 10.0 * k, 10.0 * k + 200.0, "accent"))
        x, y = place()
        corners = ((x, y), (x + 25.0, y + 5.0), (x + 8.0, y + 27.0))
        d.marks.append(Group("some", (Polygon(corners, "steel", "accent"), Text(x, y, f"word {k}", 2.5))))
    return d


def on_whole(tile: Tile, points: Floats) -> Floats:
    """Places on a sheet in the whole drawing's own mm."""
    return points - np.array(tile.at) + np.array([tile.window.left, tile.window.low])


def inside(points: Floats, window: Window, air: float = 0.0) -> Floats:
    """Those that lie in a window."""
    x, y = points.T
    keep = (x > window.left + air) & (x < window.right - air) & (y > window.low + air) & (y < window.high - air)
    return points[keep]


@pytest.mark.parametrize("paper", [PAPERS["A4"], PAPERS["Letter"]], ids=lambda p: p.name)
def test_sheets_together_are_the_drawing(paper: Paper) -> None:
    """Every place of every line is on all sheets whose window it lies in, within 0.02 mm, and nothing else is there."""
    whole = read(drawing().svg())
    lines = points_on(whole, OURS)
    seen = np.zeros(len(lines), bool)
    made = tiles(drawing(), paper)
    assert len(made) > 1
    assert len(lines) > 5_000
    for tile in made:
        sheet = read(tile.drawing.svg())
        here = np.array([tile.window.holds(*p, 0.02) for p in lines])
        shifted = lines - on_whole(tile, np.zeros((1, 2)))
        assert np.all(off(shifted[here], sheet, OURS) < 0.02)
        back = on_whole(tile, points_on(sheet, OURS).reshape(-1, 2))
        assert np.all(off(back, whole, OURS) < 0.02)
        assert len(inside(back, tile.window, -1e-3)) == len(back)
        seen |= here
    assert seen.all()


def test_words_stand_whole_on_one_sheet() -> None:
    """No word is on two sheets, none is lost, none lies over a join."""
    found: list[str] = []
    for tile in tiles(drawing(), PAPERS["A4"]):
        sheet = read(tile.drawing.svg())
        for x, y, text in sheet.words:
            if text.startswith("word"):
                found.append(text)
                place = on_whole(tile, np.array([[x, y]]))[0]
                assert tile.own.holds(*place)
    assert sorted(found) == sorted(f"word {k}" for k in range(25))


@pytest.mark.parametrize("paper", PAPERS.values(), ids=lambda p: p.name)
@pytest.mark.parametrize("size", [(100.0, 80.0), (700.0, 330.0), (300.0, 600.0)])
def test_bars_on_every_sheet(paper: Paper, size: tuple[float, float]) -> None:
    """The heaviest strokes of each are two, one across and one up, of 100 mm, inside what a printer can reach."""
    for tile in tiles(drawing(*size), paper):
        sheet = read(tile.drawing.svg())
        assert sheet.size == (tile.paper.width, tile.paper.height)
        bars = [s for s in sheet.strokes if s.width == 0.6]
        assert [s.length for s in bars] == pytest.approx([100.0, 100.0], abs=1e-3)
        across, up = bars
        assert across.a[1] == across.b[1]
        assert up.a[0] == up.b[0]
        for s in sheet.strokes:
            for x, y in (s.a, s.b):
                assert 12.0 - 1e-3 <= x <= sheet.size[0] - 12.0 + 1e-3
                assert 12.0 - 1e-3 <= y <= sheet.size[1] - 12.0 + 1e-3


def crosses(sheet: Sheet) -> dict[str, tuple[float, float]]:
    """Place of each register mark by the name beside it."""
    rings = [(x, y) for x, y, r, _ in sheet.rings if r == 3.0]
    found = {}
    for x, y, text in sheet.words:
        if re.fullmatch(r"[A-Z]+\d", text):
            found[text] = min(rings, key=lambda c: math.hypot(c[0] - x, c[1] - y))
    return found


@pytest.mark.parametrize("paper", [PAPERS["A4"], PAPERS["Letter"], PAPERS["A3"]], ids=lambda p: p.name)
def test_scale_across_register_marks(paper: Paper) -> None:
    """Sheets laid cross on cross by their marks alone put two far dots as far apart as they are, within 0.01 mm (0.2 is
    what must hold); the two long check marks stand as far apart as is written beside them."""
    d = drawing(800.0, 500.0)
    dots = {"left": (40.0, 40.0), "right": (760.0, 470.0), "low": (755.0, 35.0)}
    d.marks += [Circle(*p, 0.7, "accent") for p in dots.values()]
    made = tiles(d, paper)
    sheets = {t.name: read(t.drawing.svg()) for t in made}
    laid = {"a1": np.zeros(2)}
    while len(laid) < len(sheets):
        for name, sheet in sheets.items():
            own = crosses(sheet)
            for other, shift in list(laid.items()):
                both = own.keys() & crosses(sheets[other]).keys()
                if name not in laid and both:
                    assert len(both) == 2  # two crosses on a join: it is laid straight, too
                    shifts = [np.array(crosses(sheets[other])[c]) + shift - np.array(own[c]) for c in sorted(both)]
                    assert shifts[0] == pytest.approx(shifts[1], abs=1e-3)
                    laid[name] = shifts[0]
    places = [(x + laid[n][0], y + laid[n][1], tag) for n, s in sheets.items() for x, y, tag in _known(s)]
    seen = {tag: (x, y) for x, y, tag in places}
    for a, b in (("left", "right"), ("left", "low"), ("low", "right")):
        true = math.dist(dots[a], dots[b])
        assert math.dist(_near(places, dots[a], dots, "left"), _near(places, dots[b], dots, "left")) == pytest.approx(
            true, abs=0.01
        )
    for letter in ("X", "Y"):
        said = {float(m.group(1)) for t in seen if (m := re.match(rf"{letter} to {letter}: (\d+) mm", t))}
        ends = [(x, y) for x, y, tag in places if tag == f"mark {letter}"]
        assert len(ends) == 2
        assert said == {round(math.dist(*ends), 2)}


def _known(sheet: Sheet) -> list[tuple[float, float, str]]:
    """Dots; words; the long check marks: where a heavy stroke and a thin one cross."""
    found = [(x, y, "dot") for x, y, r, ink in sheet.rings if r == 0.7 and ink == OURS]
    found += list(sheet.words)
    for heavy in (s for s in sheet.strokes if s.width == 0.35 and abs(s.length - 10.0) < 1e-3):
        middle = 0.5 * (heavy.a[0] + heavy.b[0]), 0.5 * (heavy.a[1] + heavy.b[1])
        found.append((*middle, "mark X" if heavy.a[0] == heavy.b[0] else "mark Y"))
    return found


def _near(
    places: list[tuple[float, float, str]], dot: tuple[float, float], dots: dict[str, tuple[float, float]], first: str
) -> tuple[float, float]:
    """The laid place of a dot: they lie as they do in the drawing but for one shift, which the leftmost one gives."""
    laid = [(x, y) for x, y, tag in places if tag == "dot"]
    left = min(laid)
    shift = left[0] - dots[first][0], left[1] - dots[first][1]
    return min(laid, key=lambda p: math.hypot(p[0] - shift[0] - dot[0], p[1] - shift[1] - dot[1]))


def test_sheets_say_what_to_do() -> None:
    """Name, row and column, what to cut and lay over what, a map, which side is up."""
    made = tiles(drawing(600.0, 260.0), PAPERS["A4"])
    assert [t.name for t in made] == ["a1", "a2", "a3", "b1", "b2", "b3"]
    last = " ".join(text for _, _, text in read(made[-1].drawing.svg()).words)
    for said in ("Sheet b3: row b, column 3 of 6 sheets", "Cut along lines", "over b2", "over a3", "top", "100 %"):
        assert said in last
    first = " ".join(text for _, _, text in read(made[0].drawing.svg()).words)
    assert "Keep it whole" in first
    alone = tiles(drawing(150.0, 100.0), PAPERS["A4"])
    assert len(alone) == 1
    assert not crosses(read(alone[0].drawing.svg()))


def test_neighbours_overlap() -> None:
    """By 14 mm, and what is left of them when cut tiles the whole without gap or overlap."""
    made = {t.name: t for t in tiles(drawing(), PAPERS["A4"])}
    assert made["a1"].window.right - made["a2"].window.left == pytest.approx(OVERLAP_MM)
    assert made["a1"].window.low - made["b1"].window.high == pytest.approx(-OVERLAP_MM)
    assert made["a1"].own.right == pytest.approx(made["a2"].own.left)
    assert made["a1"].own.low == pytest.approx(made["b1"].own.high)


def test_pdf_pages_are_as_large_as_the_paper() -> None:
    """One page a sheet, its box the paper's size within 0.02 mm, readers asked not to scale."""
    made = tiles(drawing(450.0, 100.0), PAPERS["Letter"])
    content = true_size_pdf([t.drawing for t in made])
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", content)
    pages = [o for o in content.split(b"endobj") if re.search(rb"/Type /Page\s", o)]
    assert len(pages) == len(made)
    # Letter across: 11 x 8.5 in, 792 x 612 points (ANSI/ASME Y14.1 size A).
    assert {tuple(float(v) for v in b) for b in boxes[-len(made) :]} == {(792.0, 612.0)}
    assert b"/PrintScaling /None" in content


def test_paper_too_small_is_told() -> None:
    """No room for its bars; or more sheets than anybody tapes together; a name that is none."""
    with pytest.raises(InputError, match=r"Postcard is too small.*bars"):
        tiles(drawing(), Paper("Postcard", 105.0, 148.0))
    with pytest.raises(InputError, match="takes 114 sheets"):
        tiles(drawing(3000.0, 1300.0), PAPERS["A4"])
    with pytest.raises(InputError, match=r"unknown paper \"Leter\"; did you mean \"Letter\""):
        paper_named("Leter")
    assert paper_named("letter") is PAPERS["Letter"]


def test_clip_keeps_ends_to_the_last_bit() -> None:
    """What lies in the window is not touched; a line through it is cut at its edges; what lies outside is gone."""
    w = Window(0.0, 0.0, 10.0, 10.0)
    kept: list[Mark] = [
        Line(1.1, 2.2, 9.9, 3.3),
        Circle(5.0, 5.0, 2.0),
        Text(1.0, 1.0, "a"),
        Band(((1, 1), (2, 2)), 1.0),
    ]
    for mark in kept:
        assert list(clipped(mark, w)) == [mark]
    assert list(clipped(Line(-5.0, 5.0, 15.0, 5.0), w)) == [Line(0.0, 5.0, 10.0, 5.0)]
    assert list(clipped(Line(-5.0, 5.0, 5.0, 15.0, "thin"), Window(0.0, 0.0, 10.0, 9.0))) == []
    for gone in (
        Line(11.0, 0.0, 12.0, 9.0),
        Circle(20.0, 5.0, 3.0),
        Text(10.0, 5.0, "b"),
        Band(((11, 1), (12, 2)), 1.0),
    ):
        assert list(clipped(gone, w)) == []
    [a, b] = [
        list(clipped(Band(((-5.0, y), (5.0, y), (5.0, 20.0), (8.0, 20.0), (8.0, y)), 1.0), w)) for y in (2.0, 3.0)
    ]
    assert len(a) == len(b) == 2  # it leaves the window and comes back
    area = list(clipped(Polygon(((-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0)), "steel", "cut"), w))
    assert area[0] == Polygon(((0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (0.0, 5.0)), "steel") or len(area[0].points) == 4  # type: ignore[union-attr]
    assert {(m.x0, m.y0, m.x1, m.y1) for m in area[1:] if isinstance(m, Line)} == {
        (5.0, 0.0, 5.0, 5.0), (5.0, 5.0, 0.0, 5.0),
    }  # fmt: skip
