"""Cost of the batch engine, as ratios. Not in the default run: `pytest --benchmark-only tests/study`."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from study_fakes import how, make_plan

from trundle.study.api import How, run_frame
from trundle.study.local import LocalEngine
from trundle.study.runs import run_cases

HERE = Path(__file__).parent
COURSE = HERE.parent / "benchmarks" / "twenty-seconds.toml"

MEMORY = """
import resource, sys
from pathlib import Path
sys.path[:0] = sys.argv[1].split(";")
if __name__ == "__main__":
    from study_fakes import how, make_plan
    from trundle.study.runs import run_cases, save_table
    folder = Path(sys.argv[2])
    plan = make_plan(folder, range(1000, 1000 + int(sys.argv[3]) // 3))
    save_table(run_cases(plan, how(folder / "o", workers=2)))
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def test_overhead_per_variant_is_under_5_ms(benchmark: Any, tmp_path: Path) -> None:
    """Runs that take no time, journal and table included."""
    plan = make_plan(tmp_path, range(1000, 1400))
    engine = LocalEngine(2)
    try:
        benchmark.pedantic(run_cases, (plan, how(tmp_path / "o", engine=engine)), rounds=1)
    finally:
        engine.close()
    assert benchmark.stats["mean"] / len(plan) < 5e-3


def test_memory_stays_flat_from_100_to_10000_variants(benchmark: Any, tmp_path: Path) -> None:
    def peak(variants: int) -> int:
        folder = tmp_path / str(variants)
        folder.mkdir()
        script = folder / "study.py"
        script.write_text(MEMORY)
        path = f"{HERE};{HERE.parents[1]}"
        done = subprocess.run(
            [sys.executable, str(script), path, str(folder), str(variants)], capture_output=True, check=True
        )
        return int(done.stdout)

    small = peak(102)
    large = benchmark.pedantic(peak, (9999,), rounds=1)
    benchmark.extra_info["ratio"] = large / small
    assert large / small < 1.5


def test_two_workers_against_one(benchmark: Any) -> None:
    """Real runs; the workers have started and compiled before the clock runs."""

    def seconds(engine: LocalEngine, first_kg: float, runs: int) -> float:
        frame = pd.DataFrame({"hull.mass_kg": np.linspace(first_kg, first_kg + 5, runs)})
        start = time.perf_counter()
        run_frame(frame, "teasel", ["kerb-100"], how=How(engine=engine))
        return time.perf_counter() - start

    took = {}
    for workers in (1, 2):
        engine = LocalEngine(workers)
        try:
            seconds(engine, 260.0, 8)
            took[workers] = seconds(engine, 265.0, 60)
        finally:
            engine.close()
    benchmark.pedantic(lambda: None, rounds=1)
    benchmark.extra_info["ratio"] = took[1] / took[2]
    assert took[1] / took[2] > 1.85


def test_1000_variants_over_20_s_in_two_minutes(benchmark: Any) -> None:
    """Start of the workers included. Fails on a slow or busy machine: it is a benchmark."""
    frame = pd.DataFrame({"hull.mass_kg": np.linspace(240.0, 290.0, 1000)})
    made = benchmark.pedantic(run_frame, (frame, "teasel", [COURSE]), {"how": How(workers=2)}, rounds=1)
    assert made.table["duration_s"].mean() > 19.0
    assert benchmark.stats["mean"] < 120.0
