"""The page: self-contained, escaped, the same for the same results, and it keeps peaks."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from trundle.study import printed
from trundle.study.plots import MAX_POINTS, Series, thinned
from trundle.study.printed import print_frame, print_ranking
from trundle.study.progress import Watch, duration
from trundle.study.report import cell, write_comparison


@pytest.fixture
def table() -> pd.DataFrame:
    rows = []
    for i, (mass, thick) in enumerate([(m, t) for m in (250, 300) for t in (5, 6, 7)], start=1):
        rows.append(
            {
                "variant": i,
                "vehicle": "car",
                "course": "yard",
                "hull.mass_kg": mass,
                "bogie.*.spring.thickness_mm": thick,
                "state": "refused" if i == 6 else "done",
                "reason": "thickness_mm: out of <range>" if i == 6 else "",
                "completed": None if i == 6 else i != 2,
                "ended_because": "stalled at kerb" if i == 2 else "course end",
                "peak_wheel_load_N": None if i == 6 else 1000.0 + mass + 100 * thick,
                "seat_rms_m_s2": None if i == 6 else 0.4 + (thick - 6) ** 2 / 10,
            }
        )
    return pd.DataFrame(rows)


def series() -> list[Series]:
    x = np.linspace(0, 20, 9000)
    return [Series("variant 1", "yard", x, 500 + 100 * np.sin(x), np.cos(x), None)]


class Checker(HTMLParser):
    """Notes addresses outside the page, and headings."""

    def __init__(self) -> None:
        super().__init__()
        self.outside: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("src", "href", "xlink:href", "data") and not (value or "").startswith(("#", "data:image/")):
                self.outside.append(f"{tag} {name}={value}")


def test_the_page_needs_no_network_and_runs_no_script(table: pd.DataFrame, tmp_path: Path) -> None:
    page = tmp_path / "r.html"
    write_comparison(page, "car <i>over</i> yard", table, series(), "a & b")
    text = page.read_text()
    seen = Checker()
    seen.feed(text)
    assert seen.outside == []
    assert "script" not in seen.tags
    assert seen.tags.count("svg") >= 4  # overlay, heat maps, trade-off
    assert "@import" not in text
    assert "url(http" not in text


def test_the_builders_text_is_escaped(table: pd.DataFrame, tmp_path: Path) -> None:
    write_comparison(tmp_path / "r.html", "car <i>over</i> yard", table)
    text = (tmp_path / "r.html").read_text()
    assert "car &lt;i&gt;over" in text
    assert "out of &lt;range&gt;" in text
    assert "<range>" not in text


def test_the_same_results_give_the_same_page(table: pd.DataFrame, tmp_path: Path) -> None:
    for name in ("a", "b"):
        write_comparison(tmp_path / name, "car", table, series())
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


def test_every_number_of_a_grid_is_on_its_map(table: pd.DataFrame, tmp_path: Path) -> None:
    write_comparison(tmp_path / "r.html", "car", table)
    text = (tmp_path / "r.html").read_text()
    heat = text[text.index("Over the grid") :]
    for load in ("1750", "1950", "1800", "1900"):
        assert re.search(rf">{load}</text>", heat)


def test_the_note_tells_of_gaps_where_there_are_any(table: pd.DataFrame, tmp_path: Path) -> None:
    for name, margin in (("without", None), ("with", [2.0, 2.0, None, 1.5, 1.4, None])):
        frame = table.assign(spring_margin=margin)
        write_comparison(tmp_path / name, "car", frame)
        text = (tmp_path / name).read_text()
        assert ("it has no such figure" in text) == (margin is not None)
        assert ("on every figure that both have" in text) == (margin is not None)


def test_the_heading_of_the_overlay_names_course_and_speed(table: pd.DataFrame, tmp_path: Path) -> None:
    write_comparison(tmp_path / "r.html", "car", table, [replace(series()[0], speed_m_s=0.6)])
    assert "<h2>Along the course yard at 0.6 m/s</h2>" in (tmp_path / "r.html").read_text()


def test_the_note_under_the_trade_off_counts_the_numbers_left_out(tmp_path: Path) -> None:
    """Forty variants on one spot: a few numbers find room round it."""
    n = 40
    frame = pd.DataFrame(
        {
            "variant": range(1, n + 1), "vehicle": "car", "course": "yard", "hull.mass_kg": range(n), "state": "done",
            "reason": "", "completed": True, "peak_wheel_load_N": [1e3 + 1e-6 * i for i in range(n)],
            "seat_rms_m_s2": [1 - 1e-6 * i for i in range(n)],
        }
    )  # fmt: skip
    frame.loc[n] = {**frame.loc[0].to_dict(), "variant": n + 1, "peak_wheel_load_N": 2e3, "seat_rms_m_s2": 2.0}
    write_comparison(tmp_path / "r.html", "car", frame)
    text = (tmp_path / "r.html").read_text()
    left = re.search(r"One dot for each variant, with its number where there is room \((\d+) without\)", text)
    assert left
    drawn = text[text.index("Trade-off") :]
    drawn = drawn[: drawn.index("</svg>")]
    numbers = re.findall(r"font-size: 7px[^>]*>(\d+)</text>", drawn)
    assert len(numbers) == len(set(numbers)) == n + 1 - int(left[1])
    assert str(n + 1) in numbers


def test_thinning_keeps_every_peak() -> None:
    y = np.zeros(50_000)
    y[[17, 31_234, 49_999]] = [5.0, -7.0, 3.0]
    x = np.arange(50_000.0)
    thin_x, thin_y = thinned(x, y)
    assert len(thin_x) <= MAX_POINTS
    assert {5.0, -7.0, 3.0} <= set(thin_y)
    assert set(thin_x[thin_y != 0]) == {17.0, 31_234.0, 49_999.0}


def test_the_printed_ranking_says_what_failed_and_why(table: pd.DataFrame, capsys: pytest.CaptureFixture[str]) -> None:
    print_ranking(table)
    said = capsys.readouterr().out
    assert "variant 2 over yard: stalled at kerb" in said
    assert "variant 6 over yard: thickness_mm: out of <range>" in said
    assert re.search(r"seat r.m.s. weighted \[m/s2\] +0.400 +5", said)
    # 3 and 4 have more load than 1 at no better ride; 5 rides better than 1 but loads more.
    assert said.endswith("better on one: 1, 5\n")


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_no_line_is_longer_than_the_screen_and_nothing_is_cut(
    table: pd.DataFrame, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What does not fit beside each other follows below, with the settings again; every figure is there whole."""
    monkeypatch.setattr(printed, "_width", lambda: columns)
    for k in range(6):
        table[f"peak_seat_g{k}"] = 1.0
    print_ranking(table.assign(min_belly_clearance_mm=[100.0 + k for k in range(6)], peak_seat_g=1.25))
    said = capsys.readouterr().out
    assert max(len(line) for line in said.splitlines()) <= columns
    assert "…" not in said
    for word in ("1750", "1950", "thickness_mm", "weighted", "0.500"):
        assert word in said
    assert "The same for all: peak seat [g] 1.25" in said


def test_long_paths_break_at_their_dots(capsys: pytest.CaptureFixture[str]) -> None:
    """A heading never makes its column much wider than a name; of two thickness_mm both paths are shown."""
    print_frame(pd.DataFrame({"variant": [1], "bogie.front.spring.thickness_mm": [6], "reason": [""]}), "Tried")
    assert capsys.readouterr().out == "Tried\nvariant  thickness_mm\n      1             6\n\n"
    print_frame(pd.DataFrame({"a.thickness_mm": [6], "b.thickness_mm": [7]}), "")
    lines = capsys.readouterr().out.splitlines()
    assert lines[:2] == ["            a              b", ".thickness_mm  .thickness_mm"]


def test_cells() -> None:
    assert [cell(True), cell(None), cell(float("nan")), cell(0.123456), cell(3.0, 2), cell("x")] == [
        "yes",
        "",
        "–",
        "0.1235",
        "3.00",
        "x",
    ]


def test_progress_says_rate_and_time_left() -> None:
    watch = Watch()
    watch(100, 1000)  # found in the journal
    assert watch.line(300, 1000, watch.start_s + 20) == "300 of 1000 runs, 10.0 a second, 1 min 10 s left"
    assert [duration(s) for s in (0.4, 59.6, 84, 7500)] == ["0 s", "1 min 0 s", "1 min 24 s", "2 h 5 min"]
