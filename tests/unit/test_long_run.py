"""A run whose log goes to a file: the same numbers to the last bit, and a stated amount of memory."""

from __future__ import annotations

import copy
import errno
import os
import pickle
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from trundle.engine import spill
from trundle.engine.spill import Keeper, Spilled, spill_folder
from trundle.errors import ComputerError, InputError
from trundle.record.columns import SpilledTimeline
from trundle.record.long import columns_of, head
from trundle.record.packed import PackedTimeline
from trundle.record.store import TIMELINE, read_run
from trundle.report.page import report_html
from trundle.result.result import Result
from trundle.result.run import run
from trundle_viewer.film import film_of_folder, film_of_result


def small(monkeypatch: pytest.MonkeyPatch, most_bytes: int = 1_000_000, slab_rows: int = 700) -> None:
    """Logs go to a file from a size on that any run has, in pieces that end anywhere between the engine's own."""
    monkeypatch.setattr(spill, "SPILL_BYTES", most_bytes)
    monkeypatch.setattr(spill, "SLAB_ROWS", slab_rows)


def both(monkeypatch: pytest.MonkeyPatch, vehicle: str, course: str) -> tuple[Result, Result]:
    """A run in memory and the same through a file."""
    short = run(vehicle, course, near=1)
    small(monkeypatch)
    return short, run(vehicle, course, near=1)


def told(result: Result) -> dict[str, object]:
    """The summary without what hangs on the clock on the wall."""
    return {k: v for k, v in result.summary.items() if k != "speed_times_real_time"}


@pytest.mark.parametrize(("vehicle", "course"), [("teasel", "kerb-100"), ("wren", "kerb-50")])
def test_a_run_through_a_file_is_the_same_run(
    vehicle: str, course: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Every column, event, figure, sentence, picture and what is read back, bit for bit; with a track and without."""
    short, long = both(monkeypatch, vehicle, course)
    assert isinstance(long.log, SpilledTimeline)
    assert isinstance(short.log, pd.DataFrame)
    assert list(long.log.columns) == list(short.log.columns)
    for name in short.log.columns:
        assert np.array_equal(long.log[name].to_numpy(), short.log[name].to_numpy()), name
    assert long.events.equals(short.events)
    assert told(long) == told(short)
    assert str(long.verdict) == str(short.verdict)
    assert report_html(long, "", "") == report_html(short, "", "")
    assert long.timeline.equals(short.timeline)
    kept = read_run(long.save(tmp_path / "long"))
    assert isinstance(kept.log, PackedTimeline)
    assert kept.timeline.equals(short.timeline)
    assert read_run(short.save(tmp_path / "short")).timeline.equals(short.timeline)


def test_a_log_that_blew_up_is_cut_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """The page leaves out the last moment of such a run, whichever way its rows are held."""
    _, long = both(monkeypatch, "teasel", "kerb-50")
    cut = head(long.log, 1_000)
    assert len(cut) == 1_000
    x = long.timeline["hull.x_mm"].to_numpy()[:1_000]
    assert np.array_equal(columns_of(cut)["hull.x_mm"], x)
    assert not isinstance(cut, pd.DataFrame)
    assert np.array_equal(np.concatenate([piece["hull.x_mm"] for piece in cut.pieces()]), x)


def test_a_long_result_survives_being_sent_to_another_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its file belongs to this one, so a copy has its rows in memory."""
    _, long = both(monkeypatch, "teasel", "kerb-50")
    for log in (pickle.loads(pickle.dumps(long.log)), copy.copy(long.log)):
        assert log.equals(long.timeline)


def test_the_viewer_shows_a_long_run_alike(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The columns that it draws are in a file then: the same numbers, places and events."""
    short, long = both(monkeypatch, "teasel", "kerb-50")
    monkeypatch.setattr(spill, "SPILL_BYTES", 10**12)
    held = film_of_result(short)
    monkeypatch.setattr(spill, "SPILL_BYTES", 1_000_000)
    for film in (film_of_result(long), film_of_folder(long.save(tmp_path / "run"))):
        assert film.rows == held.rows
        assert film.dt_s == held.dt_s
        names = list(held.place)
        assert np.array_equal(film.block(names, 0, film.rows), held.block(names, 0, held.rows))
        assert np.array_equal(film.block(names, 1_500, 1_400), held.block(names, 1_500, 1_400))
        assert np.array_equal(film.block(names, 10, 10**9), held.block(names, 10, 10**9))
        assert np.array_equal(film.col("hull.x_mm"), held.col("hull.x_mm"))
        for row in (0, 777, film.rows - 1):
            assert film.at("wheel.front.fore.load_N", row) == held.at("wheel.front.fore.load_N", row)
            assert film.travel_mm(row) == held.travel_mm(row)
        assert [e.row for e in film.events] == [e.row for e in held.events]


def test_an_unknown_column_is_a_key_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """As with a DataFrame."""
    _, long = both(monkeypatch, "teasel", "kerb-50")
    assert "hull.x_mm" in long.log
    assert "hull.z_mm" not in long.log
    for ask in (long.log.__getitem__, long.log.once):
        with pytest.raises(KeyError, match=r"hull\.z_mm"):
            ask("hull.z_mm")


def test_a_damaged_timeline_of_a_long_run_is_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Bytes changed in the middle of a column, and a number that is none: refused when that column is read."""
    _, long = both(monkeypatch, "teasel", "kerb-50")
    file = long.save(tmp_path / "run") / TIMELINE
    table = long.timeline.copy()
    table.loc[5, "hull.y_mm"] = np.nan
    table.to_parquet(file, index=False)
    log = read_run(file.parent).log
    with pytest.raises(InputError, match=r"hull\.y_mm holds what is no finite number"):
        log["hull.y_mm"]
    assert len(log["hull.x_mm"]) == len(table)


def rows_of(n: int, width: int, first: int = 0) -> np.ndarray:
    return np.arange(first * width, (first + n) * width, dtype=np.float64).reshape(n, width)


@pytest.mark.parametrize("sizes", [(1,), (700,), (701, 1, 5_000), (3, 699, 698, 2, 699), (20_000,)])
def test_what_is_set_aside_comes_back(sizes: tuple[int, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the sizes of the engine's pieces, before and behind the size from which a file is used."""
    small(monkeypatch, most_bytes=8 * 3 * 2_000)
    keeper, at = Keeper(3), 0
    for n in sizes:
        keeper.add(rows_of(n, 3, at))
        at += n
    log = keeper.kept()
    assert isinstance(log, Spilled) is (at > 2_000)
    all_of_it = rows_of(at, 3)
    if isinstance(log, Spilled):
        assert log.rows == at
        for k in range(3):
            assert np.array_equal(log.column(k), all_of_it[:, k])
        assert np.array_equal(np.concatenate([slab.T for slab in log.slabs()]), all_of_it)
    else:
        assert np.array_equal(np.concatenate(log), all_of_it)


def test_where_it_is_set_aside(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """TMPDIR says; else what the Filesystem Hierarchy Standard has for large temporary files, where there is one."""
    for name in spill.NAMED:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(spill, "ON_DISK", tmp_path)
    assert spill_folder() == tmp_path
    monkeypatch.setattr(spill, "ON_DISK", tmp_path / "none")
    monkeypatch.setattr(tempfile, "tempdir", None)
    assert spill_folder() == Path(tempfile.gettempdir())
    (tmp_path / "mine").mkdir()
    monkeypatch.setenv("TMPDIR", str(tmp_path / "mine"))
    monkeypatch.setattr(tempfile, "tempdir", None)
    assert spill_folder() == tmp_path / "mine"
    monkeypatch.setattr(tempfile, "tempdir", None)


def test_nothing_is_left_of_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Not even while it is in use on a system whose files live on without a name: so a kill leaves nothing either."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    log = Spilled(4)
    log.write(rows_of(10, 4))
    if os.name == "posix":
        assert list(tmp_path.iterdir()) == []
    del log
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_is_one_message(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Half way through a run: the folder, the reason and the way out are named."""
    small(monkeypatch)

    class Full:
        def seek(self, *_: int) -> None: ...
        def write(self, _: object) -> int:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        def close(self) -> None: ...

    monkeypatch.setattr(spill.tempfile, "TemporaryFile", lambda **_: Full())
    with pytest.raises(ComputerError, match=r"could not be set aside there: No space left .*TMPDIR") as caught:
        run("teasel", "kerb-50")
    assert caught.value.problems[0].file == str(spill_folder())


MEASURED = """
import sys
from pathlib import Path
from trundle.engine import spill
from trundle.record import long
from trundle.result.run import run

def peak():
    return next(int(line.split()[1]) for line in open("/proc/self/status") if line.startswith("VmHWM"))

run("teasel", "kerb-50").save(sys.argv[1] + "/warm")
Path("/proc/self/clear_refs").write_text("5")  # the peak begins anew: getting ready takes more than a short run
before = peak()
spill.SPILL_BYTES, spill.SLAB_ROWS, long.KEPT_BYTES = int(sys.argv[2]), 4096, 10_000_000
result = run("teasel", sys.argv[3], near=1)
result.save(sys.argv[1] + "/run")
print(before, peak(), len(result.log) * len(result.log.columns) * 8)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the peak is read as Linux tells it")
def test_memory_does_not_grow_with_the_run(tmp_path: Path) -> None:
    """A run of 40 s that fills some 40 MB, figures, pictures and Parquet with it, takes less than that much more
    memory than a short one; held in memory it takes more than twice of it (log and columns)."""
    course = tmp_path / "wait.toml"
    course.write_text(
        'name = "Wait"\nrun_up_mm = 3000\nrun_out_mm = 3000\n'
        '[[obstacle]]\nkind = "kerb up"\nheight_mm = 20\n[[driver]]\nkind = "stop"\nat_mm = 2200\nfor_s = 30\n'
    )
    taken = []
    for most in (1_000_000, 10**12):
        done = subprocess.run(
            [sys.executable, "-c", MEASURED, str(tmp_path), str(most), str(course)], capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        before, after, filled = map(int, done.stdout.split())
        taken.append((after - before) * 1024 / filled)

    assert taken[0] < 1.0, taken
    assert taken[1] > 1.5, taken
