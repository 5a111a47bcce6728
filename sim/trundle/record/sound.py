"""Whether a kept timeline holds what a run writes: it may come from someone else, or from a failing disk."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from trundle.errors import InputError, Problem
from trundle.record.long import Timeline

LARGEST = 1e15
"""No column of a run holds a number beyond it, whatever its unit."""

PLACES = ("time_s", "hull.x_mm", "hull.y_mm", "hull.pitch_deg")
"""Columns without which a timeline is none."""


def check_timeline(timeline: Timeline, file: Path) -> None:
    """Raises InputError if rows or columns are missing, a cell holds anything but a number, or time does not run on.

    The columns of a long one, which stays in its file, are looked at as they are read.
    """
    missing = [name for name in PLACES if name not in timeline.columns]
    if missing or len(timeline) < 2:
        raise InputError(
            Problem(f"the timeline is cut short (no {', '.join(missing) or 'rows'})", file=str(file.parent))
        )
    if isinstance(timeline, pd.DataFrame):
        if timeline.columns.has_duplicates:
            raise _wrong("stands there twice", timeline.columns[timeline.columns.duplicated()][0], file)
        for name in timeline.columns:
            values = timeline[name]
            if values.dtype.kind not in "biuf":
                raise _wrong("holds what is no number", name, file)
            least, most = values.min(skipna=False), values.max(skipna=False)
            if not (least >= -LARGEST and most <= LARGEST):  # neither holds of nan
                raise _wrong("holds a number that no run has", name, file)
    time_s = timeline["time_s"].to_numpy(dtype=np.float64)
    if (np.diff(time_s) < 0).any():
        raise _wrong("runs backwards", "time_s", file)


def _wrong(problem: str, column: object, file: Path) -> InputError:
    return InputError(Problem(problem, field=str(column), file=str(file)))
