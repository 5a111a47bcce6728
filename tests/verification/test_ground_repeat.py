"""Same file and seed, same ground, bit for bit, in fresh processes with different hash seeds."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np

from trundle.terrain.rough import RoughGround

ROOT = Path(__file__).parents[2]
SCRIPT = """
import hashlib
from trundle.spec.course import load_course
from trundle.spec.shipped import find, names
from trundle.terrain.ground import lay
for name in names("courses"):
    ground = lay(load_course(find("courses", name)))
    parts = [ground.height_m.tobytes(), ground.speed_from_m.tobytes(), ground.speed_m_s.tobytes()]
    print(name, hashlib.sha256(b"".join(parts) + repr(ground.spans).encode()).hexdigest())
"""


def hashes(seed: str) -> str:
    """One line per shipped course, from a process of its own."""
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], cwd=ROOT, env=environment, capture_output=True, text=True, check=True
    )
    return done.stdout


def test_two_processes_lay_the_same_ground() -> None:
    """Every shipped course."""
    first, second = hashes("1"), hashes("2")
    assert first == second
    assert len(first.splitlines()) >= 8


def test_another_seed_is_another_ground() -> None:
    """Or the test above would prove nothing: neighbouring seeds are unlike each other."""
    x = np.arange(2000) * 0.01
    a, b = (RoughGround(kind="rough ground", iso_class="E", length_mm=20_000.0, seed=s).heights_m(x) for s in (7, 8))
    assert abs(np.corrcoef(a, b)[0, 1]) < 0.6
    assert not np.array_equal(a, b)
