"""Determinism: the same input gives the same bits, whatever the process, hash seed or way of calling."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from rigs import kerb, roll, vehicle

ROOT = Path(__file__).parents[2]
SCRIPT = """
import hashlib, sys
sys.path.insert(0, "tests/verification")
from rigs import kerb, roll, vehicle
for bogie in ("single arm", "paired arms", "walking beam"):
    _, log = roll(vehicle(bogie), kerb(0.1, at=2.2), {time})
    print(bogie, log.values.shape, hashlib.sha256(log.values.tobytes()).hexdigest())
"""


def fresh(seed: str, time_s: float, **more: str) -> str:
    """Hash of every logged number, from a process of its own."""
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), **more}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(time=time_s)],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_two_fresh_processes_agree_to_the_bit() -> None:
    """Two processes, hash seeds 1 and 999; exact (nothing in a run may depend on set order or addresses)."""
    first = fresh("1", 3.0)
    assert first.count("\n") == 3
    assert first == fresh("999", 3.0)


@pytest.mark.parametrize("bogie", ["single arm", "paired arms", "walking beam"])
def test_compiled_loop_and_public_calls_agree_to_the_bit(bogie: str) -> None:
    """The loop that calls pymunk's C functions by address against pymunk's public Python calls; exact."""
    _, a = roll(vehicle(bogie), kerb(0.1, at=2.2), 3.0)
    _, b = roll(vehicle(bogie), kerb(0.1, at=2.2), 3.0, compiled=False)
    assert a.values.shape == b.values.shape
    assert np.array_equal(a.values, b.values)


def test_two_runs_in_one_process_agree_to_the_bit() -> None:
    """Nothing is left over from a run; another dt is another run, or this would prove nothing."""
    _, a = roll(vehicle("paired arms"), kerb(0.1, at=2.2), 2.0)
    _, b = roll(vehicle("paired arms"), kerb(0.1, at=2.2), 2.0)
    _, c = roll(vehicle("paired arms"), kerb(0.1, at=2.2), 2.0, dt=1.0001e-3)
    assert np.array_equal(a.values, b.values)
    assert not np.array_equal(a.values[:100], c.values[:100])


PLAIN = """
import sys
sys.path.insert(0, "tests/verification")
import numpy as np
from rigs import kerb, run, state_at, vehicle
from trundle.model.assembly import assemble
m = assemble(vehicle("single arm"), kerb(0.1, at=2.6)).model
q = np.array([1.2, 0.37, 0.0, 0.5, 0.5, 0.5, 0.5])
log = run(m, state_at(m, q, np.array([0.5, 0, 0, 0, 0, 0, 0])), 0.15)
assert log("ring", "load", 1).max() > 100.0
np.save(sys.argv[1], log.values)
"""


def test_kernels_run_as_plain_python_agree(tmp_path: Path) -> None:
    """TRUNDLE_PLAIN=1 runs the kernels uncompiled: 150 steps of a vehicle dropped on its track equal within 1e-9 of
    each column's size (compilers may fuse a multiply and an add, and libm differs from Python's math by a unit in
    the last place)."""
    for name, plain in (("a", "0"), ("b", "1")):
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "TRUNDLE_PLAIN": plain}
        subprocess.run([sys.executable, "-c", PLAIN, str(tmp_path / name)], cwd=ROOT, env=environment, check=True)
    a, b = np.load(tmp_path / "a.npy"), np.load(tmp_path / "b.npy")
    size = np.abs(a).max(axis=0) + 1.0
    assert a.shape == b.shape
    assert (np.abs(a - b) / size).max() < 1e-9
