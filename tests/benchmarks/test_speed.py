"""Step rates and start-up (pytest --benchmark-only tests/benchmarks): the engine, the floor below it, alternatives."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from scene import bare_kernel, general_engine, plain_loop, side_by_side, trundle
from whole import HELP, RUN, command

WAYS = {
    "trundle-wheels": lambda: trundle(track=False),
    "trundle-track": lambda: trundle(track=True),
    "mujoco-wheels": general_engine,
    "plain-loop-track-tenth": lambda: plain_loop(track=True),
    "bare-kernel-wheels": lambda: bare_kernel(track=False),
    "bare-kernel-track": lambda: bare_kernel(track=True),
}


@pytest.mark.parametrize("way", WAYS)
def test_three_seconds(benchmark: Any, way: str) -> None:
    """3,000 steps of 1 ms (plain loop: 300)."""
    benchmark.pedantic(WAYS[way](), rounds=3, warmup_rounds=1)


def test_ratios_hold(benchmark: Any) -> None:
    """Faster than the general-purpose engine, five times the plain loop, within three times the bare force law."""
    wheels, track, other, plain, floor, floor_track = side_by_side(
        [
            trundle(track=False), trundle(track=True), general_engine(), plain_loop(track=True),
            bare_kernel(track=False), bare_kernel(track=True),
        ]
    )  # fmt: skip
    found = {
        "against the general-purpose engine": other / wheels,
        "against the plain loop": 10.0 * plain / track,  # it is given a tenth of the steps
        "of the bare force law, on wheels": floor / wheels,
        "of the bare force law, on a track": floor_track / track,
    }
    benchmark.extra_info.update(found)
    benchmark.pedantic(trundle(track=True), rounds=1)
    for (name, value), least in zip(found.items(), (1.0, 5.0, 1 / 3, 1 / 3), strict=True):
        assert value > least, name


@pytest.mark.parametrize(("name", "most_s"), [(HELP, 3.0), (RUN, 10.0)])
def test_start_up(benchmark: Any, name: str, most_s: float) -> None:
    """From the shell to the end of the command, kernels compiled before. Limits: for a busy machine."""
    took = benchmark.pedantic(command, (name,), rounds=1)
    benchmark.extra_info["s"] = took
    assert took < most_s
