"""Hidden folders that belong to a living process, and clearing away those of a dead one.

Beside each such folder stands an empty file `.NAME.held` that its process keeps locked. The system takes the lock
away with the process, however it ends, so a lock that can be had means that the folder is no longer needed. (A
process number would not do: it is given out again, and means nothing on another computer that shares the disk.)
"""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from trundle.locks import lock

MARK = ".held"

_ours: set[Path] = set()
"""What this process holds: on some file systems its own locks would not stop it."""


@contextmanager
def held_folder(parent: Path, prefix: str) -> Iterator[Path]:
    """A new folder in `parent` that stays while the block lasts and no other process clears away.

    What is left of it at the end is removed. Raises OSError if it cannot be made.
    """
    folder, mark, handle = _new(parent, prefix)
    try:
        folder.mkdir(0o755)
        yield folder
    finally:
        if folder.exists():
            shutil.rmtree(folder, ignore_errors=True)
        _let_go(mark, handle)


def _new(parent: Path, prefix: str) -> tuple[Path, Path, int]:
    """Name of a folder that is not there yet, its mark, and the mark's open file, locked where locks exist."""
    while True:
        handle, name = tempfile.mkstemp(prefix=prefix, suffix=MARK, dir=parent)
        mark = Path(name)
        _ours.add(mark)
        try:
            if lock(handle):
                return mark.with_name(mark.name.removesuffix(MARK)), mark, handle
        except OSError:
            # A disk without locks: an unheld mark would give the folder away, so it goes, and a killed run stays.
            mark.unlink(missing_ok=True)
            return mark.with_name(mark.name.removesuffix(MARK)), mark, handle
        # Another process cleared up just between the two lines above, and has the mark: take another name.
        _let_go(mark, handle)


def _let_go(mark: Path, handle: int) -> None:
    os.close(handle)  # before the file goes: Windows removes no open file
    with contextlib.suppress(OSError):
        mark.unlink()
    _ours.discard(mark)


def clear_leftovers(parent: Path, rescue: Callable[[Path], None]) -> None:
    """Remove the folders of dead processes in `parent`; `rescue` is called with each before it goes.

    What cannot be removed (another's, or a disk without locks) stays; nothing is raised for it.
    """
    for mark in sorted(parent.glob(f".*{MARK}")):
        if mark in _ours:
            continue
        with contextlib.suppress(OSError):
            handle = os.open(mark, os.O_RDWR)
            try:
                if not lock(handle) or not mark.exists():
                    continue
                folder = mark.with_name(mark.name.removesuffix(MARK))
                if folder.is_dir() and not folder.is_symlink():
                    rescue(folder)
                    shutil.rmtree(folder)
                if os.name != "nt":  # with the lock still held, so that it is ours to remove
                    mark.unlink()
            finally:
                os.close(handle)
            if os.name == "nt":  # pragma: no cover
                mark.unlink(missing_ok=True)
