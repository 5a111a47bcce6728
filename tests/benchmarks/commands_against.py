"""First and later commands here and in another checkout: python -m tests.benchmarks.commands_against CHECKOUT

Each command of the table runs here and there in turns; compared is processor time, since a shared clock
tells little. The other checkout runs in its own environment (CHECKOUT/.venv), with its own vehicle file.
Written to results/measured/commands.md. About five minutes.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from tests.measured import FOLDER, commit, load, page, table

HERE = Path(__file__).parents[2]
VEHICLE = "teasel"

RUN = ["run", VEHICLE, "kerb-50", "--out", "run"]
SHEET = ["sheet", VEHICLE]
COMPARE = ["compare", VEHICLE, "kerb-50", "--vary", "hull.mass_kg=260,270", "--workers", "1", "--out", "compare"]


@dataclass(frozen=True)
class Spent:
    """processor_s: user and system time, of all its processes [s]; memory_MB: the largest of them."""

    processor_s: float
    memory_MB: float


def spent(checkout: Path, arguments: list[str], cache: Path) -> Spent:
    """What a command takes, with its kernels in `cache`."""
    with tempfile.TemporaryDirectory() as folder:
        process = subprocess.Popen(
            [checkout / ".venv" / "bin" / "trundle", *arguments],
            cwd=folder,
            env={**os.environ, "NUMBA_CACHE_DIR": str(cache), "PYTHONDONTWRITEBYTECODE": ""},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        _, status, usage = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) != 0:
        raise SystemExit(f"{checkout}: trundle {' '.join(arguments)} failed")
    return Spent(usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


Row = tuple[str, ...]


def rows(other: Path, rounds: int = 3) -> list[Row]:
    """Command, seconds of processors here and there, how many times as long there, MB here and there."""
    found: list[Row] = []

    def compared(name: str, arguments: list[str], caches: dict[Path, Path], rounds: int) -> None:
        took: dict[Path, list[Spent]] = {checkout: [] for checkout in caches}
        for _ in range(rounds):
            for checkout, cache in caches.items():
                took[checkout].append(spent(checkout, arguments, cache))
        ours, theirs = (min(took[c], key=lambda s: s.processor_s) for c in caches)
        seconds = (ours.processor_s, theirs.processor_s, theirs.processor_s / ours.processor_s)
        found.append((name, *(f"{s:.2f}" for s in seconds), f"{ours.memory_MB:.0f}", f"{theirs.memory_MB:.0f}"))
        print(*found[-1], sep="  ", flush=True)

    with tempfile.TemporaryDirectory() as folder:
        caches = {checkout: Path(folder) / str(k) for k, checkout in enumerate((HERE, other))}
        compared("first `run`, nothing compiled", RUN, caches, 1)
        compared("first `sheet` after it", SHEET, caches, 1)
        compared("first `compare` after these", COMPARE, caches, 1)
        compared("`run`", RUN, caches, rounds)
        compared("`sheet`", SHEET, caches, rounds)
        compared("`--help`", ["--help"], caches, rounds)
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("checkout", type=Path)
    other = parser.parse_args().checkout.resolve()
    begin, busy = time.perf_counter(), load()
    heads = ("Teasel, kerb 50 mm", "here, s", "there, s", "times as long there", "here, MB", "there, MB")
    body = f"There: {commit(other)}.\n\n{table(heads, rows(other))}"
    command = "python -m tests.benchmarks.commands_against CHECKOUT"
    text = page("Commands here and in another checkout", body, command, time.perf_counter() - begin, busy)
    (FOLDER / "commands.md").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
