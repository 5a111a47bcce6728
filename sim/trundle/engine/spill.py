"""Where the rows of a run go as they are made: memory, and from a stated size on a file.

The file has no name (or, where a system knows no such files, one that goes when it is closed): however the process
ends, the system removes it. It is read by plain reads, piece by piece, so that what lies in it takes no memory.
"""

from __future__ import annotations

import os
import tempfile
import threading
import weakref
from collections.abc import Iterator
from io import FileIO
from pathlib import Path
from typing import IO, Any, cast

import numpy as np
from numpy.typing import NDArray

from trundle.errors import ComputerError, Problem
from trundle.model.arrays import Floats

SPILL_BYTES = 256_000_000
"""A raw log of more than this goes to a file: some five minutes of driving at 1 ms, with six stations."""

SLAB_ROWS = 16_384
"""Rows that are turned and written together; of each, a column's values lie side by side."""

TURNED = 128
"""Rows that are turned at a time: they stay in the processor's cache."""

NAMED = ("TMPDIR", "TEMP", "TMP")
"""Environment variables that name a folder for temporary files."""

ON_DISK = Path("/var/tmp")
"""For temporary files that may be large (Filesystem Hierarchy Standard 3.0, 5.15): /tmp is often kept in memory."""


def spill_folder() -> Path:
    """Where long logs go: the folder that TMPDIR (or TEMP, TMP) names, else /var/tmp, else the system's own.

    Raises ComputerError if there is none.
    """
    if not any(os.environ.get(name) for name in NAMED) and os.access(ON_DISK, os.W_OK | os.X_OK):
        return ON_DISK
    try:
        return Path(tempfile.gettempdir())
    except OSError as e:
        raise ComputerError(Problem(f"there is no folder for temporary files: {e.strerror or e}")) from None


def turned(rows: Floats, out: Floats, factors: Floats | None = None) -> None:
    """Rows (n, columns) of the raw log into `out` (columns, n), each column times its factor (columns, 1), if any."""
    for first in range(0, len(rows), TURNED):
        piece = rows[first : first + TURNED].T
        place = out[:, first : first + piece.shape[1]]
        if factors is None:
            place[:] = piece
        else:
            np.multiply(piece, factors, out=place)


class Aside:
    """Numbers set aside in a file that has no name. Several threads may use it."""

    def __init__(self) -> None:
        """Raises ComputerError if no file can be made."""
        self._folder = spill_folder()
        self._turn = threading.Lock()
        try:
            # Not in a with block: it outlives this function, and is closed with its owner.
            self._file: IO[bytes] = tempfile.TemporaryFile(dir=self._folder, prefix="trundle-", buffering=0)  # noqa: SIM115
        except OSError as e:
            raise self._refused(e) from None
        weakref.finalize(self, self._file.close)

    def _refused(self, e: OSError) -> ComputerError:
        problem = f"the record of a long run could not be set aside there: {e.strerror or e}"
        allowed = "room for it, or another folder by the environment variable TMPDIR"
        return ComputerError(Problem(problem, allowed=allowed, file=str(self._folder)))

    def write(self, at: int, values: NDArray[Any]) -> None:
        """All of an array, which lies in one piece, from a byte on. Raises ComputerError if there is no room."""
        left = memoryview(cast("Any", values)).cast("B")
        try:
            with self._turn:
                self._file.seek(at)
                while left:
                    left = left[self._file.write(left) :]
        except OSError as e:
            raise self._refused(e) from None

    def read(self, at: int, into: NDArray[Any]) -> None:
        """Fill an array, which lies in one piece, from a byte on. Raises ComputerError if it cannot be read."""
        left = memoryview(cast("Any", into)).cast("B")
        file = cast("FileIO", self._file)  # unbuffered, on Windows behind a wrapper
        try:
            with self._turn:
                file.seek(at)
                while left:
                    got = file.readinto(left)
                    if not got:
                        raise OSError("it ends early")
                    left = left[got:]
        except OSError as e:
            problem = f"the record of a long run cannot be read back: {e.strerror or e}"
            raise ComputerError(Problem(problem, file=str(self._folder))) from None


class Spilled:
    """A raw log in a file of its own: slab after slab (columns, SLAB_ROWS), the last one shorter. SI."""

    def __init__(self, width: int) -> None:
        """An empty one for rows of `width` columns. Raises ComputerError if no file can be made."""
        self.width, self.rows = width, 0
        self._slab_rows = SLAB_ROWS
        self._aside = Aside()

    def write(self, rows: Floats) -> None:
        """Put SLAB_ROWS rows (n, columns) behind what is there; fewer only once, as the last. Raises ComputerError."""
        slab = np.empty((self.width, len(rows)))
        turned(rows, slab)
        self._aside.write(8 * self.width * self.rows, slab)
        self.rows += len(rows)

    def _slabs(self) -> Iterator[tuple[int, int]]:
        """(first row, rows) of each slab."""
        for first in range(0, self.rows, self._slab_rows):
            yield first, min(self._slab_rows, self.rows - first)

    def column(self, number: int) -> Floats:
        """All of one column, shape (rows,). Raises ComputerError if it cannot be read."""
        values = np.empty(self.rows)
        for first, n in self._slabs():
            self._aside.read(8 * (first * self.width + number * n), values[first : first + n])
        return values

    def slabs(self) -> Iterator[Floats]:
        """All of it piece by piece, each (columns, rows of the piece)."""
        for first, n in self._slabs():
            slab = np.empty((self.width, n))
            self._aside.read(8 * first * self.width, slab)
            yield slab


class Keeper:
    """Takes the rows of a run as they come."""

    def __init__(self, width: int) -> None:
        self._blocks: list[Floats] = []
        self._waiting = 0
        self._spilled: Spilled | None = None
        self._width = width

    def add(self, rows: Floats) -> None:
        """Rows (n, columns), from now on the keeper's. Raises ComputerError if they cannot be set aside."""
        self._blocks.append(rows)
        self._waiting += len(rows)
        if self._spilled is None and 8 * self._width * self._waiting > SPILL_BYTES:
            self._spilled = Spilled(self._width)
        while self._spilled is not None and self._waiting >= SLAB_ROWS:
            self._write(self._spilled, SLAB_ROWS)

    def _write(self, to: Spilled, count: int) -> None:
        """The first `count` waiting rows."""
        picked, left = [], count
        while left:
            block = self._blocks[0]
            picked.append(block[:left])
            if len(block) > left:
                self._blocks[0] = block[left:]
            else:
                del self._blocks[0]
            left -= len(picked[-1])
        to.write(np.concatenate(picked))
        self._waiting -= count

    def kept(self) -> tuple[Floats, ...] | Spilled:
        """All that was added: blocks of rows, or where they were set aside."""
        if self._spilled is None:
            return tuple(self._blocks)
        if self._waiting:
            self._write(self._spilled, self._waiting)
        return self._spilled


__all__ = ["SLAB_ROWS", "SPILL_BYTES", "Aside", "Keeper", "Spilled", "spill_folder", "turned"]
