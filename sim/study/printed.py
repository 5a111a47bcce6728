"""A study's tables as lines on a screen."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Sequence

import pandas as pd

from sim.study.figures import completed, ranked, why_not
from sim.study.rank import rank
from sim.study.report import best_of, plain, ranking_note, settings_of, shown

MAX_LINES = 30
WIDE = 200
"""Columns of text where there is no terminal that says its own."""


def print_table(heads: Sequence[str], rows: Sequence[Sequence[str]], title: str = "") -> None:
    """A plain table; headings may break into lines, cells of the last column too."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else WIDE
    table = Table(box=None, pad_edge=False, title=title or None, title_justify="left", header_style="bold")
    for i, head in enumerate(heads):
        words = any(not _is_number(row[i]) for row in rows)
        table.add_column(Text(head), justify="left" if words else "right", vertical="bottom")
    for row in rows:
        table.add_row(*(Text(c) for c in row))
    Console(width=width, highlight=False).print(table)


def _brief(verdict: str) -> str:
    """The reason is told below the table."""
    return "over" if verdict == "over" else "not over"


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return text in ("", "–")
    return True


def print_ranking(table: pd.DataFrame) -> pd.DataFrame:
    """The ranked table, then what failed and why. Gives the ranking back."""
    order = rank(table)
    figures = ranked(order)
    heads, rows = shown(order, figures, settings_of(order))
    brief = [[*row[:-1], _brief(row[-1])] for row in rows[:MAX_LINES]]
    print_table(_short(heads), brief)
    if len(rows) > MAX_LINES:
        print(f"... and {len(rows) - MAX_LINES} more in the results table")
    print()
    print(ranking_note(figures))
    heads, rows = best_of(order, figures)
    if rows:
        print()
        print_table(heads, rows)
        print()
    failed = table[~completed(table)]
    for _, row in failed.head(MAX_LINES).iterrows():
        print(f"variant {row['variant']} over {row['course']}: {why_not(row)}")
    if len(failed) > MAX_LINES:
        print(f"... and {len(failed) - MAX_LINES} more that did not reach the end")
    front = order[order["completed"] & (order["beaten_by"] == "")]
    if len(front) and len(order) > 1:
        names = ", ".join(str(v) for v in sorted(front["variant"]))
        print(f"Beaten by no other on every count: {names}")
    return order


def print_frame(frame: pd.DataFrame, title: str) -> None:
    """Any table, to MAX_LINES rows."""
    heads, rows = plain(frame)
    print_table(heads, rows[:MAX_LINES], title)
    if len(rows) > MAX_LINES:
        print(f"... and {len(rows) - MAX_LINES} more")
    print()


def _short(heads: Sequence[str]) -> list[str]:
    """Field paths as their last part where that is enough to tell them apart: thickness_mm."""
    tails = [h.rsplit(".", 1)[-1] for h in heads]
    return [t if " " not in h and tails.count(t) == 1 else h for h, t in zip(heads, tails, strict=True)]
