"""How the kernels are compiled, in one place."""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar, cast

from trundle.law import kept
from trundle.law.sources import PACKAGE, fingerprint, sources_of

F = TypeVar("F", bound=Callable[..., Any])

PLAIN = os.environ.get("TRUNDLE_PLAIN", "") == "1"
"""TRUNDLE_PLAIN=1 runs the kernels as ordinary Python: slow, but a debugger can step through them."""

STEP_LOOP = PACKAGE / "engine" / "loop.py"
"""Where the kernel is that calls, in the end, all that a run needs."""


def source_hash() -> str:
    """Fingerprint of everything that the step loop is compiled from."""
    return fingerprint(sources_of(STEP_LOOP))


CALLED = ((PACKAGE / "law" / "kernels.py", "still"), (STEP_LOOP, "advance"))
"""The kernels that every run calls: to stand, and to roll."""


def is_compiled() -> bool:
    """True if all that a run calls has been compiled on this computer before, from the sources as they are, and is kept
    undamaged."""
    return all(_is_kept(file, kernel) for file, kernel in CALLED)


def _is_kept(file: Path, kernel: str) -> bool:
    for place in kept.places():
        for one in (place / _folder_of(file)).glob(f"{file.stem}.{kernel}-*{kept.SUFFIX}"):
            with suppress(kept.DamagedError):
                if kept.read(one) is not None:
                    return True
    return False


Told = Callable[[int, bool], None]
"""Told how many kernels have been compiled so far, and whether more is being compiled."""

_told: Told | None = None
_news: kept.News | None = None


def tell_of_compiling(told: Told | None, news: kept.News | None = None) -> None:
    """From now on calls `told` whenever a kernel begins or ends to be compiled, not when it is only loaded, and `news`
    of what else the user should know of it (see trundle.law.kept)."""
    global _told, _news
    _told, _news = told, news


def _tell_news(what: str, where: str) -> None:
    if _news is not None:
        _news(what, where)


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
def _folder_of(file: Path) -> str:
    """Name of the folder where the compiled kernels of a source file are kept, wherever that is (see trundle.law.kept).

    A kernel must be compiled anew when a function that it calls has changed: a folder named after all that goes in
    cannot go stale.
    """
    import llvmlite
    import numba
    import numpy
    from llvmlite.binding import get_host_cpu_name

    made_by = (sys.version, numba.__version__, llvmlite.__version__, numpy.__version__, get_host_cpu_name())
    return hashlib.sha256("\0".join([fingerprint(sources_of(file)), *made_by]).encode()).hexdigest()[:16]


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
    """Options that leave out machine code of pieces; none if this numba is built otherwise."""
    if PLAIN:
        return {}
    try:
        from trundle.law.pieces import PieceCompiler
    except (ImportError, AttributeError):
        return {}
    return {"pipeline_class": PieceCompiler}


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
    if PLAIN:
        return function
    compiled = _compile(function, no_cfunc_wrapper=True)
    folder = _folder_of(Path(function.__code__.co_filename))
    try:
        from trundle.law.kernel_cache import keep
    except (ImportError, AttributeError):  # a numba built otherwise: it compiles in every process
        return compiled
    keep(compiled, folder, _tell_news)
    return compiled


def _compile(function: F, **options: Any) -> F:
    if PLAIN:
        return function
    import numba

    _load_numba()
    _listen()
    chosen: dict[str, Any] = {**_uncounted(), **options}
    # Its types do not name options that come as a dict.
    compiled = cast("Callable[..., Any]", numba.njit)(**chosen, error_model="numpy", nogil=True)(function)
    typed = compiled.get_call_template

    def without_literals(args: tuple[Any, ...], kws: dict[str, Any]) -> Any:
        # numba makes another version for each number that stands in a call as itself; one does for all.
        return typed(tuple(numba.types.unliteral(a) for a in args), kws)

    compiled.get_call_template = without_literals
    made: F = compiled
    return made
