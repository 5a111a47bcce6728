"""Reference runs that outlive an edit: `python -m tests.verification.references --check | --write`.

Golden bits (golden.py) are retired by any edit of a kernel; these are not. Every shipped vehicle rolls over five
courses and is compared with what was kept, column by column and figure by figure, each within a tolerance that comes
from halving the step (reference_tolerance.py). So a refactoring proves itself, on any processor.

--check prints the worst differences as shares of their tolerance, --write keeps the runs as they are now. Write only if
the law was meant to change, and say by how much in the commit: run --check first.
"""

from __future__ import annotations

import platform
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.measured import Measurement
from tests.verification.reference_files import FIGURES, read, write_figures, write_vehicle
from tests.verification.reference_runs import COURSES, EVERY_S, VEHICLES, roll
from tests.verification.reference_tolerance import Reference, Share, derive, shares

SHOWN = 3
"""Worst differences of a run that the table shows."""


HEAD = "| run | compared | share of tolerance | worst |\n|---|---|---|---|"


def line(course: str, reference: Reference, found: list[Share]) -> str:
    """One row of the table: the worst, told with their values."""
    worst = sorted(found, key=lambda s: -s.share)[:SHOWN]
    told = "; ".join(
        f"{s.name} {s.share:.2g}" + (f" at {s.time_s:.2f} s" if s.time_s == s.time_s else "") for s in worst
    )
    compared = f"{reference.until_s:.1f} of {reference.trace.length * EVERY_S:.1f} s" if reference.sensitive else "all"
    return f"| {course} | {compared} | {worst[0].share:.3g} | {told} |"


def compared() -> Iterator[tuple[str, Reference, list[Share]]]:
    """Every run that is kept, and how far it lies from that now."""
    for vehicle in VEHICLES:
        for course, reference in read(vehicle).items():
            yield f"{vehicle}, {course}", reference, shares(reference, roll(vehicle, course))


def tables() -> Iterator[str]:
    """One row a run, and the largest share of a tolerance of all."""
    yield HEAD
    largest = 0.0
    for name, reference, found in compared():
        largest = max(largest, *(s.share for s in found))
        yield line(name, reference, found)
    yield f"\nLargest share of a tolerance: {largest:.3g}."


def check() -> bool:
    """Runs and prints all; true if no difference is above its tolerance."""
    good = True
    print(HEAD)
    for name, reference, found in compared():
        good = good and all(s.share <= 1.0 for s in found)
        print(line(name, reference, found), flush=True)
    return good


def write() -> None:
    """Keeps all runs as they are now."""
    kept = {}
    for vehicle in VEHICLES:
        kept[vehicle] = {course: derive(vehicle, course) for course in COURSES}
        write_vehicle(vehicle, kept[vehicle])
        for course, r in kept[vehicle].items():
            more = f"; compared until {r.until_s:.1f} s" if r.sensitive else ""
            print(
                f"{vehicle}, {course}: {len(r.trace.columns)} columns, {len(r.figures_allowed)} figures{more}",
                flush=True,
            )
    commit = subprocess.run(
        ["git", "rev-parse", "HEAD"], cwd=Path(__file__).parent, capture_output=True, text=True, check=False
    ).stdout.strip()
    write_figures(
        kept, {"commit": commit or "unknown", "processor": platform.machine(), "python": platform.python_version()}
    )
    print(f"written: {FIGURES.parent.name}/")


MEASUREMENT = Measurement("references", "Differences from the reference runs, in tolerances", tables)

if __name__ == "__main__":
    if sys.argv[1:] == ["--write"]:
        write()
    elif sys.argv[1:] == ["--check"]:
        sys.exit(0 if check() else 1)
    else:
        sys.exit("one of --check, --write")
