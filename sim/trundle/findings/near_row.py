"""The figures of near runs as one row of a table: medians, and where they lie."""

from __future__ import annotations

import copy
import statistics
from collections import Counter
from collections.abc import Mapping
from typing import Any

from trundle.findings import figures
from trundle.findings.figures.figure import WHEEL
from trundle.findings.near import Near

LOW, HIGH = ".low", ".high"
"""Behind a figure's name: the ends of its range."""

RUNS, OVER = "near_runs", "near_over"
"""How many near runs a row is of, and how many of them reach the end, their energy ledger closed."""


def row_of(summary: Mapping[str, Any], near: Near) -> dict[str, Any]:
    """A summary as a row of a study: each figure the median over the near runs, its range beside it.

    `completed`: more than half of them reach the end, their ledger closed. The figures are of `near.told`. A blow that
    does not happen is one of 0 here. The median of a count is a count, of two the higher.
    """
    picked = near.told
    row = copy.deepcopy({k: v for k, v in summary.items() if k != "near"})
    row["completed"] = near.most
    row["ended_because"] = Counter(near.ended[k] for k in picked).most_common(1)[0][0]
    for figure in figures.TABLE:
        for wheel in summary["wheels"] if figure.of_wheel else ("",):
            column = figure.name.replace(WHEEL, wheel)
            if column not in near.each:
                continue
            values = [v for k in picked if (v := near.each[column][k]) is not None]
            middle = statistics.median_high if figure.counted else statistics.median
            _set(row, figure.name, wheel, middle(values) if values else None)
            if figure.ranked or figure.guarded or figure.compared:
                row[column + LOW] = min(values) if values else None
                row[column + HIGH] = max(values) if values else None
    row[RUNS], row[OVER] = len(near), near.over
    return row


def _set(row: dict[str, Any], name: str, wheel: str, value: float | None) -> None:
    """A figure in a summary, as trundle.findings.summary lays it out."""
    if not wheel:
        row[name] = value
        return
    before, after = name.split(WHEEL)
    table = row[before.rstrip(".")]
    if after:
        table[wheel][after.lstrip(".")] = value
    else:
        table[wheel] = value
