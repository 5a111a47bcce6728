"""Real studies killed at random moments, twenty times: `pytest -m slow tests/study/test_soak.py` (minutes)."""

from __future__ import annotations

import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import psutil
import pytest
from conftest import Cluster, workers_of
from pandas.testing import assert_frame_equal

from sim.spec.shipped import find
from sim.study.api import How, compare
from sim.study.runs import JOURNAL

KILLS = 20
RUNS = 201
VARY = "hull.mass_kg=250:290:0.2"

pytestmark = pytest.mark.slow


def start(out: Path, *more: str) -> subprocess.Popen[bytes]:
    """`trundle compare` as from a terminal."""
    trundle = Path(sys.executable).parent / "trundle"
    command = [trundle, "compare", "badger", "kerb-50", "--vary", VARY, "--out", str(out), *more]
    return subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def finished(out: Path) -> int:
    """Runs that the journal of a study holds."""
    try:
        with closing(sqlite3.connect(out / JOURNAL, timeout=5.0)) as db:
            return int(db.execute("SELECT count(*) FROM run WHERE kind = 'done'").fetchone()[0])
    except sqlite3.OperationalError:  # not there yet
        return 0


def whole_table(out: Path | None):
    """The study's table, made or completed here."""
    return compare(find("vehicles", "badger"), [find("courses", "kerb-50")], [VARY], how=How(out, workers=2))


def test_a_real_study_killed_twenty_times(tmp_path: Path) -> None:
    """kill -9 of a worker (every other time), then of the whole study, at random moments.

    Each start makes a few runs more than the one before. Resumed, the table is that of an undisturbed study
    to the last bit; nothing that was finished is run again.
    """
    chance = random.Random(11)
    for number in range(KILLS):
        study = start(tmp_path)
        time.sleep(chance.uniform(2.5, 5.0))
        workers = workers_of(psutil.Process(study.pid)) if study.poll() is None else []
        if number % 2 and workers:
            chance.choice(workers).send_signal(signal.SIGKILL)
            time.sleep(chance.uniform(0.0, 2.0))
            workers = workers_of(psutil.Process(study.pid)) if study.poll() is None else workers
        study.kill()
        study.wait()
        _, alive = psutil.wait_procs(workers, timeout=10)
        assert not alive, "workers outlive a killed study"
    before = finished(tmp_path)
    resumed = whole_table(tmp_path)
    assert resumed.reused == before > 0
    assert resumed.reused + resumed.ran == RUNS
    assert_frame_equal(resumed.table, whole_table(None).table, check_exact=True)


def test_a_real_study_on_the_distributed_engine_with_a_worker_killed(cluster: Cluster, tmp_path: Path) -> None:
    """The same on two distributed workers, of which one or the other is killed while the study goes on. (Not faster
    than they are started again: a worker killed while it starts is given up by its nanny.)"""
    chance = random.Random(12)
    study = start(tmp_path, "--cluster", cluster.address)
    kills = 0
    while study.poll() is None and kills < KILLS:
        time.sleep(chance.uniform(4.0, 8.0))
        if study.poll() is None and len(workers_of(cluster.family)) == 2:
            cluster.kill_one(chance)
            kills += 1
    assert study.wait(300) == 0
    assert kills >= 1
    resumed = whole_table(tmp_path)
    assert resumed.reused == RUNS
    assert_frame_equal(resumed.table, whole_table(None).table, check_exact=True)
