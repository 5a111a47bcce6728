"""Run folders from somebody else: files that are none, text among numbers, sizes that are none. One message, code 2."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest
from viewer_parts import keep

from trundle.cli.main import main
from trundle.record.store import COURSE, EVENTS, SUMMARY, TIMELINE, VEHICLE, read_run

VEHICLE_NAME = "wren"
Spoil = Callable[[Path], object]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A run as it was kept."""
    return keep(tmp_path_factory.mktemp("sound") / "run", VEHICLE_NAME, "kerb-50")


@pytest.fixture
def kept(sound: Path, tmp_path: Path) -> Path:
    """The same, to be spoilt."""
    return Path(shutil.copytree(sound, tmp_path / "run"))


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command that must end with code 2 says: one line."""
    with pytest.raises(SystemExit) as caught:
        main(list(words))
    error = capsys.readouterr().err
    assert caught.value.code == 2, error
    assert error.count("\n") == 1
    return error


def seen(capsys: pytest.CaptureFixture[str], kept: Path) -> str:
    """What the picture of a run, a movie of it, and the pair of it with itself say: the same."""
    out = kept.parent / "out"
    once = said(capsys, "watch", str(kept), "--frame", "1", f"{out}.png", "--size", "320x240")
    assert once == said(capsys, "watch", str(kept), "--movie", f"{out}.gif", "--to", "0.1", "--size", "320x240")
    assert once == said(capsys, "watch", str(kept), str(kept), "--frame", "1", f"{out}.png", "--size", "320x240")
    assert [p.name for p in kept.parent.iterdir()] == ["run"]
    return once


@pytest.mark.parametrize("name", [TIMELINE, EVENTS, SUMMARY, VEHICLE, COURSE])
@pytest.mark.parametrize("made", ["pipe", "folder", "device", "nothing", "nowhere"])
def test_a_file_that_is_none(kept: Path, name: str, made: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A pipe is not waited at, a device not read without end; all are named."""
    if made in ("pipe", "device") and os.name != "posix":
        pytest.skip("POSIX has these among files")
    file = kept / name
    file.unlink()
    if made == "pipe":
        os.mkfifo(file)
    elif made == "folder":
        file.mkdir()
    elif made == "device":
        file.symlink_to("/dev/zero")
    elif made == "nowhere":
        file.symlink_to("nowhere")
    told = seen(capsys, kept)
    assert name in told
    assert told.count(str(kept)) == 1
    if name in (TIMELINE, SUMMARY, VEHICLE) and made in ("pipe", "folder", "device"):
        assert name in said(capsys, "sheet", VEHICLE_NAME, "--run", str(kept))


@pytest.mark.parametrize(
    ("column", "cell"),
    [("time_s", "abc"), ("time_s", "inf"), ("peak_N", "none"), ("height_mm", "1,5"), ("duration_s", "12 s")],
)
def test_an_event_with_no_number(kept: Path, column: str, cell: str, capsys: pytest.CaptureFixture[str]) -> None:
    """In a column of numbers: column, cell and line are told."""
    events = pd.read_csv(kept / EVENTS, dtype=str, keep_default_na=False)
    events.loc[1, column] = cell
    events.to_csv(kept / EVENTS, index=False)
    told = seen(capsys, kept)
    assert f"{kept / EVENTS}:3: {column}: {cell!r} is not a number" in told


def test_an_event_without_a_time(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An empty cell is a size that the kind has not; but a time each has."""
    events = pd.read_csv(kept / EVENTS, dtype=str, keep_default_na=False)
    events.loc[1, "time_s"] = ""
    events.to_csv(kept / EVENTS, index=False)
    assert f"{kept / EVENTS}:3: time_s: '' is not a number" in seen(capsys, kept)
    events.loc[1, "time_s"] = "1.5"
    events.drop(columns="obstacle").to_csv(kept / EVENTS, index=False)
    assert f"{kept / EVENTS}:1: obstacle: the table has no such column" in seen(capsys, kept)


def test_events_are_read_as_they_were_written(sound: Path) -> None:
    """To the last digit that is written, words as they are, and a size that there is not as nan."""
    read, text = read_run(sound).events, (sound / EVENTS).read_text()
    assert read.to_csv(index=False, float_format="%.6g") == text
    assert read["peak_N"].isna().any()


def _with(column: str, value: object, row: int | None = None) -> Spoil:
    def spoil(folder: Path) -> None:
        table = pd.read_parquet(folder / TIMELINE)
        if row is None:
            table[column] = value
        else:
            table.loc[row, column] = value
        table.to_parquet(folder / TIMELINE)

    return spoil


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (_with("hull.y_mm", "high"), "hull.y_mm: holds"),
        (_with("more", "text"), "more: holds"),
        (_with("hull.y_mm", float("nan"), 50), "hull.y_mm: holds a number that no run has"),
        (_with("wheel.one.load_N", float("inf"), 50), "wheel.one.load_N: holds a number that no run has"),
        (_with("time_s", 0.0), "time_s: no time passes"),
        (_with("time_s", float("nan"), 7), "time_s: holds a number that no run has"),
        (_with("time_s", 1e9, 7), "time_s: runs backwards"),
        (lambda f: pd.read_parquet(f / TIMELINE).iloc[:0].to_parquet(f / TIMELINE), "cut short (no rows)"),
        (lambda f: pd.read_parquet(f / TIMELINE).iloc[:1].to_parquet(f / TIMELINE), "cut short (no rows)"),
        (
            lambda f: pd.read_parquet(f / TIMELINE).drop(columns="hull.x_mm").to_parquet(f / TIMELINE),
            "cut short (no hull.x_mm)",
        ),
    ],
)
def test_a_timeline_that_is_none(kept: Path, spoil: Spoil, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Text, empty cells, time that stands or runs back, no rows."""
    spoil(kept)
    error = seen(capsys, kept)
    assert error.startswith(str(kept))
    assert told in error


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("ground_mm", 1e-300, "does not fit"),
        ("ground_mm", [5], "wrong or missing"),
        ("ground_mm", None, "wrong or missing"),
        ("idler_set_mm", 1e300, "wrong or missing"),
        ("idler_set_mm", "far", "wrong or missing"),
        ("idler_set_mm", float("nan"), "wrong or missing"),
    ],
)
def test_a_summary_of_wrong_types(
    kept: Path, key: str, value: object, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its sizes are looked at before ground is laid by them."""
    summary = json.loads((kept / SUMMARY).read_text(encoding="utf-8")) | {key: value}
    (kept / SUMMARY).write_text(json.dumps(summary), encoding="utf-8")
    assert told in seen(capsys, kept)


@pytest.mark.parametrize("peak", ["hard", True, None, -1.0, 1e300, [3.0], float("nan")])
def test_peaks_that_are_none(kept: Path, peak: object, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet takes no load that is none."""
    summary = json.loads((kept / SUMMARY).read_text(encoding="utf-8"))
    summary["wheels"]["one"]["peak_N"] = peak
    (kept / SUMMARY).write_text(json.dumps(summary), encoding="utf-8")
    assert str(kept / SUMMARY) in said(capsys, "sheet", VEHICLE_NAME, "--run", str(kept))
