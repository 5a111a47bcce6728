"""kill -9 at any moment while runs are kept: nothing half that looks finished, nothing lost, the next run clears up."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import pytest

from trundle.record import store
from trundle.record.store import EVENTS, SUMMARY, TIMELINE, free_folder, is_run, read_run, whole_folder, write_tables

PLACES = ("time_s", "hull.x_mm", "hull.y_mm", "hull.pitch_deg")
SEED = 20_261_128

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kill -9 is POSIX's")

WRITER = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[3])
from test_store_kills import fill
from trundle.record.store import free_folder, whole_folder
folder, mode = Path(sys.argv[1]), sys.argv[2]
print("ready", flush=True)
for _ in range(10_000):
    if mode == "free":
        free_folder(folder, fill)
    else:
        with whole_folder(folder) as part:
            fill(part)
    print("kept", flush=True)
"""


def fill(part: Path) -> None:
    """A run of some size, the same bytes each time."""
    timeline = pd.DataFrame({name: [0.001 * row for row in range(2_000)] for name in PLACES})
    events = pd.DataFrame(
        {
            "kind": ["bump stop"],
            "where": ["one"],
            "obstacle": [""],
            "time_s": [0.5],
            "duration_s": [0.1],
            "peak_N": [9.0],
            "height_mm": [1.0],
        }
    )
    write_tables(part, timeline, events, {"mark": 1.5})


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a run by name."""
    return {file.name: file.read_bytes() for file in folder.iterdir()}


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What a run that nobody killed has."""
    with whole_folder(tmp_path_factory.mktemp("sound") / "run") as part:
        fill(part)
        return contents(part)


@pytest.mark.parametrize("mode", ["free", "over"])
@pytest.mark.parametrize("kills", [1, pytest.param(20, marks=pytest.mark.slow)])  # twenty quick ones: test_store
def test_kills_at_random_moments(
    tmp_path: Path, kills: int, mode: str, sound: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Processes that keep run after run, each into a name of its own or over the last, killed somewhere in it.

    What has a run's name is a whole run, byte for byte; the builder's notes in it are never lost; after the next run
    nothing hidden is left but the killed one's turn, which runs out by itself.
    """
    monkeypatch.setattr(store, "STALE_S", 0.0)
    moments = random.Random(SEED)
    folder, notes = tmp_path / "r", {"notes.txt": b"mine"}
    with whole_folder(folder) as part:
        fill(part)
    (folder / "notes.txt").write_bytes(b"mine")
    kept = 1
    for _ in range(kills):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(folder), mode, str(Path(__file__).parent)], stdout=subprocess.PIPE
        ) as writer:
            assert writer.stdout is not None
            assert writer.stdout.readline() == b"ready\n"
            time.sleep(moments.uniform(0.0, 0.1))
            writer.kill()
            said = writer.stdout.read().count(b"kept")
        seen = [path for path in tmp_path.iterdir() if not path.name.startswith(".")]
        for path in seen:
            assert is_run(path)
            assert contents(path) == (sound | notes if path == folder and notes_there(path) else sound)
        # One may have its name and not have been told of yet.
        assert mode == "over" or kept + said <= len(seen) <= kept + said + 1
        kept = len(seen)
        # The next run beside them clears up.
        with whole_folder(tmp_path / "next") as part:
            fill(part)
        assert (folder / "notes.txt").read_bytes() == b"mine"
        assert contents(folder) == sound | notes
        hidden = [p.name for p in tmp_path.iterdir() if p.name.startswith(".") and not p.name.endswith(".lock")]
        assert hidden == []
        for turn in tmp_path.glob(".*.lock"):
            os.utime(turn, (0.0, 0.0))  # ten seconds later
        kept += 1 if mode == "free" and tmp_path / "next" not in seen else 0
    assert read_run(free_folder(folder, fill)).summary["mark"] == 1.5
    assert {TIMELINE, EVENTS, SUMMARY} == set(sound)


def notes_there(folder: Path) -> bool:
    """False between a swap's two steps: the notes then wait in the folder set aside."""
    return (folder / "notes.txt").exists()
