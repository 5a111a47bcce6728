"""The run folder: whole or not at all, whatever happens while it is written."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pandas as pd
import pytest

from sim.errors import InputError
from sim.record.store import SUMMARY, TIMELINE, check_place, is_run, read_run, whole_folder, write_tables

COLUMNS = ["time_s", "hull.x_mm", "hull.y_mm", "hull.pitch_deg"]


def fill(part: Path, mark: float) -> None:
    """A small run with a figure to know it by."""
    timeline = pd.DataFrame({c: [0.0, mark] for c in COLUMNS})
    events = pd.DataFrame({"kind": [], "where": [], "obstacle": []})
    write_tables(part, timeline, events, {"mark": mark})


def mark_of(folder: Path) -> tuple[float, float]:
    """The figure, as summary and timeline have it."""
    run = read_run(folder)
    return run.summary["mark"], run.timeline["time_s"].iloc[-1]


def keep(folder: Path, mark: float) -> None:
    """Write a run as the command does."""
    with whole_folder(folder) as part:
        fill(part, mark)


def test_a_later_run_takes_the_place_whole(tmp_path: Path) -> None:
    """The builder's own files in the folder stay; nothing else is left over."""
    keep(tmp_path / "r", 1.0)
    (tmp_path / "r" / "notes.txt").write_text("mine")
    keep(tmp_path / "r", 2.0)
    assert mark_of(tmp_path / "r") == (2.0, 2.0)
    assert (tmp_path / "r" / "notes.txt").read_text() == "mine"
    assert [p.name for p in tmp_path.iterdir()] == ["r"]


@pytest.mark.parametrize("stop", [KeyboardInterrupt, MemoryError, OSError(errno.ENOSPC, "No space left on device")])
def test_a_run_broken_off_leaves_the_older_one(tmp_path: Path, stop: type[BaseException] | OSError) -> None:
    """Ctrl-C, no memory, a full disk in the middle of writing: the older run stands, the half one is gone."""
    keep(tmp_path / "r", 1.0)
    wanted = InputError if isinstance(stop, OSError) else stop

    def broken_off() -> None:
        with whole_folder(tmp_path / "r") as part:
            (part / TIMELINE).write_bytes(b"half")
            raise stop

    with pytest.raises(wanted) as caught:
        broken_off()
    if isinstance(stop, OSError):
        assert str(caught.value) == f"{tmp_path / 'r'}: the run could not be kept: No space left on device"
    assert mark_of(tmp_path / "r") == (1.0, 1.0)
    assert [p.name for p in tmp_path.iterdir()] == ["r"]


def test_a_full_disk_while_the_table_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As above, from the writer of the table itself."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(pd.DataFrame, "to_parquet", full)
    with pytest.raises(InputError, match="could not be kept: No space left on device"):
        keep(tmp_path / "r", 1.0)
    assert list(tmp_path.iterdir()) == []


KILLED = """
import os, signal, sys
from pathlib import Path
from sim.record.store import TIMELINE, SUMMARY, whole_folder
with whole_folder(Path(sys.argv[1])) as part:
    (part / TIMELINE).write_bytes(b"PAR1")
    (part / SUMMARY).write_text('{"format": 1}')
    os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_killed_process_leaves_nothing_that_looks_finished(tmp_path: Path) -> None:
    """kill -9 with all files written but the folder not yet named: only a hidden folder stays."""
    keep(tmp_path / "old", 1.0)
    for name in ("new", "old"):
        done = subprocess.run([sys.executable, "-c", KILLED, str(tmp_path / name)], check=False)
        assert done.returncode == -signal.SIGKILL
    assert not (tmp_path / "new").exists()
    assert mark_of(tmp_path / "old") == (1.0, 1.0)
    assert all(p.name.startswith(".") or p.name == "old" for p in tmp_path.iterdir())


def test_many_runs_into_one_folder_at_once(tmp_path: Path) -> None:
    """One of them wins whole; none fails; nothing is left over."""
    failed: list[BaseException] = []

    def work(n: int) -> None:
        try:
            for k in range(6):
                keep(tmp_path / "r", float(10 * n + k))
        except BaseException as e:
            failed.append(e)

    threads = [threading.Thread(target=work, args=(n,)) for n in range(4)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    assert failed == []
    one, two = mark_of(tmp_path / "r")
    assert one == two
    assert [p.name for p in tmp_path.iterdir()] == ["r"]


def test_places_where_no_run_can_go(tmp_path: Path) -> None:
    """A file, a folder of something else, a link to itself, a name no system allows: said, nothing touched."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "thesis.txt").write_text("x")
    (tmp_path / "loop").symlink_to("loop")
    for name in ("file", "other", "loop", "x" * 300, "a\0b", "file/below"):
        with pytest.raises(InputError) as caught:
            keep(tmp_path / name, 1.0)
        (problem,) = caught.value.problems
        assert len(str(problem)) < 500
    assert (tmp_path / "other" / "thesis.txt").read_text() == "x"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["file", "loop", "other"]


def test_a_linked_folder_is_followed(tmp_path: Path) -> None:
    """The link stays a link."""
    (tmp_path / "disk").mkdir()
    (tmp_path / "results").symlink_to("disk")
    (tmp_path / "last").symlink_to("disk/r")
    keep(tmp_path / "results" / "r", 1.0)
    keep(tmp_path / "last", 2.0)
    assert (tmp_path / "last").is_symlink()
    assert mark_of(tmp_path / "disk" / "r") == (2.0, 2.0)
    assert check_place(tmp_path / "last") == (tmp_path / "disk" / "r").resolve()


@pytest.mark.parametrize(
    ("name", "raw"),
    [
        (SUMMARY, b""),
        (SUMMARY, b"[" * 100_000),
        (SUMMARY, b'{"format": 99}'),
        (SUMMARY, b"\xff\xfe"),
        (SUMMARY, b"3"),
        (TIMELINE, b""),
        (TIMELINE, b"PAR1" + b"\0" * 100 + b"PAR1"),
        ("events.csv", b""),
        ("events.csv", b'\xff,\x00\n"a'),
    ],
)
def test_a_damaged_run_is_refused_by_name(tmp_path: Path, name: str, raw: bytes) -> None:
    """In one message that begins with the file or folder."""
    keep(tmp_path / "r", 1.0)
    (tmp_path / "r" / name).write_bytes(raw)
    with pytest.raises(InputError) as caught:
        read_run(tmp_path / "r")
    (problem,) = caught.value.problems
    assert problem.file.startswith(str(tmp_path / "r"))
    assert is_run(tmp_path / "r")
