"""The same input gives the same bits as yesterday, on the same platform; and from every fresh process.

`test_engine_repeat.py` holds repeats of rigs within a day; here it is shipped files, from TOML to the last bit of the
log, against hashes that are kept (see golden.py for what they are kept by).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from golden import COMMAND, RUNS, kept, key, new_in_key

ROOT = Path(__file__).parents[2]


def fresh(seed: str, **more: str) -> dict[str, Any]:
    """Key and hashes from a process of its own."""
    environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT), **more}
    done = subprocess.run(
        [sys.executable, "-m", "tests.verification.golden"],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def first() -> dict[str, Any]:
    return fresh("1")


def test_fresh_processes_with_other_hash_seeds_agree_to_the_bit(first: dict[str, Any]) -> None:
    """Exact. Three runs give three different hashes, or hashing would prove nothing."""
    assert first == fresh("4242")
    assert len({r["log"] for r in first["runs"].values()}) == len(RUNS)
    assert len({r["state"] for r in first["runs"].values()}) == len(RUNS)


def test_the_bits_are_those_kept_for_this_platform(first: dict[str, Any]) -> None:
    """Exact, for the same processor, system, C library, versions and kernels; skipped with the reason on others."""
    entries = kept()
    here = [e["runs"] for e in entries if e["key"] == key()]
    if not here:
        pytest.skip(f"no hashes are kept for {new_in_key(key(), entries)}; to keep them: {COMMAND}")
    assert first["runs"] == here[0], f"results moved though platform and kernels did not; if meant: {COMMAND}"


def test_what_is_new_in_a_key_is_named() -> None:
    old = {"numpy": "1", "kernels": "a"}
    assert new_in_key({"numpy": "2", "kernels": "a"}, [{"key": old}]) == "numpy 2 (kept: 1)"
    assert new_in_key(old, []) == "nothing is kept yet"


@pytest.mark.slow
def test_compiling_afresh_gives_the_same_bits(first: dict[str, Any], tmp_path: Path) -> None:
    """An empty cache of compiled kernels: all are compiled again, about a minute. Exact."""
    nowhere_else = {name: str(tmp_path) for name in ("NUMBA_CACHE_DIR", "XDG_CACHE_HOME", "TMPDIR")}
    assert fresh("7", **nowhere_else) == first
    assert list(tmp_path.rglob("*.kernel"))
