"""A large study here and in another checkout: python -m tests.benchmarks.study_against CHECKOUT

1,000 variants of Teasel over a 20 s course on two workers, in turns of 100, so that whatever else the computer does
falls on both; the workers start once, and their processor time for that is counted. The other checkout runs in its
own environment (CHECKOUT/.venv), with its own vehicle file.
`--runs N` takes fewer. Written to results/measured/study.md.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.measured import FOLDER, commit, load, page, table

HERE = Path(__file__).parents[2]
VEHICLE = Path("scenarios") / "vehicles" / "teasel.toml"
TURN = 100

COURSE = Path(__file__).with_name("twenty-seconds.toml")

DRIVER = """
import importlib, json, resource, sys, time
package, vehicle, course = sys.argv[1:]
if __name__ == "__main__":
    import numpy as np, pandas as pd
    api = importlib.import_module(f"{package}.study.api")
    try:
        local = importlib.import_module(f"{package}.study.local")
    except ImportError:  # its name before
        local = importlib.import_module(f"{package}.study.engines")
    engine = local.LocalEngine(2)
    def study(low, high, n):
        frame = pd.DataFrame({"hull.mass_kg": np.linspace(low, high, n)})
        start = time.perf_counter()
        table = api.run_frame(frame, vehicle, [course], how=api.How(engine=engine)).table
        took = time.perf_counter() - start
        assert (table["state"] == "done").all(), table["reason"].tolist()
        print(json.dumps(took), flush=True)
    study(239.0, 239.9, 4)
    for line in sys.stdin:
        study(*json.loads(line))
    engine.close()
    spent = 0.0
    for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
        now = resource.getrusage(who)
        spent += now.ru_utime + now.ru_stime
    print(json.dumps([spent, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024]), flush=True)
"""
"""Runs in either checkout: studies as asked for, then processor time [s] and the largest worker's memory [MB]."""


class Checkout:
    """One checkout's driver, waiting for studies."""

    def __init__(self, root: Path, driver: Path) -> None:
        python = root / ".venv" / "bin" / "python"
        package = "trundle" if (root / "sim" / "trundle").is_dir() else "sim"
        self._process = subprocess.Popen(
            [python, driver, package, root / VEHICLE, COURSE], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        self.seconds = 0.0
        self._told()

    def _told(self) -> float:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        if not line:
            raise SystemExit("the other checkout's study failed; see above")
        return float(json.loads(line))

    def study(self, low_kg: float, high_kg: float, runs: int) -> None:
        """Adds the time of one study to `seconds`."""
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps([low_kg, high_kg, runs]) + "\n")
        self._process.stdin.flush()
        self.seconds += self._told()

    def end(self) -> tuple[float, float]:
        """Processor time of all studies [s], memory of the largest worker [MB]."""
        out, _ = self._process.communicate()
        spent, memory = json.loads(out)
        return float(spent), float(memory)


def side_by_side(other: Path, runs: int) -> list[tuple[float, float, float]]:
    """(seconds, processor seconds, MB of a worker) of this checkout and of `other`."""
    with tempfile.TemporaryDirectory() as folder:
        driver = Path(folder) / "driver.py"
        driver.write_text(DRIVER)
        for root in (HERE, other):  # in a process of its own: compiling takes twice a run's memory
            Checkout(root, driver).end()
        both = [Checkout(HERE, driver), Checkout(other, driver)]
        turns = max(1, runs // TURN)
        each = runs // turns
        for k in range(turns):
            low = 240.0 + 50.0 * k / turns
            for checkout in both:
                checkout.study(low, low + 49.0 / turns, each)
        return [(checkout.seconds, *checkout.end()) for checkout in both]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("checkout", type=Path)
    parser.add_argument("--runs", type=int, default=1000)
    asked = parser.parse_args()
    begin, busy = time.perf_counter(), load()
    other = asked.checkout.resolve()
    here, there = side_by_side(other, asked.runs)
    heads = ("", "time, s", "processors, s", "a worker, MB")
    rows = [
        ("here", *(f"{x:.1f}" for x in here)),
        ("there", *(f"{x:.1f}" for x in there)),
        ("times as much there", *(f"{t / h:.2f}" for h, t in zip(here, there, strict=True))),
    ]
    what = f"{asked.runs} variants over 20 s, two workers"
    body = f"{what}. There: {commit(other)}.\n\n{table(heads, rows)}"
    print(body)
    command = "python -m tests.benchmarks.study_against CHECKOUT"
    text = page("A study here and in another checkout", body, command, time.perf_counter() - begin, busy)
    (FOLDER / "study.md").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
