"""Speed side by side, in one process: python -m tests.benchmarks.ratios"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from scene import STEPS, bare_kernel, general_engine, plain_loop, rate, trundle


def main() -> None:
    """Print a markdown table: times real time, and how many times slower or faster than the engine."""
    rows = {
        "Trundle, four stations on wheels, full log": rate(trundle(track=False)),
        "Trundle, four stations on a track, full log": rate(trundle(track=True)),
        "(a) mujoco, the same on wheels": rate(general_engine()),
        "(b) plain per-body loop, on wheels": rate(plain_loop(track=False), STEPS // 10),
        "(b) plain per-body loop, on a track": rate(plain_loop(track=True), STEPS // 10),
        "(c) bare force law, on wheels": rate(bare_kernel(track=False)),
        "(c) bare force law, on a track": rate(bare_kernel(track=True)),
    }
    print("| 1 ms steps, one core | times real time | Trundle is faster by |")
    print("|---|---|---|")
    wheels, track = list(rows.values())[:2]
    for name, value in rows.items():
        print(f"| {name} | {value:.0f} | {(track if 'track' in name else wheels) / value:.2f} |")


if __name__ == "__main__":
    main()
