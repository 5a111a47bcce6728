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
def _cache_folder() -> Path:
    """Where this version's compiled kernels are: beside the sources, or in the user's cache."""
    base = os.environ.get("NUMBA_CACHE_DIR", "")
    folder = (Path(base) if base else Path(__file__).parent / "__pycache__") / source_hash()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError:
        home = os.environ.get("XDG_CACHE_HOME", "") or str(Path.home() / ".cache")
        folder = Path(home) / "trundle" / source_hash()
    return folder


def is_compiled() -> bool:
    """True if the step loop has been compiled on this machine before."""
    return any(_cache_folder().rglob("loop.advance-*.nbc"))


@cache
def _use_own_cache() -> None:
    """Point numba's cache at a folder named after the sources.

    numba renews a cached function when its own file changes, not when a function it calls does: an edited
    force law would go on running as it was. A folder per fingerprint cannot go stale.
    """
    import numba

    settings: Any = numba.config
    settings.CACHE_DIR = str(_cache_folder())


def inner(function: F) -> F:
    """Compile a piece of the force law that only other kernels call.

    Without the wrapper that would let Python call it: unpacking a model's forty arrays takes numba longer to
    compile than the piece itself. trundle.law.entry has wrapped ones of those that Python calls too.
    """
    return _compile(function, no_cpython_wrapper=True, no_cfunc_wrapper=True)


def merged(function: F) -> F:
    """Compile a big piece of the force law as part of the kernel that calls it.

    A call hands over the model's forty arrays one by one, which costs as much as a small piece's own work: the
    few that are called once a step take a sixth off a step so. More of them would take minutes to compile.
    """
    return _compile(function, inline="always", no_cpython_wrapper=True, no_cfunc_wrapper=True)


def kernel(function: F) -> F:
    """Compile a kernel that Python calls, cached on disk.

    Never fastmath: it reorders sums, and two runs of the same input must agree to the last bit.
    error_model="numpy": a division by zero gives inf, which the divergence check names, not an exception.
    """
    return _compile(function, no_cfunc_wrapper=True)


def _compile(function: F, **options: bool | str) -> F:
    if PLAIN:
        return function
    import numba

    _use_own_cache()
    njit: Any = numba.njit
    compiled: F = njit(cache=True, error_model="numpy", nogil=True, **options)(function)
    return compiled
