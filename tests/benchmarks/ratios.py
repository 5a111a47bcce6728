"""Speed side by side, in one go, about a minute: `python -m tests.benchmarks.ratios`.

Every table has figures of one run on one machine: compare within it, not with one from another day.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from scene import DT, STEPS, bare_kernel, general_engine, plain_loop, side_by_side, trundle
from whole import HELP, PYTHON, RUN, command, frame, overhead, studies_and_alone

from tests.measured import Measurement, no_arguments, table

Row = tuple[str, ...]


def steps() -> list[Row]:
    """Step rates against three others."""
    # Steps of each: the plain loop is given a tenth of the others'.
    ways = {
        "Trundle, four stations on wheels, full log": (trundle(track=False), STEPS),
        "Trundle, four stations on a track, full log": (trundle(track=True), STEPS),
        "(a) a general-purpose 3D engine (mujoco), the same on wheels": (general_engine(), STEPS),
        "(b) plain per-body loop over pymunk, on wheels": (plain_loop(track=False), STEPS // 10),
        "(b) plain per-body loop over pymunk, on a track": (plain_loop(track=True), STEPS // 10),
        "(c) the bare compiled force law, on wheels": (bare_kernel(track=False), STEPS),
        "(c) the bare compiled force law, on a track": (bare_kernel(track=True), STEPS),
    }
    took = side_by_side([go for go, _ in ways.values()])
    rates = [n * DT / t for (_, n), t in zip(ways.values(), took, strict=True)]
    wheels, track = rates[:2]
    return [
        (name, f"{v:.0f}", f"{(track if 'track' in name else wheels) / v:.2f}")
        for name, v in zip(ways, rates, strict=True)
    ]


def start_up() -> list[Row]:
    """Commands from the shell."""
    took = {name: command(name) for name in (PYTHON, HELP, RUN)}
    return [(name, f"{v:.2f}", f"{v / took[PYTHON]:.0f}") for name, v in took.items()]


def studies() -> list[Row]:
    """Runs of a study against the run alone."""
    alone, one, two = studies_and_alone()
    empty = overhead()
    return [
        ("the run alone, by trundle.run", f"{alone * 1e3:.0f}", "1"),
        ("in a study, one worker", f"{one * 1e3:.0f}", f"{alone / one:.2f}"),
        ("in a study, two workers", f"{two * 1e3:.0f}", f"{alone / two:.2f}"),
        ("two workers against one", "", f"{one / two:.2f}"),
        ("a variant that takes no time (sending, journal, table)", f"{empty * 1e3:.2f}", ""),
    ]


def frames() -> list[Row]:
    """The viewer against 60 frames a second."""
    took = {f"{w} x {h}": frame((w, h)) for w, h in ((1280, 720), (3840, 2160))}
    return [(name, f"{v * 1e3:.1f}", f"{1.0 / 60.0 / v:.1f}") for name, v in took.items()]


def tables() -> Iterator[str]:
    """One table per subject, each as soon as it is there."""
    for heads, rows in (
        (("1 ms steps, one core", "times real time", "Trundle is faster by"), steps),
        (("command, kernels compiled before", "s", "times python alone"), start_up),
        (("Teasel over kerb-100", "ms a run", "times the run alone"), studies),
        (("a frame of the viewer, drawn by the processor", "ms", "times 60 a second"), frames),
    ):
        yield table(heads, rows()) + "\n"


MEASUREMENT = Measurement("ratios", "Speed, side by side in one go", tables)

if __name__ == "__main__":
    no_arguments(MEASUREMENT)
