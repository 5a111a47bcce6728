"""No table that is written makes a spreadsheet run what a name says (OWASP, "CSV Injection")."""

from __future__ import annotations

import csv
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trundle.record.cells import harmless, meant, read_cells, write_cells
from trundle.record.store import EVENTS, read_run, write_tables
from trundle.study.files import write_csv

RUN = ("=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", "\n=1", "＝1+1", '=HYPERLINK("http://x";"y")')
KEPT = ("-3.5", "+2", "-1e-3", "front.fore", "a=b", "x - y", "'quoted'", "", "a; -3 mm", "3-4", "-.5")


@pytest.mark.parametrize("text", RUN)
def test_a_formula_gets_an_apostrophe(text: str) -> None:
    assert harmless(text) == f"'{text}" or (text[0] in "\t\r\n" and harmless(text).startswith(f"'{text[0]}"))
    assert meant(harmless(text)) == text


@pytest.mark.parametrize("text", KEPT)
def test_a_number_and_plain_text_stay(text: str) -> None:
    assert harmless(text) == text == meant(text)


@pytest.mark.parametrize("text", ["x;=1+1", "x\t@SUM(1)", "x\n-1+1", "x;'=1"])
def test_a_formula_behind_another_separator_is_none(text: str) -> None:
    """Where the comma is the decimal sign, cells are parted at semicolons."""
    assert harmless(text) == f"{text[:2]}'{text[2:]}"
    assert meant(harmless(text)) == text


@given(st.text(alphabet="'=+-@\t\r\n;,x1.\uff1d"))
def test_any_text_comes_back_and_starts_nothing(text: str) -> None:
    safe = harmless(text)
    assert meant(safe) == text
    number = safe.lstrip("+-").replace(".", "", 1).isdecimal()
    assert number or not safe.startswith(tuple("=+-@\t\r\n\uff1d"))


def test_headings_and_cells_of_a_study(tmp_path: Path) -> None:
    frame = pd.DataFrame({"=cmd": [-3.5, 2.0], "name": ["=1+1", "-4"], "mixed": [-1, "@x"]})
    write_csv(frame, tmp_path / "runs.csv")
    with (tmp_path / "runs.csv").open(newline="", encoding="utf-8") as file:
        assert list(csv.reader(file)) == [["'=cmd", "name", "mixed"], ["-3.5", "'=1+1", "-1"], ["2.0", "-4", "'@x"]]
    assert list(read_cells(tmp_path / "runs.csv")["name"]) == ["=1+1", "-4"]


def test_two_columns_of_one_name_stay_two(tmp_path: Path) -> None:
    write_cells(pd.DataFrame([["=a", "=b"]], columns=["x", "x"]), tmp_path / "t.csv")
    assert (tmp_path / "t.csv").read_text(encoding="utf-8").splitlines() == ["x,x", "'=a,'=b"]


def test_events_are_read_back_as_they_were(tmp_path: Path) -> None:
    times = {"time_s": [0.0, 0.1], "hull.x_mm": [0.0, 1.0], "hull.y_mm": [0.0, 0.0], "hull.pitch_deg": [0.0, 0.0]}
    words = {"kind": ["bump stop"], "where": ["=1+1.fore"], "obstacle": ["-2+3"]}
    events = pd.DataFrame({"time_s": [0.1], "duration_s": [0.2], "peak_N": [-3.5], "height_mm": [-1.0], **words})
    write_tables(tmp_path, pd.DataFrame(times), events, {})
    text = (tmp_path / EVENTS).read_text(encoding="utf-8")
    assert ",'=1+1.fore," in text
    assert text.rstrip().endswith(",'-2+3")
    back = read_run(tmp_path).events
    assert list(back["where"]) == ["=1+1.fore"]
    assert list(back["obstacle"]) == ["-2+3"]
    assert list(back["peak_N"]) == [-3.5]
