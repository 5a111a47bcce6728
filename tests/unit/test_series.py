"""A kept run's time series as CSV and as a spreadsheet, read back with pandas and openpyxl."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest
from click.testing import CliRunner, Result

import trundle
from trundle.cli.series import series
from trundle.errors import InputError
from trundle.record.series import MOST_SHEET_ROWS, chosen_columns, chosen_rows, write_series
from trundle.record.store import KeptRun, read_run


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("runs") / "wren ü"
    trundle.run("wren", "kerb-50", near=1).save(where)
    return where


@pytest.fixture(scope="module")
def kept(folder: Path) -> KeptRun:
    return read_run(folder)


def asked(*words: str | Path) -> Result:
    return CliRunner().invoke(series, [str(w) for w in words])


def test_csv_holds_every_step(folder: Path, kept: KeptRun, tmp_path: Path) -> None:
    """All rows and columns, to nine figures."""
    said = asked(folder, tmp_path / "all.csv")
    assert said.exit_code == 0, said.output
    back = pd.read_csv(tmp_path / "all.csv")
    assert list(back.columns) == list(kept.timeline.columns)
    assert len(back) == len(kept.timeline)
    assert f"{len(back):,} rows of {len(back.columns)} columns" in said.output
    assert np.allclose(back.to_numpy(), kept.timeline.to_numpy(), rtol=1e-8, atol=1e-12)


def test_spreadsheet_has_timeline_events_and_figures(folder: Path, kept: KeptRun, tmp_path: Path) -> None:
    """Chosen columns, thinned, and what belongs to the run on sheets of its own; thinning says what it leaves out."""
    said = asked(folder, tmp_path / "loads.xlsx", "--columns", "wheel.*.load_N", "--every-ms", "20", "--from", "1",
                 "--to", "2")  # fmt: skip
    assert said.exit_code == 0, said.output
    assert "Peaks between these rows are not in it" in said.output
    book = openpyxl.load_workbook(tmp_path / "loads.xlsx")
    assert book.sheetnames == ["timeline", "events", "figures"]
    table = pd.read_excel(tmp_path / "loads.xlsx", sheet_name="timeline")
    loads = [c for c in kept.timeline.columns if c.startswith("wheel.") and c.endswith(".load_N")]
    assert list(table.columns) == ["time_s", *loads]
    assert table["time_s"].iloc[0] == pytest.approx(1.0)
    assert np.allclose(np.diff(table["time_s"]), 0.020)
    whole = kept.timeline.set_index(kept.timeline["time_s"].round(6))
    assert np.allclose(table[loads], whole.loc[table["time_s"].round(6), loads])
    events = pd.read_excel(tmp_path / "loads.xlsx", sheet_name="events")
    assert len(events) == len(kept.events)
    figures = dict(book["figures"].iter_rows(min_row=2, values_only=True))
    assert figures["peak_wheel_load_N"] == pytest.approx(kept.summary["peak_wheel_load_N"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["x.ods"], r"\.csv or \.xlsx"),
        (["x"], "cannot be written"),
        (["x.csv", "--columns", "wheel.load"], 'no column is called "wheel.load"; did you mean'),
        (["x.csv", "--from", "99"], "no row in that time"),
        (["x.csv", "--every-ms", "0.3"], "no whole number of steps"),
        (["x.csv", "--every-ms", "-1"], "no whole number of steps"),
        (["x.csv", "--every-ms", "nan"], "no whole number of steps"),
    ],
)
def test_wrong_requests(folder: Path, tmp_path: Path, words: list[str], says: str) -> None:
    """One message each, and no file."""
    said = asked(folder, tmp_path / words[0], *words[1:])
    assert isinstance(said.exception, InputError)
    with pytest.raises(InputError, match=says):
        raise said.exception
    assert not any(tmp_path.iterdir())


def test_the_runs_own_files_stay(folder: Path) -> None:
    """events.csv of the run is not written over."""
    said = asked(folder, folder / "events.csv")
    assert isinstance(said.exception, InputError)
    assert "file of the run itself" in str(said.exception)


def test_more_rows_than_a_spreadsheet_holds(kept: KeptRun, tmp_path: Path) -> None:
    """Refused before anything is written; a .csv takes them."""
    long = KeptRun(kept.folder, pd.DataFrame({"time_s": np.arange(MOST_SHEET_ROWS + 1) * 1e-3}), kept.events, {})
    rows = chosen_rows(long.log, None, None, None)
    with pytest.raises(InputError, match="more than a spreadsheet holds"):
        write_series(long, tmp_path / "x.xlsx", ["time_s"], rows, lambda _: None)
    assert write_series(long, tmp_path / "x.csv", ["time_s"], rows, lambda _: None) == MOST_SHEET_ROWS + 1


def test_text_is_no_formula(kept: KeptRun, tmp_path: Path) -> None:
    """A wheel that is called =1+1 stays text in both."""
    log = pd.DataFrame({"time_s": [0.0, 0.1], "=1+1": [1.0, 2.0]})
    run = KeptRun(kept.folder, log, pd.DataFrame({"where": ["=2+2"]}), {"headline": "@SUM(1)"})
    rows, names = chosen_rows(log, None, None, None), chosen_columns(log, ())
    for file in (tmp_path / "x.csv", tmp_path / "x.xlsx"):
        write_series(run, file, names, rows, lambda _: None)
    assert (tmp_path / "x.csv").read_text().splitlines()[0] == "time_s,'=1+1"
    book = openpyxl.load_workbook(tmp_path / "x.xlsx")
    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    assert all(c.data_type != "f" for c in cells)
    assert {"'=1+1", "'=2+2", "'@SUM(1)"} <= {c.value for c in cells}
