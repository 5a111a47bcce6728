"""Writing result files so that a reader never sees half of one."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pandas as pd

from sim.errors import InputError, Problem


@contextmanager
def written(path: Path) -> Iterator[Path]:
    """Gives a temporary path beside `path`; what is written there takes its place at the end.

    Raises InputError if the folder cannot be written or the disk is full; an old file then stays.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError as e:
        raise InputError(Problem(f"cannot be written: {e.strerror or e}", file=str(path))) from None
    os.close(handle)
    temporary = Path(name)
    try:
        yield temporary
        temporary.chmod(0o644)
        temporary.replace(path)
    except OSError as e:
        raise InputError(Problem(f"cannot be written: {e.strerror or e}", file=str(path))) from None
    finally:
        temporary.unlink(missing_ok=True)


def write_text(path: Path, text: str) -> None:
    """Raises InputError."""
    with written(path) as temporary:
        temporary.write_text(text, encoding="utf-8")


def write_parquet(frame: pd.DataFrame, path: Path) -> None:
    """Raises InputError."""
    with written(path) as temporary:
        frame.to_parquet(temporary, compression="zstd", index=False)


def write_timeline(frame: pd.DataFrame, path: Path) -> None:
    """A table of numbers only, packed tighter. Raises InputError."""
    with written(path) as temporary:
        frame.to_parquet(
            temporary, compression="zstd", index=False, use_dictionary=False, use_byte_stream_split=True
        )


def write_csv(frame: pd.DataFrame, path: Path) -> None:
    """Every digit kept. Raises InputError."""
    with written(path) as temporary:
        frame.to_csv(temporary, index=False)
