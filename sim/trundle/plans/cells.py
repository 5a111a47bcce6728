"""Small parts that share a sheet: each in a cell of its own, with its words under it, at a scale of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.drawing.marks import Line, Mark, Text
from trundle.elevation.words import LINE, broken
from trundle.making.part import Made
from trundle.making.sold import made_from
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import Box, Placed, Rows, in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.words import kg, marks_of

HEAD_MM, TEXT_MM, AIR_MM = 3.2, 2.4, 3.0


@dataclass(frozen=True)
class Cell:
    """One part. lines: what stands under its views besides what the list has. largest: scale."""

    part: Made
    rows: Rows
    lines: tuple[str, ...] = ()
    largest: float = 2.0


def shared(
    subject: Subject, title: str, cells: Sequence[Cell], across: int, down: int, notes: Sequence[str]
) -> Iterator[Page]:
    """Sheets with so many cells beside and above each other; on paper smaller than A3 half as many beside."""
    paper = subject.paper.turned(False)
    if paper.width < 400.0:
        across = max(1, across // 2)
    words, free = with_notes(paper, notes)
    left = list(cells)
    while left:
        # As many as go on a sheet, row for row fewer.
        for rows in range(min(down, -(-len(left) // across)), 0, -1):
            group = left[: rows * across]
            made = [_cell(cell, _box(free, n, across, rows)) for n, cell in enumerate(group)]
            if all(placed.fits for _, placed in made):
                break
        for cell, (_, placed) in zip(group, made, strict=True):
            must_fit(placed, f"{cell.part.mark}, {cell.part.name}", paper)
        left = left[len(group) :]
        scales = {placed.words for _, placed in made}
        one = group[0].part if len(group) == 1 else None
        yield Page(
            marks_of([c.part.mark for c in group]),
            one.name if one else title,
            paper,
            scales.pop() if len(scales) == 1 else "as stated",
            (*words, *(m for marks, _ in made for m in marks), *_lines(free, across, rows)),
            stock(one) if one else "as stated at each",
            one.count if one else None,
            one.mass_kg if one else None,
        )


def _box(free: Box, n: int, across: int, rows: int) -> Box:
    row, column = divmod(n, across)
    wide, high = (free[2] - free[0]) / across, (free[3] - free[1]) / rows
    x, top = free[0] + column * wide, free[3] - row * high
    return x + AIR_MM, top - high + AIR_MM, x + wide - AIR_MM, top - AIR_MM


def _lines(free: Box, across: int, rows: int) -> Iterator[Mark]:
    wide, high = (free[2] - free[0]) / across, (free[3] - free[1]) / rows
    for c in range(1, across):
        yield Line(free[0] + c * wide, free[1], free[0] + c * wide, free[3], "pale")
    for r in range(1, rows):
        yield Line(free[0], free[3] - r * high, free[2], free[3] - r * high, "pale")


def _cell(cell: Cell, box: Box) -> tuple[list[Mark], Placed]:
    part = cell.part
    told = [f"{stock(part)}; {kg(part.mass_kg)} each; for {', '.join(part.bogies)}", *cell.lines]
    rows = [r for line in told for r in broken(line, box[2] - box[0], TEXT_MM)]
    head = LINE * HEAD_MM
    high = head + len(rows) * LINE * TEXT_MM
    placed = in_rows(cell.rows, (box[0], box[1] + high + 1.0, box[2], box[3]), cell.largest)
    marks = placed.marks
    top = box[1] + high
    marks.append(Text(box[0], top - HEAD_MM, f"{part.mark}  {part.name}", HEAD_MM, bold=True))
    marks.append(Text(box[2], top - HEAD_MM, f"make {part.count}    {placed.words}", HEAD_MM, "end", bold=True))
    for k, row in enumerate(rows):
        marks.append(Text(box[0], top - head - (1.0 + k * LINE) * TEXT_MM, row, TEXT_MM))
    return marks, placed


def stock(part: Made) -> str:
    """What it is made of, as it is bought, and its steel."""
    return ", ".join(w for w in (made_from(part), part.stock.steel) if w)
