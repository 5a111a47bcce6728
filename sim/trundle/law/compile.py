"""How the kernels are compiled, in one place."""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol, TypeVar, cast

from trundle.law.sources import PACKAGE, fingerprint, sources_of

F = TypeVar("F", bound=Callable[..., Any])

PLAIN = os.environ.get("TRUNDLE_PLAIN", "") == "1"
"""TRUNDLE_PLAIN=1 runs the kernels as ordinary Python: slow, but a debugger can step through them."""

STEP_LOOP = PACKAGE / "engine" / "loop.py"
"""Where the kernel is that calls, in the end, all that a run needs."""


def source_hash() -> str:
    """Fingerprint of everything that the step loop is compiled from."""
    return fingerprint(sources_of(STEP_LOOP))


def is_compiled() -> bool:
    """True if the step loop has been compiled on this computer before, from the sources as they are."""
    return any(_folder_of(STEP_LOOP).rglob("loop.advance-*.nbc"))


Told = Callable[[int, bool], None]
"""Told how many kernels have been compiled so far, and whether more is being compiled."""

_told: Told | None = None


def tell_of_compiling(told: Told | None) -> None:
    """From now on calls `told` whenever a kernel begins or ends to be compiled; not when it is only loaded."""
    global _told
    _told = told


@cache
def _listen() -> None:
    """Passes numba's own news of compiling on to whoever wants it."""
    from numba.core import event

    class Listener(event.Listener):
        done = depth = 0

        def on_start(self, _: Any) -> None:
            self.depth += 1
            self._tell()

        def on_end(self, _: Any) -> None:
            self.depth -= 1
            self.done += 1
            self._tell()

        def _tell(self) -> None:
            if _told is not None:
                _told(self.done, self.depth > 0)

    event.register("numba:compile", Listener())


@cache
def _folder_of(file: Path) -> Path:
    """Where the compiled kernels of a source file are kept: beside the sources, or in the user's cache.

    numba renews a cached function when its own file changes, not when a function it calls does: an edited force law
    would go on running as it was. A folder named after all that goes in cannot go stale.
    """
    import llvmlite
    import numba
    import numpy
    from llvmlite.binding import get_host_cpu_name

    made_by = (sys.version, numba.__version__, llvmlite.__version__, numpy.__version__, get_host_cpu_name())
    key = hashlib.sha256("\0".join([fingerprint(sources_of(file)), *made_by]).encode()).hexdigest()[:16]
    return _cache_place() / key


@cache
def _cache_place() -> Path:
    """A folder that can be written to."""
    base = os.environ.get("NUMBA_CACHE_DIR", "")
    place = Path(base) if base else Path(__file__).parent / "__pycache__"
    try:
        place.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=place):
            return place
    except OSError:
        home = os.environ.get("XDG_CACHE_HOME", "") or str(Path.home() / ".cache")
        return Path(home) / "trundle"


_LOOKED_FOR = {"scipy.linalg.cython_blas": "numba.np.arraymath", "cffi": "numba.core.typing.cffi_utils"}
"""What numba looks for when it loads, to compile products of matrices and calls of cffi's functions, and its own module
that looks. No kernel has either (the step loop calls pymunk by address); loading both is a fifth of a short command."""

_spare = False


def load_only_what_kernels_use() -> None:
    """From now on numba, when it loads, does not find what no kernel uses.

    For the command line only: numba cannot compile products of matrices in such a process.
    """
    global _spare
    _spare = True


@cache
def _load_numba() -> None:
    """Loads the modules of numba that look for others, if these are to be spared."""
    if not _spare:
        return
    for wanted, looks in _LOOKED_FOR.items():
        if wanted in sys.modules:
            continue
        sys.modules[wanted] = None  # type: ignore[assignment]  # Python's own way to say that a module is not there
        try:
            import_module(looks)
        except ImportError:  # a numba that keeps it elsewhere looks for itself, later
            pass
        finally:
            del sys.modules[wanted]


def inner(function: F) -> F:
    """Compile a piece of the force law that only other kernels call.

    Without the wrapper that would let Python call it, which takes longer to compile than many a piece itself.
    trundle.law.kernels has wrapped ones of those that Python calls too.
    """
    return _compile(function, **_pieces(), no_cpython_wrapper=True, no_cfunc_wrapper=True)


@cache
def _pieces() -> dict[str, Any]:
    """Options that leave out machine code of pieces, and its keeping; none if this numba is built otherwise."""
    if PLAIN:
        return {}
    try:
        from trundle.law.pieces import PieceCompiler
    except (ImportError, AttributeError):
        return {}
    return {"pipeline_class": PieceCompiler, "cache": False}


def merged(function: F) -> F:
    """Compile a piece that has a single caller as part of that: numba makes machine code of every function anew
    together with all that it calls, and this is one link less in that chain."""
    return _compile(function, inline="always", no_cpython_wrapper=True, no_cfunc_wrapper=True)


@cache
def _uncounted() -> dict[str, Any]:
    """Option that leaves out the counting of who holds which array; none if this numba is built otherwise.

    No kernel makes an array, and Python holds all of them while one runs. The counting, at each array handed from one
    piece to the next, took half of the law's time.
    """
    from numba.core.registry import cpu_target

    return {"_nrt": False} if hasattr(cpu_target.options, "_nrt") else {}


def kernel(function: F) -> F:
    """Compile a kernel that Python calls, cached on disk.

    Never fastmath: it reorders sums, and two runs of the same input must agree to the last bit.
    error_model="numpy": a division by zero gives inf, which the divergence check names, not an exception.
    """
    return _compile(function, no_cfunc_wrapper=True)


class _Settings(Protocol):
    """What is set of numba's."""

    CACHE_DIR: str


def _compile(function: F, **options: Any) -> F:
    if PLAIN:
        return function
    import numba

    _load_numba()
    _listen()
    # Its types name neither every setting nor options that come as a dict.
    cast("_Settings", numba.config).CACHE_DIR = str(_folder_of(Path(function.__code__.co_filename)))
    chosen: dict[str, Any] = {"cache": True, **_uncounted(), **options}
    compiled = cast("Callable[..., Any]", numba.njit)(**chosen, error_model="numpy", nogil=True)(function)
    typed = compiled.get_call_template

    def without_literals(args: tuple[Any, ...], kws: dict[str, Any]) -> Any:
        # numba makes another version for each number that stands in a call as itself; one does for all.
        return typed(tuple(numba.types.unliteral(a) for a in args), kws)

    compiled.get_call_template = without_literals
    made: F = compiled
    return made
