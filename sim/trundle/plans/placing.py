"""Views on a sheet at one scale, in rows and columns: what lies above each other lines up, and what lies beside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trundle.drawing.fit import Panel
from trundle.drawing.marks import Mark, Text
from trundle.errors import InputError, Problem
from trundle.plans.paper import PAPERS, Paper
from trundle.plans.scales import scale_words, scales_for
from trundle.plans.view import View, drawn

TITLE_MM, TITLE_TEXT_MM, APART_MM = 7.0, 2.8, 4.0

Rows = Sequence[Sequence[View | None]]

Box = tuple[float, float, float, float]
"""Left, low, right, high on paper [mm]."""


@dataclass(frozen=True)
class Placed:
    """Views in their places, row by row, and the scale that all have (paper over model)."""

    panels: list[Panel]
    scale: float
    fits: bool

    @property
    def marks(self) -> list[Mark]:
        """All that is drawn."""
        return [m for p in self.panels for m in p.marks]

    @property
    def words(self) -> str:
        """The scale as it is written."""
        return scale_words(self.scale)


def in_rows(rows: Rows, room: Box, largest: float = 2.0, top: bool = False) -> Placed:
    """At the largest usual scale at which all of them fit, in the middle of the room; top: at its upper edge.

    Views of a row have their origins at one height, views of a column one above the other: so first angle projection
    lines up (from above: below the view from the side; from the left: to its right). fits: False where even the
    smallest scale is too large.
    """
    wide, high = room[2] - room[0], room[3] - room[1]
    sizes = [[v.extent if v is not None else (0.0, 0.0, 0.0, 0.0) for v in row] for row in rows]
    columns = max(len(row) for row in rows)
    across = sum(max(row[c][2] - row[c][0] for row in sizes if c < len(row)) for c in range(columns))
    up = sum(max(box[3] - box[1] for box in row) for row in sizes)
    for scale in scales_for(across, up, (wide, high), largest):
        panels = [[drawn(v, scale) if v is not None else None for v in row] for row in rows]
        placed, need = _placed(panels, rows, room, top)
        fits = need[0] <= wide + 1e-6 and need[1] <= high + 1e-6
        if fits:
            break
    return Placed(placed, scale, fits)


def must_fit(placed: Placed, what: str, paper: Paper) -> Placed:
    """The same. Raises InputError where even the smallest scale is too large for the paper."""
    if placed.fits:
        return placed
    area = paper.short_mm * paper.long_mm
    larger = [p.name for p in PAPERS.values() if p.short_mm * p.long_mm > 1.2 * area]
    allowed = " or ".join(larger) if larger else "no paper that is known here is larger"
    raise InputError(Problem(f"{paper.name} is too small for {what}", "--paper", allowed=allowed))


def _placed(
    panels: Sequence[Sequence[Panel | None]], rows: Rows, room: Box, top: bool
) -> tuple[list[Panel], tuple[float, float]]:
    columns = max(len(row) for row in panels)
    lefts, rights = [0.0] * columns, [0.0] * columns
    lows, highs = [0.0] * len(panels), [0.0] * len(panels)
    for r, row in enumerate(panels):
        for c, p in enumerate(row):
            if p is None:
                continue
            lefts[c], rights[c] = min(lefts[c], p.bounds[0]), max(rights[c], p.bounds[2])
            lows[r], highs[r] = min(lows[r], p.bounds[1]), max(highs[r], p.bounds[3])
        if any(v is not None and v.title for v in rows[r]):
            lows[r] -= TITLE_MM
    need = (
        sum(rights) - sum(lefts) + APART_MM * (columns - 1),
        sum(highs) - sum(lows) + APART_MM * (len(panels) - 1),
    )
    spare = 0.0 if top else 0.5 * (room[3] - room[1] - need[1])
    y = room[3] - max(spare, 0.0)
    x_first = room[0] + max(0.5 * (room[2] - room[0] - need[0]), 0.0)
    found: list[Panel] = []
    for r, row in enumerate(panels):
        y -= highs[r]
        x = x_first
        for c, p in enumerate(row):
            x -= lefts[c]
            if p is not None:
                moved = p.moved(x, y)
                view = rows[r][c]
                if view is not None and view.title:
                    middle = 0.5 * (moved.bounds[0] + moved.bounds[2])
                    moved.marks.append(Text(middle, y + lows[r] + 1.5, view.title, TITLE_TEXT_MM, "middle", True))
                found.append(moved)
            x += rights[c] + APART_MM
        y += lows[r] - APART_MM
    return found, need
