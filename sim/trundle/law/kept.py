"""Files of compiled kernels: where they stand, read with a check, written whole, cleared away when long unused.

Machine code that was cut or changed can end the process that loads it, which nothing can catch: so each file has a
checksum, and nothing of it is looked at before that is right. Each kernel has a file of its own and there is no list of
them, so that two processes that write at once take nothing from each other.

Whoever can write such a file can have its reader run anything (it is a pickle, and machine code). So only those are
read which this user, the owner of Trundle's own sources or root has written, and no one else may change.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from itertools import pairwise
from pathlib import Path

SUFFIX = ".kernel"
HEAD = b"trundle kernel 1\n"
"""First line of each file; behind it the kernel's key, a checksum of all the rest, and the compiled kernel."""
_PARTS = tuple(len(HEAD) + i * hashlib.sha256().digest_size for i in range(3))
"""Where these begin [bytes]."""

MOST_BYTES = 1 << 26
"""More than any kernel has; a larger file is none, and is not read."""

DAY_S = 86400.0
UNUSED_DAYS = 30.0
MOST_FOLDERS = 60
"""What has not been used for so long goes when something new is kept, and the longest unused beyond so many: each
version of the law, Python and the libraries has two folders, with 1 MB in each."""
_FOLDER = re.compile(r"[0-9a-f]{16}")
_OURS = re.compile(r".+\.kernel|\..+\.tmp|\.lock|.+\.nb[ic](\.tmp\.\w+)?")
"""Files that a folder of kernels may hold, those of older versions among them."""


DAMAGED, WAITING, UNKEPT = "damaged", "waiting", "unkept"
News = Callable[[str, str], None]
"""Told that a kept file is damaged and its kernel compiled anew, that another process is waited for which compiles, or
that a kernel can be kept nowhere; and of which file or folder, with the reason for the last."""


class DamagedError(Exception):
    """A file that is no whole kernel, or that others could have written."""


def places() -> Iterator[Path]:
    """Folders where kernels may be kept, the best first. Neither need any be there, nor can all be written to.

    NUMBA_CACHE_DIR, or beside the sources; the user's cache; a folder of this user's among the temporary ones.
    """
    named = os.environ.get("NUMBA_CACHE_DIR", "")
    yield Path(named) if named else Path(__file__).parent / "__pycache__"
    home = _user_cache()
    if home is not None:
        yield home / "trundle"
    with suppress(OSError):  # no temporary folder is known
        user = f"-{os.getuid()}" if hasattr(os, "getuid") else ""
        temporary = Path(tempfile.gettempdir()) / f"trundle{user}"
        if not os.path.lexists(temporary) or _is_ours(temporary):  # anybody may have made it, or a link of that name
            yield temporary


def _user_cache() -> Path | None:
    """Where this user's programs keep such things; None if that is not known."""
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named:
        return Path(named) if Path(named).is_absolute() else None  # the standard has relative ones ignored
    try:
        home = Path.home()
    except RuntimeError:
        return None
    # A HOME that is set to nothing becomes the root of all.
    return home / ".cache" if home.is_absolute() and home != Path(home.anchor) else None


def read(file: Path, key: bytes | None = None) -> memoryview | None:
    """The kernel that is kept in `file`; None if it is not there or cannot be opened.

    key: what it must have been written for (None: anything). Raises DamagedError.
    """
    try:
        # Without waiting: a pipe in its place would wait for a writer.
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        try:
            status = os.fstat(handle)
            if not stat.S_ISREG(status.st_mode) or not _only_ours(status) or status.st_size > MOST_BYTES:
                raise DamagedError(file)
            with open(handle, "rb", closefd=False) as f:
                content = memoryview(f.read())
        finally:
            os.close(handle)
    except OSError:
        return None
    head, written_for, right, kernel = (content[a:b] for a, b in pairwise((0, *_PARTS, len(content))))
    if head != HEAD or key not in (None, written_for) or right != _checksum(written_for, kernel):
        raise DamagedError(file)
    if time.time() - status.st_mtime > DAY_S:
        with suppress(OSError):  # its date tells that it is in use
            os.utime(file)
    return kernel


def write(file: Path, key: bytes, kernel: bytes) -> None:
    """Keep a compiled kernel: whole, or not at all. Raises OSError."""
    make(file.parent)
    handle, name = tempfile.mkstemp(prefix=".", suffix=".tmp", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as f:
            f.write(HEAD + key + _checksum(key, kernel))
            f.write(kernel)
        with suppress(OSError):  # a disk that knows no such rights
            Path(name).chmod(0o644)
        if not _only_ours(Path(name).stat()):
            raise PermissionError(None, "others may write there", str(file.parent))
        Path(name).replace(file)
    except BaseException:
        with suppress(OSError):
            Path(name).unlink()
        raise


def make(folder: Path) -> None:
    """Make a folder for kernels in one of the places. Raises OSError if it cannot be, or belongs to another."""
    folder.parent.parent.mkdir(parents=True, exist_ok=True)
    for one in (folder.parent, folder):
        one.mkdir(mode=0o755, exist_ok=True)
    if not _is_ours(folder):
        raise PermissionError(None, "others may write there", str(folder))


def _checksum(key: bytes | memoryview, kernel: bytes | memoryview) -> bytes:
    digest = hashlib.sha256(key)
    digest.update(kernel)
    return digest.digest()


def _is_ours(folder: Path) -> bool:
    status = folder.lstat()
    return stat.S_ISDIR(status.st_mode) and _only_ours(status)


def _only_ours(status: os.stat_result) -> bool:
    """True if only those can write it whose code this process runs anyway. Windows keeps each user's own by itself."""
    if not hasattr(os, "geteuid"):
        return True
    by_others = status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
    return not by_others and status.st_uid in {os.geteuid(), 0, _owner_of_sources()}


@cache
def _owner_of_sources() -> int:
    return Path(__file__).stat().st_uid


def prune(place: Path, keep: Path) -> None:
    """Remove from `place` the folders of kernels that were not used for long, but for `keep`; and from that what a
    process has left that was killed as it wrote. One that still uses a folder has it in memory, or compiles once more.
    """
    with suppress(OSError):
        now = time.time()
        for left in keep.glob(".*.tmp"):
            if now - left.stat().st_mtime > DAY_S:
                left.unlink()
        used = {folder: _last_used(folder) for folder in place.iterdir() if _is_kernels(folder) and folder != keep}
        newest = sorted(used, key=lambda folder: used[folder], reverse=True)
        for i, folder in enumerate(newest):
            if i >= MOST_FOLDERS - 1 or now - used[folder] > UNUSED_DAYS * DAY_S:
                shutil.rmtree(folder, ignore_errors=True)


def _is_kernels(folder: Path) -> bool:
    """True if it is a folder of kernels and of nothing else: a place that the user names may hold other things."""
    if not _FOLDER.fullmatch(folder.name) or folder.is_symlink() or not folder.is_dir():
        return False
    inside = [file.name for file in folder.rglob("*") if not file.is_dir()]
    return bool(inside) and all(_OURS.fullmatch(name) for name in inside)


def _last_used(folder: Path) -> float:
    """When something in it was last written or, where the disk notes that, read [s since 1970]."""
    inside = [file.stat() for file in folder.rglob("*") if file.is_file()]
    return max([folder.stat().st_mtime, *(max(s.st_mtime, s.st_atime) for s in inside)])
