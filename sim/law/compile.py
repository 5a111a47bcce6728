"""How the kernels are compiled, in one place."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

F = TypeVar("F", bound=Callable[..., Any])

PLAIN = os.environ.get("TRUNDLE_PLAIN", "") == "1"
"""TRUNDLE_PLAIN=1 runs the kernels as ordinary Python: slow, but a debugger can step through them."""

_COMPILED_SOURCES = ("law/*.py", "model/arrays.py", "engine/loop.py", "engine/calls.py", "steel/leaf.py")


@cache
def source_hash() -> str:
    """Fingerprint of everything the kernels are compiled from."""
    package = Path(__file__).parent.parent
    digest = hashlib.sha256()
    for pattern in _COMPILED_SOURCES:
        for file in sorted(package.glob(pattern)):
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


@cache
def _use_own_cache() -> None:
    """Point numba's cache at a folder named after the sources.

    numba renews a cached function when its own file changes, not when a function it calls does: an edited
    force law would go on running as it was. A folder per fingerprint cannot go stale.
    """
    from numba import config

    base = os.environ.get("NUMBA_CACHE_DIR", "")
    folder = Path(base) if base else Path(__file__).parent / "__pycache__"
    try:
        (folder / source_hash()).mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder / source_hash()):
            pass
    except OSError:
        home = os.environ.get("XDG_CACHE_HOME", "") or str(Path.home() / ".cache")
        folder = Path(home) / "trundle"
    config.CACHE_DIR = str(folder / source_hash())


def kernel(function: F) -> F:
    """Compile a whole-step kernel, cached on disk.

    Never fastmath: it reorders sums, and two runs of the same input must agree to the last bit.
    error_model="numpy": a division by zero gives inf, which the divergence check names, not an exception.
    """
    if PLAIN:
        return function
    from numba import njit

    _use_own_cache()
    compiled: F = njit(cache=True, error_model="numpy", nogil=True)(function)
    return compiled
