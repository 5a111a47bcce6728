"""Tables and notes on a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trundle.drawing.font import width_of
from trundle.drawing.marks import Line, Mark, Text
from trundle.elevation.words import LINE, broken, column

TEXT_MM, HEAD_MM, ROW_MM, CELL_MM = 2.3, 2.6, 4.6, 1.6
NOTE_MM = 2.4
HAIR_MM = 0.1
"""A column is so much wider than what stands in it, that rounding breaks no word."""

LEAST_ROWS = 6
"""A table that has room for fewer at a page's foot begins on the next."""


@dataclass(frozen=True)
class Laid:
    """Marks below a top edge, and how wide and high they are [mm]."""

    marks: tuple[Mark, ...]
    width: float
    height: float


def table(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]], most_mm: float) -> Laid:
    """Columns as wide as what stands in them, the widest broken to lines where all would be wider than that; about its
    upper left corner."""
    wide = [
        max(width_of(row[k], TEXT_MM, i == 0) for i, row in enumerate((heads, *rows))) + 2.0 * CELL_MM + HAIR_MM
        for k in range(len(heads))
    ]
    over = sum(wide) - most_mm
    if over > 0.0:
        k = max(range(len(wide)), key=lambda n: wide[n])
        wide[k] = max(wide[k] - over, 12.0)
    marks: list[Mark] = [Text(0.0, -HEAD_MM, title, HEAD_MM, bold=True)] if title else []
    y = -HEAD_MM - 2.0 if title else 0.0
    total = sum(wide)
    marks.append(Line(0.0, y, total, y, "cut"))
    top = y
    for i, row in enumerate((heads, *rows)):
        cells = [broken(words, w - 2.0 * CELL_MM, TEXT_MM, i == 0) for words, w in zip(row, wide, strict=True)]
        high = max(len(lines) for lines in cells) * LINE * TEXT_MM + 0.6
        x = 0.0
        for lines, w in zip(cells, wide, strict=True):
            made, _ = column(x + CELL_MM, y - 1.0, lines, TEXT_MM, bold=i == 0)
            marks += made
            x += w
        y -= high
        marks.append(Line(0.0, y, total, y, "cut" if i == 0 or i == len(rows) else "axis"))
    x = 0.0
    for w in (*wide, 0.0):
        marks.append(Line(x, top, x, y, "thin"))
        x += w
    return Laid(tuple(marks), max(total, width_of(title, HEAD_MM, True)), -y)


def notes(title: str, lines: Sequence[str], width_mm: float, larger: float = 1.0) -> Laid:
    """Numbered sentences below a title; in letters so many times as large."""
    head, text = HEAD_MM * larger, NOTE_MM * larger
    marks: list[Mark] = [Text(0.0, -head, title, head, bold=True)]
    y = -head - 2.0 * larger
    for k, line in enumerate(lines, 1):
        told = broken(line, width_mm - 5.0 * larger, text)
        marks.append(Text(0.0, y - text, f"{k}", text))
        made, y = column(5.0 * larger, y, told, text)
        marks += made
        y -= 0.8 * larger
    return Laid(tuple(marks), width_mm, -y)


def paragraph(title: str, text: str, width_mm: float) -> Laid:
    """Words below a title."""
    made, y = column(0.0, -HEAD_MM - 2.0, broken(text, width_mm, NOTE_MM), NOTE_MM)
    return Laid((Text(0.0, -HEAD_MM, title, HEAD_MM, bold=True), *made), width_mm, -y)


def split_table(
    title: str, heads: Sequence[str], rows: Sequence[Sequence[str]], most_mm: float, high_mm: float, first_mm: float
) -> list[Laid]:
    """A table in pieces that are no higher than a page has room, all with the same heads. first_mm: room on the page on
    which it begins; where that is less than a few rows it begins on the next."""
    found: list[Laid] = []
    rest = list(rows)
    high = first_mm if first_mm >= LEAST_ROWS * ROW_MM else high_mm
    while rest:
        count = len(rest)
        told = f"{title}, continued" if title and found else title
        piece = table(told, heads, rest, most_mm)
        while piece.height > high and count > 1:
            # Rows are of different heights: as many as the share that fits, then fewer.
            count = min(count - 1, max(1, int(count * high / piece.height)))
            piece = table(told, heads, rest[:count], most_mm)
        found.append(piece)
        rest, high = rest[count:], high_mm
    return found
