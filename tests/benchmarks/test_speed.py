"""Step rates (pytest --benchmark-only): the engine, the floor below it, and two alternatives."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from scene import bare_kernel, general_engine, plain_loop, trundle

WAYS = {
    "trundle-wheels": lambda: trundle(track=False),
    "trundle-track": lambda: trundle(track=True),
    "mujoco-wheels": general_engine,
    "plain-loop-track-tenth": lambda: plain_loop(track=True),
    "bare-kernel-wheels": lambda: bare_kernel(track=False),
    "bare-kernel-track": lambda: bare_kernel(track=True),
}


@pytest.mark.parametrize("way", WAYS)
def test_three_seconds(benchmark, way: str) -> None:
    """3,000 steps of 1 ms (plain loop: 300)."""
    benchmark.pedantic(WAYS[way](), rounds=3, warmup_rounds=1)
