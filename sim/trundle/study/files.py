"""Reading and writing a study's files: never half of one, never more than a study can have, always valid text."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from trundle.errors import ComputerError, InputError, Problem
from trundle.record.cells import write_cells
from trundle.record.files import written
from trundle.record.long import Timeline
from trundle.record.packed import pack_timeline

MAX_KEPT_BYTES = 100_000_000
"""A baseline of 10,000 runs has 20 MB of kept figures."""


def read_bytes(path: Path, most: int = MAX_KEPT_BYTES) -> bytes:
    """The whole file. FileNotFoundError if there is none.

    Raises InputError if it is a folder or a device, cannot be read, or has more than `most` bytes.
    """
    try:
        size = path.stat().st_size
        if not path.is_file():  # a pipe would be waited at for ever
            raise InputError(Problem("cannot be read: it is not a file", file=str(path)))
        if size > most:
            raise InputError(Problem(f"is {size / 1e6:.0f} MB", "", f"up to {most / 1e6:.0f} MB", str(path)))
        return path.read_bytes()
    except (FileNotFoundError, InputError):
        raise
    except (OSError, ValueError) as e:
        raise ComputerError(Problem(f"cannot be read: {getattr(e, 'strerror', None) or e}", file=str(path))) from None


def valid(text: str) -> str:
    r"""`text` as UTF-8 can hold it: a byte of a file's name that is no UTF-8 becomes `\udcff`."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def write_text(path: Path, text: str) -> None:
    """Raises InputError."""
    with written(path, follow=False) as temporary:
        temporary.write_text(valid(text), encoding="utf-8")


def write_parquet(frame: pd.DataFrame, path: Path) -> None:
    """A column that holds both text and numbers (a field varied over `3,fred`) is written as text.

    Raises InputError.
    """
    # Through an open file: pyarrow takes no path that is no UTF-8.
    with written(path, follow=False) as temporary, temporary.open("wb") as file:
        _columns_of_one_type(frame).to_parquet(file, compression="zstd", index=False)


def write_timeline(timeline: Timeline, path: Path) -> None:
    """A table of numbers only, packed tighter. Raises InputError."""
    with written(path, follow=False) as temporary, temporary.open("wb") as file:
        pack_timeline(timeline, file)


def is_timeline(path: Path) -> bool:
    """Whether a whole timeline stands there: cut, emptied, or something else is made again.

    Looked at are the file's end, which says what is in it, and its column of time.
    """
    from pyarrow import parquet

    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            time_s = parquet.ParquetFile(file).read(columns=["time_s"]).column("time_s").to_numpy()
        return len(time_s) > 1 and bool((np.diff(time_s) > 0.0).all())
    except Exception:  # pyarrow has its own classes for a damaged file
        return False


def write_csv(frame: pd.DataFrame, path: Path) -> None:
    """Every digit kept, and no text that a spreadsheet would run. Raises InputError."""
    with written(path, follow=False) as temporary:
        write_cells(frame, temporary, errors="backslashreplace")


def _columns_of_one_type(frame: pd.DataFrame) -> pd.DataFrame:
    """The same table; Parquet wants one type in a column, and valid text."""
    out = frame.rename(columns={name: valid(str(name)) for name in frame.columns})
    for name in out.columns:
        if out[name].dtype.kind in "biufM":
            continue
        there = [v for v in out[name] if v is not None and v == v]
        kinds = {type(v) for v in there}
        numbers = kinds <= {int, float} and not any(_long(v) for v in there)
        if not numbers and kinds != {bool}:
            out[name] = [valid(str(v)) if v is not None and v == v else None for v in out[name]]
    return out


def _long(value: object) -> bool:
    """A whole number of more than 64 bits."""
    return isinstance(value, int) and value.bit_length() > 63
