"""The pictures of a study's page: what is told apart in them, and that nothing lies on anything else."""

from __future__ import annotations

import re

import numpy as np
import pandas as pd
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure as Picture

from trundle.findings.figures import figure_of
from trundle.study import plots
from trundle.study.plots import COLOURS, NUMBER_PT, Series, beside, cells_of, heat_map, heat_note, one_way

MARGIN = figure_of("spring_margin")


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[Picture]:
    """The pictures that were drawn, to be measured."""
    found: list[Picture] = []
    write = plots.svg

    def keep(picture: Picture, name: str) -> str:
        found.append(picture)
        return write(picture, name)

    monkeypatch.setattr(plots, "svg", keep)
    return found


def grid() -> pd.DataFrame:
    """Two by two: with a margin, without one, short of the end; the last combination was not run."""
    return pd.DataFrame(
        {
            "variant": [1, 2, 3],
            "grip": [0.6, 0.6, 0.8],
            "vehicle": ["teasel", "barrow", "teasel"],
            "completed": [True, True, False],
            "beaten_by": ["", "", ""],
            "spring_margin": [1.5, np.nan, 2.0],
        }
    )


def test_a_map_tells_short_of_the_end_from_no_such_figure() -> None:
    rows, columns, values, kinds = cells_of(grid(), "grip", "vehicle", MARGIN)
    assert (rows, columns) == ([0.6, 0.8], ["teasel", "barrow"])
    assert kinds.tolist() == [[plots.KNOWN, plots.NO_FIGURE], [plots.NOT_OVER, plots.NOT_RUN]]
    np.testing.assert_array_equal(values, [[1.5, np.nan], [np.nan, np.nan]])
    text = heat_map(grid(), "grip", "vehicle", MARGIN)
    assert text.count("<pattern") == 1  # the hatching
    assert text.count("fill: #c4c4c4") == 1


def test_the_note_on_the_maps_tells_only_of_cells_that_there_are() -> None:
    assert heat_note(grid(), "grip", "vehicle", [MARGIN]).endswith(
        "darker is worse; grey: did not reach the end; hatched: has no such figure; blank: not run."
    )
    assert heat_note(grid()[:1], "grip", "vehicle", [MARGIN]).endswith("darker is worse.")
    assert heat_note(grid()[:2], "grip", "vehicle", [MARGIN]).endswith("darker is worse; hatched: has no such figure.")


def test_a_run_has_one_colour_in_all_rows(drawn: list[Picture]) -> None:
    """The first has no track and so no curve in the last row: the second keeps its colour there."""
    x = np.linspace(0, 1, 5)
    plots.overlay([Series("a", "yard", x, x, x, None), Series("b", "yard", x, x, x, x)])
    last = drawn[0].axes[-1].get_lines()
    assert [(line.get_label(), line.get_color()) for line in last] == [("b", COLOURS[1])]


def boxes(names: list[str], points: np.ndarray, places: list[tuple[float, float] | None]) -> np.ndarray:
    """left, bottom, right, top of each name that has a place [points]."""
    found = []
    for name, middle, place in zip(names, points, places, strict=True):
        if place is not None:
            half = np.array([0.32 * NUMBER_PT * len(name), 0.37 * NUMBER_PT])  # a digit's box in the page's font
            found.append([*(middle + place - half), *(middle + place + half)])
    return np.array(found)


@pytest.mark.parametrize("wide", [20.0, 100.0, 400.0])
def test_no_number_lies_on_a_dot_or_a_number(wide: float) -> None:
    points = np.random.default_rng(3).uniform(0, wide, (60, 2))
    names = [str(k) for k in range(60, 120)]
    places = beside(points, names)
    found = boxes(names, points, places)
    assert len(found) > 5
    if wide == 400.0:
        assert len(found) == 60
    for i, a in enumerate(found):
        for b in found[:i]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        # Dots are 3 points in radius.
        nearest = np.clip(points, a[:2], a[2:])
        assert np.linalg.norm(points - nearest, axis=1).min() > 2.9


def test_numbers_end_somewhere() -> None:
    many = plots.MAX_NUMBERS + 3
    points = np.column_stack([np.arange(many) * 100.0, np.zeros(many)])
    assert [p is None for p in beside(points, ["1"] * many)] == [False] * (many - 3) + [True] * 3


def test_dots_that_all_but_coincide_have_their_numbers_side_by_side(drawn: list[Picture]) -> None:
    """Drawn and measured: the places are worked out with the limits that the picture has in the end."""
    worst = pd.DataFrame(
        {
            "variant": [3, 4, 9, 10, 1],
            "completed": True,
            "beaten_by": ["", "", "", "", "9"],
            "peak_wheel_load_N": [373.0, 393.0, 2046.0, 2054.0, 4211.0],
            "seat_rms_m_s2": [2.476, 2.476, 1.336, 1.383, 3.314],
        }
    )
    _, left = plots.trade_off(worst, figure_of("peak_wheel_load_N"), figure_of("seat_rms_m_s2"))
    assert left == 0
    canvas = FigureCanvasAgg(drawn[0])
    canvas.draw()
    found = [t.get_window_extent(canvas.get_renderer()) for t in drawn[0].axes[0].texts]
    assert len(found) == 5
    for i, a in enumerate(found):
        assert not any(a.overlaps(b) for b in found[:i])


def test_what_has_no_such_figure_has_no_dot(drawn: list[Picture]) -> None:
    worst = grid().assign(peak_seat_g=1.0)
    text, left = plots.trade_off(worst, MARGIN, figure_of("peak_seat_g"))
    assert left == 0
    assert [t.get_text() for t in drawn[0].axes[0].texts] == ["1"]
    assert "nan" not in text


def test_every_panel_names_its_setting_and_stands_clear_of_the_next(drawn: list[Picture]) -> None:
    n = 6
    names = ["peak_wheel_load_N", "bump_stop_hits", "wheel_off_s", "min_belly_clearance_mm", "peak_seat_g"]
    worst = pd.DataFrame({"drive.grip": np.arange(n) / 10, "completed": True} | {c: np.arange(n) for c in names})
    text = one_way(worst, "drive.grip", [figure_of(c) for c in names])
    assert len(re.findall("drive.grip</text>", text)) == len(names)
    axes = drawn[0].axes
    canvas = FigureCanvasAgg(drawn[0])
    canvas.draw()
    above, below = axes[0], axes[3]
    lowest = above.xaxis.label.get_window_extent(canvas.get_renderer()).y0
    highest = below.title.get_window_extent(canvas.get_renderer()).y1
    assert (lowest - highest) * 72 / drawn[0].dpi > 9.0  # a line of text


def test_a_long_path_is_broken_at_its_dots() -> None:
    assert plots._path("hull.mass_kg", 20) == "hull.mass_kg"
    assert plots._path("bogie.front.spring.thickness_mm", 20) == "bogie.front.spring\n.thickness_mm"
