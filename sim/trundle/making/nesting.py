"""Rectangles sawn from sheets of plate: in rows, each cut right across, so that a saw or a guillotine can do it.

First-fit decreasing height on shelves (Coffman, Garey, Johnson and Tarjan 1980, from memory), tried with the pieces
lying and standing and with rows along either edge of every sheet that is sold: a good plan, not proven the best.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from trundle.errors import InputError, Problem
from trundle.making.packing import TINY_MM, check_kerf

Size = tuple[float, float]
"""Length and width of a sheet [mm]."""


@dataclass(frozen=True)
class Blank:
    """Rectangles that are alike. mark: what they are called."""

    mark: str
    length_mm: float
    height_mm: float
    count: int


@dataclass(frozen=True)
class Put:
    """One rectangle on its sheet: its corner from the sheet's corner, and how it lies [mm]."""

    mark: str
    x_mm: float
    y_mm: float
    length_mm: float
    height_mm: float


@dataclass(frozen=True)
class Sheet:
    """One sheet with what is cut from it. rows: how many rows are cut right across it."""

    sold_mm: Size
    put: tuple[Put, ...]
    rows: int

    @property
    def area_mm2(self) -> float:
        """Of the sheet [mm2]."""
        return self.sold_mm[0] * self.sold_mm[1]

    @property
    def used_mm2(self) -> float:
        """Of its pieces [mm2]."""
        return sum(p.length_mm * p.height_mm for p in self.put)

    @property
    def waste(self) -> float:
        """Share of it that is no piece."""
        return 1.0 - self.used_mm2 / self.area_mm2


@dataclass
class _Row:
    """A row while it is filled: its edge, height and what is put on it. left_mm: along it, a kerf counted in."""

    y_mm: float
    height_mm: float
    left_mm: float
    put: list[Put] = field(default_factory=list)


@dataclass
class _Filling:
    """A sheet while it is filled. left_mm: across its rows, a kerf counted in."""

    left_mm: float
    rows: list[_Row] = field(default_factory=list)


def nest(blanks: Sequence[Blank], sold_mm: Sequence[Size], kerf_mm: float) -> tuple[Sheet, ...]:
    """Sheets to buy of the sizes that are sold [mm], and where each piece is cut from them: least area found.

    Sheets are used from their own edges; between pieces goes a saw cut. Raises InputError where a piece does not come
    out of any, or the kerf is none.
    """
    check_kerf(kerf_mm)
    sizes = sorted({(max(s), min(s)) for s in sold_mm}, key=lambda s: (s[0] * s[1], s))
    if not sizes or not all(math.isfinite(s[0]) and s[1] > 0.0 for s in sizes):
        raise InputError(Problem("a sheet's two sides are numbers above 0", argument="sheet_mm", allowed="500x250"))
    wanted = [b for b in blanks if b.count > 0]
    if not wanted:
        return ()
    for b in wanted:
        if not any(_holds(s, b) for s in sizes):
            most = " x ".join(f"{n:g}" for n in sizes[-1])
            raise InputError(
                Problem(
                    f"{b.mark} is {b.length_mm:g} x {b.height_mm:g} mm and does not come out of {most} mm",
                    argument="sheet_mm",
                    allowed=f"a sheet of {max(b.length_mm, b.height_mm):g} x {min(b.length_mm, b.height_mm):g} or more",
                )
            )
    plans = [plan for s in sizes if all(_holds(s, b) for b in wanted) for plan in _plans(wanted, s, kerf_mm)]
    if not plans:  # no one size holds every piece: the largest, and a sheet of its own for what does not come out of it
        plans = [[sheet for b in wanted for sheet in nest([b], sizes, kerf_mm)]]
    shrunk: list[list[Sheet]] = [[_smallest(sheet, sizes, kerf_mm) for sheet in plan] for plan in plans]
    best = min(shrunk, key=_cost)
    return tuple(best)


def _cost(plan: Sequence[Sheet]) -> tuple[float, int, int]:
    return sum(s.area_mm2 for s in plan), len(plan), sum(s.rows for s in plan)


def _holds(size: Size, b: Blank) -> bool:
    long, short = max(b.length_mm, b.height_mm), min(b.length_mm, b.height_mm)
    return long <= size[0] + TINY_MM and short <= size[1] + TINY_MM


def _plans(blanks: Sequence[Blank], size: Size, kerf_mm: float) -> list[list[Sheet]]:
    """Sheets of one size, cut each way round."""
    plans = []
    for along, across in dict.fromkeys((size, size[::-1])):
        for standing in (False, True):
            if (rows := _in_rows(blanks, along, across, kerf_mm, standing)) is not None:
                plans.append([_sheet(f, size, along == size[0]) for f in rows])
    return plans


def _sheet(filling: _Filling, size: Size, rows_along: bool) -> Sheet:
    put = [p for row in filling.rows for p in row.put]
    if not rows_along:
        put = [Put(p.mark, p.y_mm, p.x_mm, p.height_mm, p.length_mm) for p in put]
    return Sheet(size, tuple(put), len(filling.rows))


def _in_rows(
    blanks: Sequence[Blank], along_mm: float, across_mm: float, kerf_mm: float, standing: bool
) -> list[_Filling] | None:
    """Sheets filled row by row, highest pieces first; None where a piece does not fit this way round."""
    turned = []
    for b in blanks:
        long, short = max(b.length_mm, b.height_mm), min(b.length_mm, b.height_mm)
        wide, high = (short, long) if standing else (long, short)
        if wide > along_mm + TINY_MM or high > across_mm + TINY_MM:
            wide, high = high, wide
        if wide > along_mm + TINY_MM or high > across_mm + TINY_MM:
            return None
        turned.append((high, wide, b))
    sheets: list[_Filling] = []
    for high, wide, b in sorted(turned, key=lambda t: (-t[0], -t[1], t[2].mark)):
        left = b.count
        for row in (row for sheet in sheets for row in sheet.rows):
            left -= _fill(row, b.mark, wide, high, left, kerf_mm)
            # What is left of a row may have room for it turned.
            if left and wide <= row.height_mm + TINY_MM:
                left -= _fill(row, b.mark, high, wide, left, kerf_mm)
            if not left:
                break
        for sheet in sheets:
            left -= _new_rows(sheet, b.mark, wide, high, left, along_mm, across_mm, kerf_mm)
        while left:
            sheets.append(_Filling(across_mm + kerf_mm))
            left -= _new_rows(sheets[-1], b.mark, wide, high, left, along_mm, across_mm, kerf_mm)
    return sheets


def _fill(row: _Row, mark: str, wide: float, high: float, most: int, kerf_mm: float) -> int:
    """Puts as many as go, up to `most`, on the row; gives how many."""
    if high > row.height_mm + TINY_MM:
        return 0
    n = max(0, min(most, math.floor((row.left_mm + TINY_MM) / (wide + kerf_mm))))
    for _ in range(n):
        x = row.put[-1].x_mm + row.put[-1].length_mm + kerf_mm if row.put else 0.0
        row.put.append(Put(mark, x, row.y_mm, wide, high))
        row.left_mm -= wide + kerf_mm
    return n


def _new_rows(
    sheet: _Filling, mark: str, wide: float, high: float, most: int, along_mm: float, across_mm: float, kerf_mm: float
) -> int:
    """Opens rows of this height while the sheet has room and pieces are left; gives how many pieces went on them."""
    done = 0
    while done < most and sheet.left_mm + TINY_MM >= high + kerf_mm:
        row = _Row(across_mm + kerf_mm - sheet.left_mm, high, along_mm + kerf_mm)
        sheet.rows.append(row)
        sheet.left_mm -= high + kerf_mm
        done += _fill(row, mark, wide, high, most - done, kerf_mm)
    return done


def _smallest(sheet: Sheet, sizes: Sequence[Size], kerf_mm: float) -> Sheet:
    """The smallest size sold that still holds what is cut from this sheet."""
    counts: dict[tuple[str, float, float], int] = {}
    for p in sheet.put:
        key = (p.mark, max(p.length_mm, p.height_mm), min(p.length_mm, p.height_mm))
        counts[key] = counts.get(key, 0) + 1
    blanks = [Blank(*key, n) for key, n in counts.items()]
    for size in sizes:
        if size[0] * size[1] >= sheet.area_mm2:
            return sheet
        if size[0] * size[1] < sheet.used_mm2 or not all(_holds(size, b) for b in blanks):
            continue
        if single := [plan[0] for plan in _plans(blanks, size, kerf_mm) if len(plan) == 1]:
            return min(single, key=lambda s: s.rows)
    return sheet
