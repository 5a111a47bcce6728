"""Words on a sheet beside its drawing: notes in a column, lists of items ruled as tables."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.drawing.font import width_of
from trundle.drawing.marks import Line, Mark, Text
from trundle.elevation.words import LINE, broken
from trundle.plans.page import BLOCK_WIDE, room
from trundle.plans.paper import Paper
from trundle.plans.placing import Box
from trundle.plans.words import cut_to

TEXT_MM, LEAST_MM = 2.4, 1.8
LEAST_WIDE_MM = 75.0
"""A column beside the title block is at least so wide; else notes go above it."""

INSET_MM = 3.0
"""A list stands on the title block, which reaches to the frame; what is drawn keeps this far off."""

ROW_MM, CELL_MM = 4.8, 1.5


def with_notes(paper: Paper, lines: Sequence[str], free: Box | None = None) -> tuple[list[Mark], Box]:
    """Notes on the left of the title block, or above it where there is no room for them; and what is left of the room
    for the drawing. free: what of the room there still is."""
    free = free if free is not None else room(paper)
    if not lines:
        return [], free
    beside = room(paper, beside_block=True)
    size = TEXT_MM
    while size >= LEAST_MM and beside[2] - beside[0] >= LEAST_WIDE_MM:
        rows = _rows(lines, beside[2] - beside[0], size)
        if len(rows) * LINE * size <= beside[3] - beside[1]:
            return _column(beside[0], beside[3], rows, size), free
        size -= 0.2
    rows = _rows(lines, free[2] - free[0], TEXT_MM)
    high = len(rows) * LINE * TEXT_MM
    return _column(free[0], free[1] + high, rows, TEXT_MM), (free[0], free[1] + high + 3.0, free[2], free[3])


def _rows(lines: Sequence[str], wide: float, size: float) -> list[str]:
    return [row for line in lines for row in broken(line, wide, size)]


def _column(x: float, top: float, rows: Sequence[str], size: float) -> list[Mark]:
    return [Text(x, top - (1.0 + k * LINE) * size, row, size) for k, row in enumerate(rows)]


def listed(
    heads: Sequence[str], rows: Sequence[Sequence[str]], free: Box, wide: float = BLOCK_WIDE, size: float = TEXT_MM
) -> tuple[list[Mark], Box]:
    """A list of items above the title block, its heads lowest as ISO 7573 has them, the first item above them; and what
    is left of the room above it. Columns are as wide as their words; a word that still does not fit is cut."""
    rows = [heads, *rows]
    need = [
        max(width_of(row[c], size, k == 0) for k, row in enumerate(rows)) + 2.0 * CELL_MM for c in range(len(heads))
    ]
    wide = min(wide, free[2] - free[0])
    over = sum(need) - wide
    # What is too wide comes off the widest column, what is left over goes to the last.
    widest = need.index(max(need))
    need[widest if over > 0.0 else -1] -= over
    x, y = free[2] + INSET_MM - wide, free[1] - INSET_MM
    marks: list[Mark] = []
    for k, row in enumerate(rows):
        along = x
        marks.append(Line(x, y + (k + 1) * ROW_MM, x + wide, y + (k + 1) * ROW_MM, "cut" if k == 0 else "thin"))
        for words, room_mm in zip(row, need, strict=True):
            text = cut_to(words, room_mm - 2.0 * CELL_MM + 0.01, size, k == 0)
            if text:
                marks.append(Text(along + CELL_MM, y + k * ROW_MM + 1.3, text, size, bold=k == 0))
            along += room_mm
    high = len(rows) * ROW_MM
    for along in (x, *(x + sum(need[: c + 1]) for c in range(len(need)))):
        marks.append(Line(along, y, along, y + high, "thin"))
    marks.append(Line(x, y, x + wide, y, "cut"))
    return marks, (free[0], y + high + INSET_MM, free[2], free[3])
