"""Hashes of short runs, to the last bit, on a named platform: `python -m tests.verification.golden [--write]`.

The same platform, library versions and kernels must give the very same numbers. Other compilers, processors or
maths libraries may round differently, so hashes are kept by all that can round. Kernels are in the key, too: a change
there is seen by everybody. What is *not* in the key (spec, springs, terrain, model assembly, shipped files) must not
move a bit unless that is meant; then write the hashes anew.
"""

from __future__ import annotations

import hashlib
import json
import platform
import sys
from importlib.metadata import version
from pathlib import Path
from typing import Any

FILE = Path(__file__).with_name("golden.json")
RUNS = (("teasel", "kerb-50"), ("barrow", "half-round"), ("wren", "sleepers"))
"""Paired arms with leaves, single arms, and beams, over a step, an arc and a row of bars."""

COMMAND = "python -m tests.verification.golden --write"


def key() -> dict[str, str]:
    """All that may round otherwise: numba compiles for the very processor, its maths come from the C library."""
    from llvmlite import binding

    from trundle.law.compile import source_hash

    features = binding.get_host_cpu_features().flatten()
    return {
        "system": platform.system(),
        "machine": platform.machine(),
        "processor": binding.get_host_cpu_name(),
        "features": hashlib.sha256(features.encode()).hexdigest()[:8],
        "libc": " ".join(platform.libc_ver()),
        "python": f"{sys.version_info.major}.{sys.version_info.minor}",
        **{name: version(name) for name in ("numpy", "scipy", "numba", "llvmlite", "pymunk")},
        "kernels": source_hash(),
    }


def hashes() -> dict[str, dict[str, Any]]:
    """Of each run: steps, hash of the last logged row and of the whole raw log (SI, float64)."""
    from trundle.engine.simulate import simulate
    from trundle.spec.course import load_course
    from trundle.spec.shipped import find
    from trundle.spec.vehicle import load_vehicle
    from trundle.terrain.ground import lay

    found = {}
    for vehicle, course in RUNS:
        ground = lay(load_course(find("courses", course)), 0.005)
        log = simulate(load_vehicle(find("vehicles", vehicle)), ground).rows.values
        found[f"{vehicle} over {course}"] = {
            "steps": len(log),
            "state": hashlib.sha256(log[-1].tobytes()).hexdigest()[:32],
            "log": hashlib.sha256(log.tobytes()).hexdigest()[:32],
        }
    return found


def kept() -> list[dict[str, Any]]:
    """Entries of the file: `key` and `runs`."""
    return json.loads(FILE.read_text(encoding="utf-8")) if FILE.exists() else []


def new_in_key(now: dict[str, str], entries: list[dict[str, Any]]) -> str:
    """What of this key the nearest kept one has otherwise, in words."""
    if not entries:
        return "nothing is kept yet"
    nearest = min((e["key"] for e in entries), key=lambda k: sum(k.get(n) != v for n, v in now.items()))
    return ", ".join(f"{n} {v} (kept: {nearest.get(n, 'none')})" for n, v in now.items() if nearest.get(n) != v)


def write() -> None:
    """Puts this platform's hashes into the file, and drops those of kernels that are no more."""
    now = key()
    others = [e for e in kept() if e["key"]["kernels"] == now["kernels"] and e["key"] != now]
    FILE.write_text(json.dumps([*others, {"key": now, "runs": hashes()}], indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if sys.argv[1:] == ["--write"]:
        write()
        print(f"written: {FILE.name}")
    else:
        print(json.dumps({"key": key(), "runs": hashes()}))
