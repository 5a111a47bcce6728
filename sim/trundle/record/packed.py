"""A timeline as Parquet: written piece by piece if it is long, and read back column by column."""

from __future__ import annotations

import weakref
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

import numpy as np
import pandas as pd

from trundle.engine import spill
from trundle.errors import InputError, Problem
from trundle.model.arrays import Floats
from trundle.record.long import LongTimeline, Timeline

PACKED: dict[str, Any] = {"compression": "zstd", "use_dictionary": False, "use_byte_stream_split": True}

PIECE_ROWS = 16_384
"""Rows of a long timeline that are read together, when all of its columns are."""


def pack_timeline(timeline: Timeline, file: IO[bytes]) -> None:
    """A table of numbers only, as Parquet into an open file: pyarrow takes no path that is no UTF-8."""
    if not isinstance(timeline, LongTimeline):
        timeline.to_parquet(file, index=False, **PACKED)
        return
    import pyarrow as pa
    from pyarrow import parquet

    schema = pa.schema([(name, pa.float64()) for name in timeline.columns])
    with parquet.ParquetWriter(file, schema, **PACKED) as out:
        for piece in timeline.pieces():
            out.write_table(pa.table([pa.array(piece[name]) for name in timeline.columns], schema=schema))


class PackedTimeline(LongTimeline):
    """The timeline of a kept run, read from its file column by column."""

    def __init__(self, path: Path) -> None:
        """Raises OSError, or what pyarrow raises, on a file that is no table."""
        from pyarrow import parquet

        file = path.open("rb")
        weakref.finalize(self, file.close)
        self._path = path  # for messages
        self._file = parquet.ParquetFile(file)
        super().__init__(tuple(self._file.schema_arrow.names), self._file.metadata.num_rows)

    def _read(self, name: str) -> Floats:
        try:
            # Group by group: all of it at once is there three times over, packed, unpacked and joined.
            values, at = np.empty(self.rows), 0
            for group in range(self._file.num_row_groups):
                piece = self._file.read_row_group(group, columns=[name], use_threads=False).column(name).to_numpy()
                values[at : at + len(piece)] = piece
                at += len(piece)
        except Exception as e:  # pyarrow has its own classes for a damaged file
            raise InputError(Problem(f"cannot be read: {e}", file=str(self._path))) from None
        if not np.isfinite(values).all():
            raise InputError(Problem(f"{name} holds what is no finite number", file=str(self._path)))
        return values

    def pieces(self) -> Iterator[dict[str, Floats]]:
        for batch in self._file.iter_batches(PIECE_ROWS, use_threads=False):
            yield {name: np.asarray(batch.column(name), dtype=np.float64) for name in self.columns}


def read_timeline(path: Path) -> Timeline:
    """The timeline in a file: into memory, or left there above the size from which a run's log is set aside.

    Raises OSError, or what pyarrow raises, on a file that is no table.
    """
    from pyarrow import parquet

    with path.open("rb") as file:
        held = parquet.read_metadata(file)
        if 8 * held.num_rows * held.num_columns <= spill.SPILL_BYTES:
            file.seek(0)
            return pd.read_parquet(file)
    return PackedTimeline(path)


__all__ = ["PackedTimeline", "pack_timeline", "read_timeline"]
