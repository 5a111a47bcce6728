"""Compiled kernels are loaded from what is kept of them, or compiled and kept, by one process at a time.

In the place of numba's own cache, which ends the run at a damaged file, at a full disk and where it cannot write, and
whose index two processes overwrite for each other. Nothing here can end a run: what cannot be loaded is compiled, and
what cannot be kept is in memory.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import time
from contextlib import suppress
from pathlib import Path
from typing import Any, ClassVar

from numba.core.caching import NullCache
from numba.core.compiler import CompileResult
from numba.core.compiler_lock import global_compiler_lock
from numba.core.serialize import dumps

from trundle.law import kept
from trundle.locks import lock

for _name in ("_reduce", "_rebuild"):
    getattr(CompileResult, _name)  # a numba built otherwise: AttributeError here, and kernels are kept nowhere

PATIENCE_S = 0.5
"""A shorter wait for another process is not told of [s]."""

LONGEST_WAIT_S = 120.0
"""Kernels are compiled in a fraction of this; a process that holds the lock for longer has been halted [s]."""

_LOOK_S = 0.05


def keep(dispatcher: Any, folder: str, news: kept.News) -> None:
    """From now on this kernel is loaded or kept; folder: the name, within each place, of where."""
    turn = _Turn(folder, news)
    dispatcher._cache = _Kept(dispatcher.py_func, folder, turn, news)
    compile_now = dispatcher.compile

    def in_turn(signature: Any) -> Any:
        with global_compiler_lock:
            try:
                return compile_now(signature)
            finally:
                turn.end()

    dispatcher.compile = in_turn


class _Turn:
    """The right to compile the kernels of a folder, which one process has at a time. Nothing is wrong without it but
    that two do the same work, so it is not waited for where there is no place, no lock, or a holder that is halted."""

    _ours: ClassVar[set[Path]] = set()
    _tired: ClassVar[bool] = False
    """A holder was halted: it is not waited for again."""

    def __init__(self, folder: str, news: kept.News) -> None:
        self._folder, self._news = folder, news
        self._held: tuple[Path, int] | None = None

    def begin(self) -> None:
        """Wait for the turn."""
        for place in kept.places():
            folder = place / self._folder
            if folder in self._ours:  # by a kernel that is being compiled and calls this one
                return
            try:
                kept.make(folder)
                handle = os.open(folder / ".lock", os.O_RDWR | os.O_CREAT, 0o644)
            except OSError:
                continue
            try:
                self._wait(handle, folder)
            except OSError:  # a disk without locks
                os.close(handle)
            except BaseException:
                os.close(handle)
                raise
            else:
                self._held = folder, handle
                self._ours.add(folder)
            return

    def _wait(self, handle: int, folder: Path) -> None:
        begin, told = time.monotonic(), False
        while not lock(handle) and not _Turn._tired:
            waited = time.monotonic() - begin
            if waited > PATIENCE_S and not told:
                told = True
                self._news(kept.WAITING, str(folder))
            _Turn._tired = waited > LONGEST_WAIT_S
            time.sleep(_LOOK_S)

    def end(self) -> None:
        """The next may; does nothing for one that had none."""
        if self._held is not None:
            folder, handle = self._held
            self._held = None
            self._ours.discard(folder)
            os.close(handle)


class _Kept(NullCache):
    """What numba asks for a compiled kernel, and gives one to; one for each kernel."""

    def __init__(self, function: Any, folder: str, turn: _Turn, news: kept.News) -> None:
        self._function, self._folder, self._turn, self._news = function, folder, turn, news

    def load_overload(self, sig: Any, target_context: Any) -> Any:
        """The kernel as it was compiled for these types; None if it must be compiled now."""
        target_context.refresh()
        key = self._key(sig, target_context.codegen())
        found, _ = self._load(key, target_context)
        if found is None:
            self._turn.begin()
            # Another process may have made it meanwhile.
            found, damaged = self._load(key, target_context)
            if found is None:
                for file in damaged:
                    self._news(kept.DAMAGED, str(file))
                    with suppress(OSError):
                        file.unlink()
        return found

    def _load(self, key: bytes, target_context: Any) -> tuple[Any, list[Path]]:
        """The kernel if it is kept somewhere, and the files that were found damaged on the way there."""
        damaged: list[Path] = []
        for place in kept.places():
            file = self._file(place, key)
            try:
                kernel = kept.read(file, key)
                if kernel is not None:
                    return CompileResult._rebuild(target_context, *pickle.loads(kernel)), damaged
            except MemoryError:  # nothing is wrong with the file
                raise
            except Exception:
                # Not only DamagedError: what is whole, but was never a kernel, fails in as many ways as there are.
                damaged.append(file)
        return None, damaged

    def save_overload(self, sig: Any, data: Any) -> None:
        """Keep the compiled kernel `data` in the first place that takes it."""
        if data.library.has_dynamic_globals:
            return  # it holds addresses of this process
        key = self._key(sig, data.codegen)
        kernel = dumps(data._reduce())
        trouble = ""
        for place in kept.places():
            file = self._file(place, key)
            try:
                kept.write(file, key, kernel)
            except OSError as e:
                trouble = trouble or f"{file.parent}: {e.strerror or e}"
            else:
                kept.prune(place, file.parent)
                return
        self._news(kept.UNKEPT, trouble)

    def _file(self, place: Path, key: bytes) -> Path:
        return place / self._folder / f"{name_of(self._function)}-{key.hex()[:16]}{kept.SUFFIX}"

    def _key(self, sig: Any, codegen: Any) -> bytes:
        """Hash of what this kernel is compiled from that the folder's name does not say: its place in the file, what it
        closes over, the types of its arguments and the processor."""
        code = self._function.__code__
        closed = dumps(tuple(c.cell_contents for c in self._function.__closure__ or ()))
        text = repr((name_of(self._function), code.co_firstlineno, str(sig), codegen.magic_tuple()))
        return hashlib.sha256(b"\0".join([text.encode(), code.co_code, closed])).digest()


def name_of(function: Any) -> str:
    """How a kernel is called in the names of files: `file.function`."""
    return f"{Path(function.__code__.co_filename).stem}.{function.__qualname__}".replace("<", "").replace(">", "")
