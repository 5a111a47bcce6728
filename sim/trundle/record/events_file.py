"""The run folder's events.csv, read back: a table of numbers, and words of what, where and at which obstacle."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from trundle.errors import ComputerError, InputError, Problem
from trundle.record.cells import read_cells
from trundle.record.event_columns import NEEDED, WORDS

NEEDED_IN_ROWS = ("obstacle", "peak_N", "height_mm")
"""Columns that an event has beside; a table without a row may do without them."""


def check_file(file: Path) -> None:
    """Raises InputError unless a file is there: a pipe would be waited at for ever, a device has no end."""
    if not file.is_file():
        what = "is not a file" if file.exists() else "is missing: the run folder is not whole"
        raise InputError(Problem(what, file=str(file)))


def read_events(file: Path) -> pd.DataFrame:
    """The table, in the order of its rows. Raises InputError with file and line of the first cell that is wrong."""
    check_file(file)
    try:
        cells = read_cells(file, dtype=str, keep_default_na=False, encoding="utf-8")
    except OSError as e:
        raise ComputerError(Problem(f"cannot be read: {e.strerror or e}", file=str(file))) from None
    except ValueError as e:  # all that the parser raises
        raise InputError(Problem(f"cannot be read: {e}", file=str(file))) from None
    missing = [name for name in (*NEEDED, *(NEEDED_IN_ROWS if len(cells) else ())) if name not in cells]
    if missing:
        raise InputError(Problem("the table has no such column", missing[0], file=str(file), line=1))
    table = {name: cells[name] if name in WORDS else _numbers(cells[name], file) for name in cells}
    for name in ("time_s", "duration_s"):
        _refuse(~np.isfinite(table[name].to_numpy(float)), cells[name], file)
    return pd.DataFrame(table)


def _numbers(cells: pd.Series[str], file: Path) -> pd.Series[float]:
    """One column; nan where a cell is empty."""
    empty = cells.str.strip().isin(["", "nan"]).to_numpy(bool)
    numbers = pd.to_numeric(cells, errors="coerce").astype(float)
    _refuse(~empty & ~np.isfinite(numbers.to_numpy()), cells, file)
    return numbers


def _refuse(wrong: np.ndarray[tuple[int], np.dtype[np.bool_]], cells: pd.Series[str], file: Path) -> None:
    if wrong.any():
        row = int(np.argmax(wrong))
        shown = repr(str(cells.iloc[row])[:40])
        raise InputError(Problem(f"{shown} is not a number", str(cells.name), file=str(file), line=row + 2))
