"""The table of events from somebody else: the cell that is wrong is named."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import trundle
from trundle.errors import InputError
from trundle.record.store import read_run

EVENTS = "events.csv"


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A run with events."""
    return trundle.run("teasel", "kerb-100").save(tmp_path_factory.mktemp("runs") / "run")


@pytest.fixture
def run(kept: Path, tmp_path: Path) -> Path:
    """A copy to damage."""
    return Path(shutil.copytree(kept, tmp_path / "run"))


@pytest.mark.parametrize("cell", ["abc", "inf", "-inf", "1e999", "12,5", "0x10", "=1+1"])
@pytest.mark.parametrize("column", ["time_s", "peak_N"])
def test_a_number_that_is_none_is_found_where_it_stands(run: Path, cell: str, column: str) -> None:
    """File, line and column are named."""
    lines = (run / EVENTS).read_text().splitlines()
    at = lines[0].split(",").index(column)
    cells = lines[2].split(",")
    cells[at] = f'"{cell}"'
    lines[2] = ",".join(cells)
    (run / EVENTS).write_text("\n".join(lines) + "\n")
    with pytest.raises(InputError, match=rf"events\.csv:3: {column}: .* is not a number"):
        read_run(run)


@pytest.mark.parametrize("content", ["", "\n", "kind\n", "time_s,kind\n1,2,3,4\n", "\x00", '"'])
def test_a_table_that_is_none(run: Path, content: str) -> None:
    """Empty, without columns, with cells too many."""
    (run / EVENTS).write_text(content)
    with pytest.raises(InputError, match=r"events\.csv"):
        read_run(run)


def test_what_is_written_is_read_back(run: Path) -> None:
    """All its numbers and words."""
    events = read_run(run).events
    assert len(events) > 3
    assert events["kind"].str.len().gt(0).all()
    assert events["time_s"].is_monotonic_increasing
