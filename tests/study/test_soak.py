"""Real studies killed at random moments, twenty times: `pytest -m slow tests/study/test_soak.py` (minutes)."""

from __future__ import annotations

import random
import re
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pandas as pd
import psutil
import pytest
from conftest import Cluster, workers_of
from pandas.testing import assert_frame_equal

from trundle.study.runs import JOURNAL

KILLS = 20
RUNS = 801
VARY = "hull.mass_kg=250:290:0.05"

pytestmark = pytest.mark.slow


def start(out: Path, *more: str, stdout: int = subprocess.DEVNULL) -> subprocess.Popen[bytes]:
    """`trundle compare` as from a terminal."""
    trundle = Path(sys.executable).parent / "trundle"
    command = [trundle, "compare", "teasel", "kerb-50", "--vary", VARY, "--out", str(out), *more]
    return subprocess.Popen(command, stdout=stdout, stderr=subprocess.DEVNULL)


def finished(out: Path) -> int:
    """Runs that the journal of a study holds."""
    try:
        with closing(sqlite3.connect(out / JOURNAL, timeout=5.0)) as db:
            return int(db.execute("SELECT count(*) FROM run WHERE kind = 'done'").fetchone()[0])
    except sqlite3.OperationalError:  # not there yet
        return 0


def completed(out: Path) -> tuple[int, pd.DataFrame]:
    """Makes what is missing: how many runs were there already, and the table."""
    study = start(out, stdout=subprocess.PIPE)
    said = study.communicate()[0].decode()
    assert study.returncode == 0
    found = re.search(r"(\d+) were there already", said)
    return int(found[1]) if found else 0, pd.read_parquet(out / "runs.parquet")


def test_a_real_study_killed_twenty_times(tmp_path: Path) -> None:
    """kill -9 of a worker (every other time), then of the whole study, at random moments.

    Each start makes a few runs more than the one before. Resumed, the table is that of an undisturbed study
    to the last bit; nothing that was finished is run again.
    """
    chance = random.Random(11)
    for number in range(KILLS):
        study = start(tmp_path / "out")
        time.sleep(chance.uniform(3.5, 8.0))
        workers = workers_of(psutil.Process(study.pid)) if study.poll() is None else []
        if number % 2 and workers:
            chance.choice(workers).send_signal(signal.SIGKILL)
            time.sleep(chance.uniform(0.0, 2.0))
            workers = workers_of(psutil.Process(study.pid)) if study.poll() is None else workers
        study.kill()
        study.wait()
        _, alive = psutil.wait_procs(workers, timeout=10)
        assert not alive, "workers outlive a killed study"
    before = finished(tmp_path / "out")
    reused, table = completed(tmp_path / "out")
    assert 0 < reused == before
    assert len(table) == RUNS
    assert_frame_equal(table, completed(tmp_path / "undisturbed")[1], check_exact=True)


def test_a_real_study_on_the_distributed_engine_with_a_worker_killed(cluster: Cluster, tmp_path: Path) -> None:
    """The same on two distributed workers, of which one or the other is killed while the study goes on. (Not faster
    than they are started again: a worker killed while it starts is given up by its nanny.)"""
    chance = random.Random(12)
    study = start(tmp_path / "out", "--cluster", cluster.address)
    kills = 0
    while study.poll() is None and kills < KILLS:
        time.sleep(chance.uniform(4.0, 8.0))
        if study.poll() is None and len(workers_of(cluster.family)) == 2:
            cluster.kill_one(chance)
            kills += 1
    assert study.wait(300) == 0
    assert kills >= 1
    reused, table = completed(tmp_path / "out")
    assert reused == RUNS
    assert_frame_equal(table, completed(tmp_path / "undisturbed")[1], check_exact=True)
