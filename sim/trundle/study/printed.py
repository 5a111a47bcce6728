"""A study's tables as lines on a screen."""

from __future__ import annotations

import itertools
import shutil
import sys
import textwrap
from collections.abc import Sequence

import pandas as pd

from trundle.study.beside import alike_told, counted_told, main, table_of
from trundle.study.designs import Design, beside_first
from trundle.study.figures import NOT_RUN, completed, ranked, unfinished, why_not
from trundle.study.headline import headlines
from trundle.study.ranges import runs_of
from trundle.study.rank import over_what, rank
from trundle.study.report import (
    SHOWS,
    best_of,
    cell,
    has_gaps,
    is_number,
    once_each,
    plain,
    ranking_note,
    settings_of,
    shown,
    telling,
)

MAX_LINES = 30
WIDE = 200
"""Columns of text where there is no terminal that says its own."""


GAP = 2
"""Blanks between two columns."""

WORDS = 24
"""Width at which a last column of words may be broken into lines."""


def print_table(heads: Sequence[str], rows: Sequence[Sequence[str]], title: str = "", keys: int = 1) -> None:
    """A plain table; headings may break into lines, cells of the last column too.

    keys: how many first columns say which row it is. What does not fit beside each other follows below, with
    those columns again, so that no heading or number is ever cut short.
    """
    width = _width()
    if title:
        _say(title)
    heads = [_broken(h) for h in heads]
    wide = [_least(heads, rows, i) for i in range(len(heads))]
    for k, columns in enumerate(_blocks(wide, keys, width)):
        if k:
            print()
        # What is left over goes to the last column, whose words may then stand on one line.
        words = [any(not is_number(row[i]) for row in rows) for i in columns]
        widths = [wide[i] for i in columns]
        if words[-1] and columns[-1] == len(heads) - 1:
            widths[-1] += max(width - sum(w + GAP for w in widths) + GAP, 0)
        tall = [[line for part in heads[i].split("\n") for line in textwrap.wrap(part, wide[i])] for i in columns]
        high = max(len(t) for t in tall)
        _lines([[""] * (high - len(t)) + t for t in tall], widths, words)
        for row in rows:
            _lines([textwrap.wrap(row[i], w) or [""] for i, w in zip(columns, widths, strict=True)], widths, words)


def _lines(cells: Sequence[Sequence[str]], widths: Sequence[int], words: Sequence[bool]) -> None:
    """One row of the table: each cell's lines beside each other, words to the left, numbers to the right."""
    for line in itertools.zip_longest(*cells, fillvalue=""):
        told = [c.ljust(w) if left else c.rjust(w) for c, w, left in zip(line, widths, words, strict=True)]
        print((" " * GAP).join(told).rstrip())


def _width() -> int:
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else WIDE


def _least(heads: Sequence[str], rows: Sequence[Sequence[str]], i: int) -> int:
    """Width that column i needs: its cells whole (words of the last column may break), its heading by words."""
    cells = max((len(row[i]) for row in rows), default=0)
    if i == len(heads) - 1 and cells > WORDS:
        cells = WORDS
    return max(cells, *(len(word) for word in heads[i].split() or [""]))


def _blocks(widths: Sequence[int], keys: int, width: int) -> list[list[int]]:
    """Columns by the blocks that fit into `width`, each with the first `keys` columns in front."""
    first = list(range(keys))
    blocks, now = [], list(first)
    for i in range(keys, len(widths)):
        if len(now) > keys and sum(widths[k] + GAP for k in [*now, i]) - GAP > width:
            blocks.append(now)
            now = list(first)
        now.append(i)
    return [*blocks, now]


def _broken(head: str) -> str:
    """A field's path in lines, one for each part: it may be longer than all its numbers are wide."""
    return head if " " in head else head.replace(".", "\n.")


def _say(text: str) -> None:
    """A sentence in lines no longer than the screen."""
    print("\n".join(textwrap.wrap(text, _width())))


def print_ranking(table: pd.DataFrame, order: pd.DataFrame | None = None) -> pd.DataFrame:
    """What is worst, the ranked table, then what failed and why. order: its ranking, if it is at hand. Gives it back.

    A variant that has not its outcome over every course, since the study was stopped or by a fault, is not in it.
    """
    left, unknown = table["state"].eq(NOT_RUN), unfinished(table)
    order = rank(table) if order is None else order
    if order.empty:
        if left.any():
            print(f"{int(left.sum())} of {len(table)} runs were not made: no variant is through.")
        return order
    for line in headlines(table, order):
        _say(line)
    print()
    figures = once_each(order, ranked(order))
    axes = settings_of(order)
    over = order[order["completed"]]
    alike = [f for f in figures if len(over) > 1 and over[f.name].nunique(dropna=False) == 1]
    if len(over):
        heads, rows = shown(order, [f for f in figures if f not in alike], axes)
        # The place is the row's own; why one is not over the course is told below.
        columns = [i for i, h in enumerate(heads) if h != "place" and (i <= len(axes) + 1 or any(r[i] for r in rows))]
        if all(row[-1] == "over" for row in rows):
            columns.remove(len(heads) - 1)
        brief = [[*row[:-1], row[-1] if row[-1].startswith("over") else "not over"] for row in rows[:MAX_LINES]]
        print_table(
            _short([heads[i] for i in columns]), [[row[i] for i in columns] for row in brief], keys=1 + len(axes)
        )
        if len(rows) > MAX_LINES:
            print(f"... and {len(rows) - MAX_LINES} more in the results table")
        if alike:
            told = ", ".join(f"{f.heading} {cell(float(over[f.name].iloc[0]), f.digits)}" for f in alike)
            _say(f"The same for all: {told}")
        print()
        _say(ranking_note(figures, order, over_what(table)))
        heads, rows = best_of(order, figures)
        if rows:
            print()
            print_table(heads, rows)
        print()
    failed = table[~completed(table) & ~unknown]
    for _, row in failed.head(MAX_LINES).iterrows():
        _say(f"variant {row['variant']} over {row['course']}: {why_not(row)}")
    if len(failed) > MAX_LINES:
        print(f"... and {len(failed) - MAX_LINES} more that did not reach the end")
    if left.any():
        print(f"{int(left.sum())} of {len(table)} runs were not made")
    front = over[over["beaten_by"] == ""]
    if len(front) and len(order) > 1:
        names = ", ".join(str(v) for v in sorted(front["variant"]))
        both = " that both have" if has_gaps(order, figures) else ""
        if len(front) < len(over):
            _say(f"Worth a look, as no other is as good on every figure{both} and better on one: {names}")
        elif len(over) > 1:
            _say(f"None of them is beaten by another on every figure{both}: which to take is your choice.")
    return order


def print_designs(designs: list[Design], table: pd.DataFrame) -> None:
    """Each vehicle with the fields in which its file differs, then for each course how it went and what got better and
    worse against the first, the worst first."""
    for design in designs:
        _say(design.line)
    first = designs[0]
    for other in designs[1:]:
        for course in beside_first(designs, other, table):
            print()
            _say(f"Over {course.course}:")
            for sign, said in zip((first.sign, other.sign), course.said, strict=True):
                _say(f"{sign}  {said}")
            if course.short:
                _say(f"Not compared figure by figure: {'; '.join(course.short)}.")
                continue
            told = main(course.told)
            heads, rows = table_of(told, (first.sign, other.sign))
            if rows:
                print()
                print_table(heads, rows)
            _say(f"{counted_told(told)}. {alike_told(told)}")
    if runs_of(table) > 1:
        print()
        _say(f"Medians of {runs_of(table)} runs close by, with their range. {SHOWS}")
    print()
    _say("All figures, the vehicles drawn to one scale and their curves are in the report.")


def print_frame(frame: pd.DataFrame, title: str, keys: int = 1) -> None:
    """Any table, to MAX_LINES rows; columns that say nothing, or the one course again and again, are left out."""
    heads, rows = plain(telling(frame))
    if not rows:
        _say(f"{title}: nothing to tell")
        print()
        return
    print_table(_short(heads), rows[:MAX_LINES], title, keys)
    if len(rows) > MAX_LINES:
        print(f"... and {len(rows) - MAX_LINES} more")
    print()


def _short(heads: Sequence[str]) -> list[str]:
    """Field paths as their last part where that is enough to tell them apart: thickness_mm."""
    tails = [h.rsplit(".", 1)[-1] for h in heads]
    return [t if " " not in h and tails.count(t) == 1 else h for h, t in zip(heads, tails, strict=True)]
