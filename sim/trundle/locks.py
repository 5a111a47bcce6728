"""The lock of an open file, which the system takes away with the process, however that ends."""

from __future__ import annotations

import sys


def lock(handle: int) -> bool:
    """Take the lock on an open file without waiting; False if another has it, or this process by another handle.

    It goes when the handle is closed. Raises OSError on a disk that has no locks.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True
