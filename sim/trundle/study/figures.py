"""What a results table says of figures: which it has, which runs count, and why one does not."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pandas as pd

from trundle.findings import figures
from trundle.findings.figures import Figure
from trundle.findings.grades import Subject
from trundle.findings.states import ledger_closes
from trundle.study.worker import DONE, FINAL

NOT_RUN = "not run"
"""State of a run that was not made, since the study was stopped."""


def figure_columns(table: pd.DataFrame) -> list[str]:
    """Names of a results table's figures: the columns behind `reason`."""
    names = [str(c) for c in table.columns]
    return names[names.index("reason") + 1 :]


def compared() -> list[Figure]:
    """The figures that studies tell of."""
    return [f for f in figures.TABLE if f.compared]


def ranked(table: pd.DataFrame) -> list[Figure]:
    """The figures to rank by that this table has numbers for, in its order of columns."""
    return [f for f in figures.TABLE if f.ranked and f.name in table and table[f.name].notna().any()]


def titled(column: str) -> Figure:
    """The figure in a column; one that Trundle does not know goes by the column's name."""
    known = next((f for f in figures.TABLE if f.name == column), None)
    return known or Figure(name=column, title=column, digits=2, subject=Subject.HULL, of=None)


def repeats(column: str) -> bool:
    """Whether a figure of a summary comes out the same when the run is made again; studies leave out what does not."""
    return next((f.repeats for f in figures.TABLE if f.name == column), True)


def unfinished(table: pd.DataFrame) -> pd.Series[bool]:
    """Which runs have no outcome of their own: not made, or ended by a fault of the program or the computer."""
    return ~table["state"].isin(FINAL)


def through(table: pd.DataFrame) -> pd.DataFrame:
    """The runs of those variants of which every run has its outcome: of the others nothing is known yet."""
    return table[~table["variant"].isin(table.loc[unfinished(table), "variant"])]


def fault_told(table: pd.DataFrame) -> str:
    """What to say of runs that ended by a fault; "" if none did. A fault is never a result."""
    broken = table[unfinished(table) & table["state"].ne(NOT_RUN)]
    if broken.empty:
        return ""
    first = broken.iloc[0]
    return (
        f"{len(broken)} of {len(table)} runs ended by a fault of the program or the computer, not of the vehicle, and "
        f"have no result: the first is variant {first['variant']} over {first['course']}, {why_not(first)}"
    )


def completed(table: pd.DataFrame) -> pd.Series[bool]:
    """Which runs reached the course's end and may be trusted: their energy ledger closes."""
    done = table["state"] == DONE
    if "completed" in table:
        done &= table["completed"].astype("boolean").fillna(False).astype(bool)
    if "energy_error" in table:
        error = table["energy_error"].astype(float)
        done &= ledger_closes(error) | error.isna()
    return done


WHY = ("state", "reason", "completed", "energy_error", "ended_because")
"""The columns of a results table that why_not looks at."""


def why_not(row: pd.Series[Any] | Mapping[Any, Any]) -> str:
    """Why a run is not among the completed ones, in one line. row: of a results table, its columns WHY at least."""
    if row["state"] != DONE:
        return str(row["reason"] or row["state"]).splitlines()[0]
    found = row.get("energy_error")
    error = 0.0 if found is None or math.isnan(found) else float(found)  # that a figure is missing is no reason
    if row.get("completed", True) and not ledger_closes(error):
        return f"not to be trusted: {error:.1%} of the energy is unaccounted for"
    ended = row.get("ended_because")
    return ended if isinstance(ended, str) and ended else "did not reach the end"
