"""Sketches laid out with dimensions: true to scale, and to be read."""

from __future__ import annotations

import io
import math
import re
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from trundle.drawing.clash import overlap
from trundle.drawing.fit import Panel, words_of
from trundle.drawing.layout import composed, laid_out
from trundle.drawing.marks import Arc, Group, Polygon
from trundle.drawing.pens import INK, css
from trundle.fields.shape import Shape, area, disc, line
from trundle.fields.sketch import Mark, Note, Round, Sketch, Span, Turn
from trundle.guide.page import WIDE_MM
from trundle.guide.picture import sketches_of, values_of
from trundle.guide.tables import Table, tables

LEAF = np.column_stack([np.linspace(-160, 160, 41), 22 - np.linspace(-160, 160, 41) ** 2 / 800])
SHAPES: tuple[Shape, ...] = (
    disc("rubber", -200, -100, 90),
    disc("rubber", 200, -100, 90),
    line("steel", np.array([[-25.0, 0.0], [-200.0, -100.0]]), 25),
    line("steel", np.array([[25.0, 0.0], [200.0, -100.0]]), 25),
    area("spring", np.vstack([LEAF, LEAF[::-1] + np.array([0.0, 9.0])])),
)
MARKS: tuple[Mark, ...] = (
    Span("seat_above_pivots_mm", (0, 0), (0, 31), "y"),
    Span("length_mm", (-160, -10), (160, -10), "x"),
    Span("thickness_mm", (-120, 4), (-120, 7), "y"),
    Round("free_radius_mm", (0, -378), 400, "radius", 75),
    Span("arm_mm", (25, 0), (200, -100), "line"),
    Span("pivots_apart_mm", (-25, 0), (25, 0), "x"),
    Turn("bump_deg", (25, 0), 150, 0, -10),
    Turn("droop_deg", (25, 0), 120, 0, -42),
    Round("radius_mm", (-200, -100), 90, "radius", 200),
    Note("steel", (60, 28)),
    Note("friction", (60, 28)),
    Note("arm_mass_kg", (120, -52)),
)
PAIR = Sketch("leaf across two arms", "side", SHAPES, MARKS)
VALUES = {"seat_above_pivots_mm": 31.0, "steel": "unknown scrap", "length_mm": 320.0}


def tips(svg: str) -> list[tuple[float, float]]:
    """Points of the arrowheads in the accent's ink."""
    found = re.findall(rf'<polygon points="([-\d.]+),([-\d.]+) [^"]*" fill="{re.escape(css(INK["accent"]))}"', svg)
    return [(float(x), float(y)) for x, y in found]


@pytest.mark.parametrize("mark", [m for m in MARKS if isinstance(m, Span)], ids=lambda m: m.field)
def test_a_dimension_is_as_long_as_what_it_measures(mark: Span) -> None:
    """Read back from the SVG: from arrowhead to arrowhead, over the sketch's scale."""
    (panel,), _ = composed([PAIR], highlight=mark.field)
    a, b = tips(laid_out([PAIR], highlight=mark.field).svg())
    dx, dy = mark.b[0] - mark.a[0], mark.b[1] - mark.a[1]
    true = {"x": abs(dx), "y": abs(dy), "line": math.hypot(dx, dy)}[mark.along]
    assert panel.scale[0] == panel.scale[1] > 0.1
    assert math.dist(a, b) / panel.scale[0] == pytest.approx(true, abs=0.05)


def test_no_words_lie_on_others() -> None:
    (panel,), _ = composed([PAIR], VALUES)
    assert len(panel.boxes) == len(MARKS) - 1  # two notes at one place share a leader
    boxes = np.array(panel.boxes)
    for i, j in combinations(range(len(boxes)), 2):
        assert overlap(boxes[i : i + 1], boxes[j : j + 1])[0, 0] < 1e-6


def test_every_field_is_told_once_with_its_value() -> None:
    """Also where two sketches show it."""
    svg = laid_out([PAIR, PAIR], VALUES).svg()
    for field in {m.field for m in MARKS}:
        assert len(re.findall(rf">{field}\b", svg)) == 1
    assert ">seat_above_pivots_mm 31<" in svg
    assert ">steel unknown scrap<" in svg


def test_one_field_is_meant() -> None:
    """It alone has words; without one of that name it is refused."""
    svg = laid_out([PAIR], VALUES, "length_mm").svg()
    assert ">length_mm 320<" in svg
    assert ">thickness_mm" not in svg
    assert 'data-field="thickness_mm"' in svg
    assert 'data-field="arm_mass_kg"' not in svg  # a leader without words
    assert len(tips(svg)) == 2
    with pytest.raises(KeyError):
        laid_out([PAIR], VALUES, "no_such")


def test_words_of_values() -> None:
    """Of a point its part, of a line of points the one that is led to, of a table nothing."""
    forward = Span("com_mm", (0, 210), (700, 210), "x", "forward")
    up = Span("com_mm", (700, 0), (700, 210), "y", "up")
    assert words_of(forward, (700.0, 210.0)) == "com_mm 700 forward"
    assert words_of(up, (700.0, 210.0)) == "com_mm 210 up"
    assert words_of(up, ((0.0, 140.0), (700.0, 210.0), (900.0, 0.0))) == "com_mm 210 up"
    assert words_of(Note("ring_Hz", (0, 0)), None) == "ring_Hz"
    assert words_of(Note("stops", (0, 0)), PAIR) == "stops"
    assert words_of(Note("at_seat", (0, 0)), "rider") == "at_seat rider"


def test_the_same_as_a_picture_and_a_page() -> None:
    drawing = laid_out([PAIR], VALUES)
    picture = Image.open(io.BytesIO(drawing.png(width_px=800)))
    assert picture.width == 800
    assert picture.height == round(800 * drawing.height / drawing.width)
    colours = picture.convert("RGB").getcolors(1 << 24)
    assert colours is not None
    ink = sum(n for n, colour in colours if sum(colour) < 3 * 90)
    assert 0.002 < ink / (picture.width * picture.height) < 0.1
    assert drawing.pdf().startswith(b"%PDF-")


def true_lengths(sketch: Sketch) -> list[float]:
    """Of all lengths that a sketch tells once, in order [mm]."""
    found = {}
    for m in sketch.marks:
        if isinstance(m, Span):
            dx, dy = m.b[0] - m.a[0], m.b[1] - m.a[1]
            length = {"x": abs(dx), "y": abs(dy), "line": math.hypot(dx, dy)}[m.along]
            found.setdefault((m.field, m.part, m.b), length)
    return sorted(found.values())


def drawn_lengths(panel: Panel, spans: set[str]) -> list[float]:
    """From arrowhead to arrowhead of each dimension line, over its scale, in order [mm]."""
    found = []
    for group in panel.marks:
        if not isinstance(group, Group) or any(isinstance(m, Arc) for m in group.marks):
            continue
        heads = [m.points[0] for m in group.marks if isinstance(m, Polygon)]
        if len(heads) == 2 and group.name in spans:
            (x0, y0), (x1, y1) = heads
            found.append(math.hypot((x1 - x0) / panel.scale[0], (y1 - y0) / panel.scale[1]))
    return sorted(found)


@pytest.mark.parametrize("table", tables(), ids=lambda t: t.anchor)
def test_no_words_meet_in_the_guide_s_pictures(table: Table) -> None:
    """Every sketch of every table's example, as the page lays it out; all of it on its sheet, each length to scale."""
    for sketch in sketches_of(table):
        ((panel,), size) = composed([sketch], values_of(table), size=WIDE_MM)
        boxes = np.array(panel.boxes).reshape(-1, 5)
        depth = overlap(boxes, boxes)
        np.fill_diagonal(depth, 0.0)
        assert depth.max(initial=0.0) < 1e-6, sketch.title
        assert drawn_lengths(panel, {m.field for m in sketch.marks if isinstance(m, Span)}) == [
            pytest.approx(true, abs=0.05) for true in true_lengths(sketch)
        ]
        x0, y0, x1, y1 = panel.bounds
        assert min(x0, y0) > -0.01
        assert x1 <= size[0] + 0.01
        assert y1 <= size[1] + 0.01
