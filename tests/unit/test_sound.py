"""A kept run of someone else, or of a failing disk: refused with file and column, or read; never waited for."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import trundle
from trundle.errors import InputError
from trundle.papers.loads import run_angles
from trundle.record.store import EVENTS, TIMELINE, read_run
from trundle.spec.course import Course

COURSE = Course.model_validate(
    {"run_up_mm": 1000, "run_out_mm": 500, "obstacle": [{"kind": "kerb up", "height_mm": 40, "gap_mm": 300}]}
)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A run of Wren over a kerb: it has events with and without a peak."""
    return trundle.run("wren", COURSE).save(tmp_path_factory.mktemp("good") / "run")


@pytest.fixture
def kept(good: Path, tmp_path: Path) -> Path:
    """A copy to damage."""
    return Path(shutil.copytree(good, tmp_path / "run"))


def test_a_run_as_written_is_sound(kept: Path) -> None:
    """Text for text, numbers for numbers, nothing for nothing."""
    run = read_run(kept)
    assert run.events["time_s"].is_monotonic_increasing
    assert set(map(type, run.events["where"])) == {str}
    assert run.events["peak_N"].isna().any()


def text_in(column: str) -> Callable[[pd.DataFrame], pd.DataFrame]:
    """The same table with a word in the place of a column's numbers."""
    return lambda t: t.assign(**{column: "[/]"})


def number_in(column: str, value: float) -> Callable[[pd.DataFrame], pd.DataFrame]:
    """The same table with one number put in."""

    def put(t: pd.DataFrame) -> pd.DataFrame:
        t = t.copy()
        t.loc[3, column] = value
        return t

    return put


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda t: t.drop(columns="hull.pitch_deg"), "the timeline is cut short (no hull.pitch_deg)"),
        (lambda t: t.iloc[:1], "the timeline is cut short (no rows)"),
        (lambda t: t.iloc[::-1], "time_s: runs backwards"),
        (text_in("hull.y_mm"), "hull.y_mm: holds what is no number"),
        (number_in("wheel.one.y_mm", np.nan), "wheel.one.y_mm: holds a number that no run has"),
        (number_in("wheel.one.load_N", np.inf), "wheel.one.load_N: holds a number that no run has"),
        (number_in("time_s", 1e300), "time_s: holds a number that no run has"),
    ],
)
def test_a_timeline_that_no_run_wrote_is_refused(
    kept: Path, damage: Callable[[pd.DataFrame], pd.DataFrame], words: str
) -> None:
    """It reads as Parquet, so nothing else would notice."""
    damage(pd.read_parquet(kept / TIMELINE)).to_parquet(kept / TIMELINE, index=False)
    with pytest.raises(InputError) as caught:
        read_run(kept)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda t: t.drop(columns="peak_N"), "events.csv:1: peak_N: the table has no such column"),
        (text_in("peak_N"), "events.csv:2: peak_N: '[/]' is not a number"),
        (number_in("height_mm", np.inf), "events.csv:5: height_mm: 'inf' is not a number"),
        (number_in("time_s", np.nan), "events.csv:5: time_s: '' is not a number"),
    ],
)
def test_events_that_no_run_wrote_are_refused(
    kept: Path, damage: Callable[[pd.DataFrame], pd.DataFrame], words: str
) -> None:
    """A cell of another type, a column lost."""
    damage(pd.read_csv(kept / EVENTS)).to_csv(kept / EVENTS, index=False)
    with pytest.raises(InputError) as caught:
        read_run(kept)
    assert words in str(caught.value)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
@pytest.mark.parametrize("name", [TIMELINE, EVENTS])
def test_a_pipe_in_a_files_place_is_refused_not_waited_at(kept: Path, name: str) -> None:
    """Nobody writes into it: an open would last for ever."""
    (kept / name).unlink()
    os.mkfifo(kept / name)
    with pytest.raises(InputError, match="is not a file"):
        read_run(kept)


def test_a_device_in_a_files_place_is_not_read_to_its_end(kept: Path) -> None:
    """/dev/zero has none: it would fill the memory."""
    if not Path("/dev/zero").exists():
        pytest.skip("no /dev/zero here")
    (kept / EVENTS).unlink()
    (kept / EVENTS).symlink_to("/dev/zero")
    with pytest.raises(InputError, match="is not a file"):
        read_run(kept)


def test_an_arm_without_an_angle_is_told_to_the_sheet(kept: Path) -> None:
    """The sheet works out springs from angles: with one gap all of it would be nan."""
    number_in("arm.one.angle_deg", np.nan)(pd.read_parquet(kept / TIMELINE)).to_parquet(kept / TIMELINE, index=False)
    with pytest.raises(InputError, match=r"arm\.one\.angle_deg: holds what is no number"):
        run_angles(kept, ("one", "two"))
