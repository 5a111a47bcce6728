"""Hatching, chains of dimensions and tapes on paper, against areas and lengths worked out by hand."""

from __future__ import annotations

import itertools
import math

import pytest

from trundle.drawing.chain import Member, chained
from trundle.drawing.hatch import hatch
from trundle.drawing.marks import Circle, Group, Line, Polygon, Text
from trundle.drawing.placed import Style


def test_hatching_covers_an_area_less_its_holes() -> None:
    """Lines an even distance apart: their length times that distance is the area between the outlines."""
    square = [(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)]
    hole = [(10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0)]
    lines = hatch([square, hole], apart=0.25)
    length = sum(math.hypot(m.x1 - m.x0, m.y1 - m.y0) for m in lines)
    assert length * 0.25 == pytest.approx(40.0**2 - 20.0**2, rel=0.005)
    middles = [(0.5 * (m.x0 + m.x1), 0.5 * (m.y0 + m.y1)) for m in lines]
    assert not [p for p in middles if 10.0 < p[0] < 30.0 and 10.0 < p[1] < 30.0]
    assert all((m.y1 - m.y0) == pytest.approx(m.x1 - m.x0) for m in lines)


def test_a_chain_measures_each_of_its_lengths() -> None:
    """Its dimension lines lie end to end; a short one has dots in place of arrowheads (ISO 129-1), and no two words
    share a place."""
    lengths = [30.0, 1.6, 1.6, 2.0]
    ends = [sum(lengths[:k]) for k in range(5)]
    members = [Member((a, 0.0), (b, 0.0), f"{b - a:g}", str(k)) for k, (a, b) in enumerate(itertools.pairwise(ends))]
    groups = [m for m in chained(members, 10.0, "above", Style()) if isinstance(m, Group)]
    assert [g.name for g in groups] == ["0", "1", "2", "3"]
    for group, length in zip(groups, lengths, strict=True):
        line = group.marks[0]
        assert isinstance(line, Line)
        assert line.x1 - line.x0 == pytest.approx(length)
        assert line.y0 == line.y1 == 10.0
        heads = [m for m in group.marks if isinstance(m, Polygon)]
        dots = [m for m in group.marks if isinstance(m, Circle)]
        assert (len(heads), len(dots)) == ((2, 0) if length > 10.0 else (0, 2))
    places = sorted(m.x for g in groups for m in g.marks if isinstance(m, Text))
    assert min(b - a for a, b in itertools.pairwise(places)) >= 1.75 * Style().text - 1e-9
