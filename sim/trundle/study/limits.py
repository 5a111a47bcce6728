"""Limits on figures as a person writes them: `peak_seat_g<1.5`, `bump_stop_hits<=0`."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from trundle.errors import InputError, Problem, did_you_mean
from trundle.findings import figures
from trundle.findings.figures import Needs
from trundle.study.case import Case
from trundle.study.figures import compared, completed, figure_columns
from trundle.study.ranges import ends
from trundle.study.runs import How, run_cases

_LIMIT = re.compile(r"^\s*([A-Za-z_][\w.\-]*)\s*(<=|>=|<|>)\s*(\S+)\s*$")


@dataclass(frozen=True)
class Limit:
    """One figure held below or above a value, in the figure's own unit; where it has a range, all of the range."""

    column: str
    sign: str
    value: float

    def __str__(self) -> str:
        return f"{self.column}{self.sign}{self.value:g}"

    def holds(self, values: pd.Series[float]) -> pd.Series[bool]:
        """Row by row; a figure that is not there does not hold."""
        if self.sign == "<":
            return values < self.value
        if self.sign == "<=":
            return values <= self.value
        if self.sign == ">":
            return values > self.value
        return values >= self.value

    def values(self, table: pd.DataFrame) -> pd.Series[float]:
        """The figure in each row, of near runs the one that is worst for the limit; nan where it is not there."""
        if self.column not in table:
            return pd.Series(math.nan, index=table.index)
        low, high = ends(table, self.column)
        return high if self.sign.startswith("<") else low

    def worst(self, table: pd.DataFrame) -> float:
        """The figure of that row which is furthest on the wrong side; nan if it is not there."""
        values = self.values(table)
        return float(values.max() if self.sign.startswith("<") else values.min())

    def missed_by(self, values: pd.Series[float]) -> pd.Series[float]:
        """How far over the limit, as a share of it (of 1 for a limit of 0); 0 where it holds, inf if nan."""
        over = values - self.value if self.sign.startswith("<") else self.value - values
        share = over.clip(lower=0.0) / (abs(self.value) or 1.0)
        # On the line of a strict limit the miss is nothing, but it is a miss.
        share = share.where(self.holds(values), share.clip(lower=1e-9)).where(~self.holds(values), 0.0)
        return share.where(values.notna(), math.inf)


def parse_limit(text: str) -> Limit:
    """Raises InputError if it is not FIGURE<VALUE, FIGURE<=VALUE, FIGURE>VALUE or FIGURE>=VALUE."""
    found = _LIMIT.match(text)
    try:
        value = float(found.group(3)) if found else math.nan
    except ValueError:
        value = math.nan
    if not found or not math.isfinite(value):
        raise InputError(Problem(f'"{text}" is not a limit', argument="limits", allowed="like peak_seat_g<1.5"))
    return Limit(found.group(1), found.group(2), value)


def check_known(limits: Iterable[Limit], table: pd.DataFrame) -> None:
    """Raises InputError, with the nearest name, for a limit on a figure that the runs do not give."""
    known = [c for c in figure_columns(table) if pd.api.types.is_numeric_dtype(table[c])]
    for limit in limits:
        if limit.column not in known and known:
            raise InputError(
                Problem(
                    _why_unknown(limit.column, known),
                    argument="limits",
                    allowed=", ".join(f.name for f in compared() if f.name in known) or ", ".join(known),
                )
            )


def _why_unknown(name: str, known: list[str]) -> str:
    figure = next((f for f in figures.TABLE if f.name == name), None)
    if figure is not None and figure.needs is not Needs.NOTHING:
        return f'these runs give no "{name}": it needs {figure.needs.value}'
    return f'there is no figure "{name}"{did_you_mean(name, known)}'


def check_before(
    limits: Iterable[Limit], cases: Iterable[Case], how: How | None, options: Mapping[str, Any] | None
) -> None:
    """As check_known, before a long study: a name that is not among the main figures is looked for in one run."""
    main = {f.name for f in compared()}
    others = [limit for limit in limits if limit.column not in main]
    if others:
        one = replace(how or How(), workers=1, progress=None)
        check_known(others, run_cases(list(itertools.islice(cases, 1)), one, options).table)


def missed(table: pd.DataFrame, limits: Sequence[Limit]) -> pd.Series[float]:
    """Sum over the limits of how far each row misses them, at the worst of its near runs (inf for one that did not
    complete)."""
    total = pd.Series(0.0, index=table.index)
    for limit in limits:
        total = total + limit.missed_by(limit.values(table))
    return total.where(completed(table), math.inf)
