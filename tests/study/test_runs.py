"""Cases in, table out: the same table whatever the workers, the order, and the interruptions."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pandas as pd
import psutil
import pytest
from pandas.testing import assert_frame_equal
from study_fakes import fake_run, how, make_plan

from trundle.errors import InputError
from trundle.study.case import Case
from trundle.study.grid import Plan
from trundle.study.runs import JOURNAL, run_cases, save_table

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
ROUNDS = int(os.environ.get("TRUNDLE_SOAK", "2"))
"""Times that a study is killed; TRUNDLE_SOAK=20 for a long look."""


@pytest.fixture(autouse=True)
def _one_version(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("trundle.study.case.identity", lambda: {"version": "of the test"})


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    return make_plan(tmp_path)


def test_every_row_equals_the_single_call(plan: Plan) -> None:
    table = run_cases(plan, how(workers=2)).table
    assert len(table) == len(plan) == 30
    for row, case in zip(table.to_dict("records"), plan, strict=True):
        alone = fake_run(
            {
                "vehicle_settings": {
                    "hull.mass_kg": case.settings["hull.mass_kg"],
                    "bogie.front.spring.thickness_mm": case.settings["bogie.*.spring.thickness_mm"],
                }
            }
        )
        assert row["seat_rms_m_s2"] == alone["seat_rms_m_s2"]
        assert row["standing.rear"] == alone["standing"]["rear"]
        assert row["state"] == "done"


def test_workers_and_order_do_not_change_the_table(plan: Plan) -> None:
    cases = list(plan)
    shuffled = random.Random(1).sample(cases, len(cases))
    one = run_cases(cases, how(workers=1)).table
    two = run_cases(shuffled, how(workers=3)).table.sort_values("variant").reset_index(drop=True)
    assert_frame_equal(one, two, check_exact=True)


def test_a_second_call_repeats_nothing(plan: Plan, tmp_path: Path) -> None:
    first = run_cases(plan, how(tmp_path / "out"))
    again = run_cases(plan, how(tmp_path / "out"))
    assert (first.ran, again.ran, again.reused) == (30, 0, 30)
    assert_frame_equal(first.table, again.table, check_exact=True)


def test_a_changed_file_is_run_again(plan: Plan, tmp_path: Path) -> None:
    run_cases(plan, how(tmp_path / "out"))
    file = plan.vehicles[0]
    file.write_text(file.read_text() + "# moved a hole\n")
    assert run_cases(plan, how(tmp_path / "out")).ran == 30


def test_alike_cases_are_run_once(plan: Plan) -> None:
    cases = list(plan)[:3]
    study = run_cases(cases * 4, how())
    assert study.ran == 3
    assert len(study.table) == 12
    assert study.table["state"].eq("done").all()


def test_an_invalid_variant_is_a_row_with_its_reason(plan: Plan) -> None:
    cases = [
        Case(i, c.vehicle, c.course, {"hull.mass_kg": m}) for i, (c, m) in enumerate(zip(plan, [13, 300], strict=False))
    ]
    table = run_cases(cases, how()).table
    assert list(table["state"]) == ["refused", "done"]
    assert table["reason"][0] == "hull.mass_kg: an unlucky mass"
    assert list(table.columns[:6]) == ["variant", "vehicle", "course", "hull.mass_kg", "state", "reason"]


def test_tables_are_written_whole(plan: Plan, tmp_path: Path) -> None:
    study = run_cases(plan, how(tmp_path / "out"))
    parquet, csv = save_table(study)
    assert_frame_equal(pd.read_parquet(parquet), study.table, check_exact=True)
    assert_frame_equal(pd.read_csv(csv, keep_default_na=False), study.table, check_exact=True, check_dtype=False)
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == ["runs.csv", "runs.parquet", JOURNAL]


def test_a_disk_that_is_full_at_the_end_keeps_the_old_table(plan: Plan, tmp_path: Path) -> None:
    study = run_cases(plan, how(tmp_path / "out"))
    (tmp_path / "out" / "runs.csv").mkdir()  # stands in the way of the rename
    with pytest.raises(InputError, match="is a folder"):
        save_table(study)
    assert run_cases(plan, how(tmp_path / "out")).ran == 0


STUDY = """
import os, sys
from pathlib import Path
sys.path[:0] = sys.argv[1].split(";")
if __name__ == "__main__":
    from study_fakes import make_plan, how, one_version
    from trundle.study.runs import run_cases
    one_version()
    plan = make_plan(Path(sys.argv[2]), range(200, int(sys.argv[3]), 2))
    # Long lines: a pipe holds at most some 300 of them, so no study is through before somebody reads them.
    # Each in one write: no signal comes between a line and its end.
    say = lambda done, total: os.write(1, b"%-239d\\n" % done)
    try:
        study = run_cases(plan, how(Path(sys.argv[2]) / "out", workers=2, progress=say))
        print("interrupted" if study.interrupted else "through")
    except KeyboardInterrupt:  # while the workers start
        print("stopped")
"""


def start_study(folder: Path, most_kg: int = 400) -> subprocess.Popen[bytes]:
    script = folder / "study.py"
    script.write_text(STUDY)
    return subprocess.Popen(
        [sys.executable, str(script), f"{HERE};{ROOT}", str(folder), str(most_kg)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def test_ctrl_c_on_the_whole_group_keeps_what_is_done(tmp_path: Path) -> None:
    """As from a terminal: parent and workers all get the signal; no tracebacks, no row said and lost."""
    with start_study(tmp_path, 1000) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        said = [child.stdout.readline() for _ in range(40)]
        os.killpg(child.pid, signal.SIGINT)
        # Not communicate(): that leaves out what readline() has read ahead.
        lines = [line.strip() for line in [*said, *child.stdout.readlines()]]
        errors = child.stderr.read()
    assert lines[-1] == b"interrupted"
    assert errors == b""
    resumed = run_cases(make_plan(tmp_path, range(200, 1000, 2)), how(tmp_path / "out", workers=2))
    # The signal may come between the writing of a row and the saying of it.
    assert resumed.reused in (len(lines) - 1, len(lines))
    assert resumed.reused + resumed.ran == 1200


@pytest.mark.parametrize("wait_s", [0.0, 0.03, 0.05, 0.3])
def test_ctrl_c_while_the_workers_start(tmp_path: Path, wait_s: float) -> None:
    """Also a worker that is still importing leaves it to the parent."""
    with start_study(tmp_path, 1000) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        # The third is multiprocessing's own tracker.
        while len(psutil.Process(child.pid).children()) < 3:
            time.sleep(0.001)
        time.sleep(wait_s)
        os.killpg(child.pid, signal.SIGINT)
        said, errors = child.stdout.read(), child.stderr.read()
    assert said.split()[-1] in (b"stopped", b"interrupted")
    assert errors == b""


def test_a_study_killed_again_and_again_ends_with_the_same_table(tmp_path: Path) -> None:
    """kill -9 of the whole study at random moments, then of single workers; then the rest is run."""
    chance = random.Random(7)
    killed = 0
    for round_ in range(ROUNDS):
        child = start_study(tmp_path)
        assert child.stdout is not None
        for _ in range(1 + 250 * round_ // ROUNDS + chance.randrange(40)):  # so many runs are finished
            child.stdout.readline()
        workers = psutil.Process(child.pid).children(recursive=True) if child.poll() is None else []
        if round_ % 2 and workers:
            os.kill(chance.choice(workers).pid, signal.SIGKILL)
            time.sleep(0.02)
        if child.poll() is None:
            child.kill()
            killed += 1
        child.communicate()
        _, alive = psutil.wait_procs(workers, timeout=5)
        assert not alive, "workers outlive a killed study"
    assert killed
    plan = make_plan(tmp_path, range(200, 400, 2))
    resumed = run_cases(plan, how(tmp_path / "out", workers=2))
    undisturbed = run_cases(plan, how(workers=2))
    assert resumed.reused + resumed.ran == 300
    assert resumed.reused > 0
    assert_frame_equal(resumed.table, undisturbed.table, check_exact=True)
