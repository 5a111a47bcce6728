"""The report's own drawing: paths stay where the curve is, figures on axes are round."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from trundle.report.frame import MOMENT_PT, Moment, Panel, Sheet, round_steps
from trundle.report.svg import NEAR_PT, ROUNDS, drawing, number, points, words


def read(d: str) -> list[np.ndarray]:
    """The pieces of a path, each (n, 2) [pt]."""
    return [np.array([[float(v) for v in p.split()] for p in piece.split("L")]) for piece in d.split("M")[1:]]


def off_path(path: np.ndarray, x: np.ndarray, y: np.ndarray) -> float:
    """Greatest distance of the points from the path [pt], by projection on each of its segments."""
    a, b = path[:-1], path[1:]
    along = b - a
    p = np.column_stack([x, y])[:, None, :]
    share = ((p - a) * along).sum(axis=2) / np.maximum((along**2).sum(axis=1), 1e-12)
    nearest = a + np.clip(share, 0.0, 1.0)[:, :, None] * along
    return float(np.hypot(*np.moveaxis(p - nearest, 2, 0)).min(axis=1).max())


def test_points_left_out_lie_on_the_path() -> None:
    """No point is further from what is drawn than all rounds together may move it, and rounding (0.005 pt)."""
    rng = np.random.default_rng(5)
    x = np.linspace(0.0, 600.0, 1500)
    for y in (np.sin(x / 30.0) * 40.0, np.where(x < 300.0, 0.0, 80.0), rng.normal(size=1500).cumsum()):
        (path,) = read(points(x, y))
        assert off_path(path, x, y) <= ROUNDS * NEAR_PT + 0.01
    assert len(read(points(x, 0.3 * x))[0]) < 20, "a straight line needs few points"


def test_a_peak_of_one_point_stays() -> None:
    """To its height."""
    y = np.zeros(1501)
    y[700] = 33.0
    (path,) = read(points(np.linspace(0.0, 600.0, 1501), y))
    assert path[:, 1].max() == 33.0


def test_no_number_interrupts_a_path() -> None:
    """What has no value is not drawn through, and nothing that a browser cannot read is written."""
    y = np.array([1.0, 2.0, math.nan, 3.0, 5.0, math.inf, 1e300, 7.0])
    d = points(np.arange(8.0), y)
    assert [len(piece) for piece in read(d)] == [2, 2, 2]
    assert "nan" not in d
    assert "inf" not in d
    assert points(np.array([]), np.array([])) == ""


@pytest.mark.parametrize(
    ("low", "high", "most"), [(0.0, 8.13, 10), (-2.3, 3.9, 6), (35.0, 9.0, 4), (0.0, 6900.0, 6), (1e-5, 3e-5, 5)]
)
def test_figures_on_an_axis_are_round(low: float, high: float, most: int) -> None:
    """Even steps of 1, 2 or 5 times a power of ten, within the range, enough of them."""
    steps = round_steps(low, high, most)
    assert min(low, high) - 1e-9 <= steps[0] <= steps[-1] <= max(low, high) + 1e-9
    gaps = np.diff(steps)
    assert np.allclose(gaps, gaps[0], rtol=1e-6)
    first = gaps[0] / 10.0 ** math.floor(math.log10(gaps[0]) + 1e-9)
    assert first == pytest.approx(round(first))
    assert round(first) in (1, 2, 5, 10)
    assert most / 3 <= len(steps) <= most + 1


def test_a_range_of_nothing_has_one_figure() -> None:
    """A level line of zeros, or no numbers at all, do not stop the page."""
    assert round_steps(3.0, 3.0, 5) == [3.0]
    panel = Panel((50.0, 20.0, 600.0, 80.0), 10.0)
    panel.curve(np.linspace(0.0, 10.0, 20), np.zeros(20))
    assert "<path" in "".join(panel.draw([]))
    empty = Panel((50.0, 20.0, 600.0, 80.0), 10.0)
    empty.curve(np.linspace(0.0, 10.0, 20), np.full(20, math.nan))
    assert "nan" not in "".join(empty.draw([]))


def test_a_curve_is_drawn_to_scale() -> None:
    """Ends of the range at the panel's edges, ends of the course at its sides."""
    panel = Panel((50.0, 20.0, 600.0, 80.0), 10.0)
    panel.limits(-1.0, 3.0)
    panel.curve(np.array([0.0, 5.0, 10.0]), np.array([-1.0, 3.0, 1.0]))
    found = re.findall(r'd="(M50\.00 [^"]*)"', "".join(panel.draw([])))
    assert read(found[0])[0].tolist() == [[50.0, 100.0], [350.0, 20.0], [650.0, 60.0]]


def test_markup_in_words_stays_text() -> None:
    """In the drawing and in its name for those who cannot see it."""
    svg = drawing(100.0, 50.0, [words(1.0, 2.0, "<b>&\"'", 8.0)], '<i>"')
    assert "<b>" not in svg
    assert "<i>" not in svg
    assert '"<i>""' not in svg


def test_numbers_are_short() -> None:
    """No trailing zeros, no minus zero."""
    assert [number(v) for v in (0.0, -0.001, 1.5, 100.0, -2.25)] == ["0", "0", "1.5", "100", "-2.25"]


def _discs(drawn: str) -> list[tuple[float, str]]:
    """Where the numbered discs are [pt], and their numbers, as drawn."""
    found = re.findall(r'<circle cx="([\d.]+)"[^>]*/><text[^>]*>(\d)</text>', drawn)
    return [(float(x), number) for x, number in found]


def test_numbered_moments_stand_over_their_places_in_order() -> None:
    """A line through all panels at each, its number above; of two at one place the second beside the first."""
    moments = [Moment(1, 5.0, "#b3261e"), Moment(2, 2.0, "#a85b00"), Moment(3, 2.01, "#a85b00")]
    sheet = Sheet([1.0, 1.0], [("kerb", 4.0, 4.1)], 10.0, "m", moments)
    drawn = sheet.svg("all")
    first, last = sheet.panels
    place = {m.number: first.left + m.x_m / 10.0 * first.wide for m in moments}
    discs = _discs(drawn)
    assert [n for _, n in discs] == ["2", "3", "1"]
    at = {n: x for x, n in discs}
    assert at["1"] == pytest.approx(place[1], abs=0.01)
    assert at["2"] == pytest.approx(place[2], abs=0.01)
    assert 2.0 * MOMENT_PT <= at["3"] - at["2"] <= 2.5 * MOMENT_PT
    down = last.top + last.tall - first.top
    for x in place.values():
        assert f'd="M{x:.2f} {first.top:.2f}v{down:.2f}"' in drawn


def test_without_moments_a_picture_has_no_room_for_them() -> None:
    spans = [("kerb", 4.0, 4.1)]
    plain, numbered = Sheet([1.0], spans, 10.0, "m"), Sheet([1.0], spans, 10.0, "m", [Moment(1, 1.0, "#000000")])
    assert _discs(plain.svg("x")) == []
    assert numbered.tall_in - plain.tall_in == pytest.approx((2.0 * MOMENT_PT + 3.0) / 72.0)
