"""The first page: the vehicle from the side to scale, a bogie enlarged, full bump and droop, notes, title block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trundle.drawing.marks import Line, Text
from trundle.drawing.sheet import Drawing
from trundle.elevation.details import Large, fitted
from trundle.elevation.dimensions import Dimension, in_place, on_tapes
from trundle.elevation.flags import RADIUS_MM, Fault, flag_marks, numbered
from trundle.elevation.inks import Inks
from trundle.elevation.outline import seen
from trundle.elevation.scales import scale_words
from trundle.elevation.subject import Subject
from trundle.elevation.tables import Table
from trundle.elevation.view import drawn
from trundle.elevation.words import LINE, alike_words, as_written, broken, column
from trundle.fields.shape import Shape
from trundle.fields.sketch import Mark as FieldMark
from trundle.fields.sketch import Sketch, Span

A3 = (420.0, 297.0)
EDGE_MM = 8.0
TITLE_WIDE, TITLE_HIGH = 132.0, 40.0
TEXT_MM = 2.1
WHEEL_FROM_MM = 25.0
"""Radius from which a disc is a wheel, not a pin or sleeve."""

MOST_BOGIES = 2
"""Bogies that are drawn large on the first page; others on the pages of the tables."""

LEAST_STRIP = 74.0
"""Height that is kept free under the large view."""


@dataclass(frozen=True)
class TitleBlock:
    """What stands in a page's title block. scale: in words."""

    name: str
    what: str
    source: str
    date: str
    scale: str
    page: int
    pages: int


CAUTION = "A planar estimate: check every size on the vehicle before you cut."


FAULT_MM, MOST_ROOM = 6.5, 8
"""Room for a fault in the list, and for how many of them room is made."""


def first_page(
    subject: Subject,
    tables: Sequence[Table],
    marked: Sequence[Dimension],
    groups: Sequence[Large],
    inks: Inks,
    faults: Sequence[Fault],
    block: TitleBlock,
) -> tuple[Drawing, str]:
    """The page, and its scale in words, which is filled into the title block too."""
    pose = subject.pose
    shapes = seen(subject.vehicle, subject.parts, pose)
    whole = [
        d
        for d in in_place(marked, tables, subject.vehicle)
        if d.table.count(".") < 2 and not d.path.startswith("bogie.")
    ]
    strip = LEAST_STRIP + FAULT_MM * min(len(faults), MOST_ROOM)
    room = (EDGE_MM + 2.0, EDGE_MM + strip, A3[0] - EDGE_MM - 2.0, A3[1] - EDGE_MM - 3.0)
    view = drawn(shapes, pose, on_tapes(marked), whole, subject.loads, subject.heights, room, inks)
    sheet = Drawing(*A3, f"{block.name}: {block.what}")
    frame_of(sheet)
    sheet.marks += view.marks
    top = view.bounds[1] - 4.0
    right = A3[0] - EDGE_MM
    scale = scale_words(view.frame.scale)
    title_block(sheet, replace(block, scale=f"{scale} on A3"))
    _notes(sheet, subject, tables, faults, top, right - TITLE_WIDE + 3.0, EDGE_MM + TITLE_HIGH + 2.0)
    left_of_title = right - TITLE_WIDE - 4.0
    shown = groups[:MOST_BOGIES]
    if shown:
        wide = (left_of_title - EDGE_MM - 2.0) / len(shown)
        for k, group in enumerate(shown):
            x = EDGE_MM + 2.0 + k * wide
            _enlarged(sheet, group, (x, EDGE_MM + 2.0, x + wide - 3.0, top))
    flagged = [(f.number, view.frame.at(*place)) for f in faults for place in f.at]
    sheet.marks += flag_marks(flagged)
    return sheet, scale


def frame_of(sheet: Drawing) -> None:
    """The line round a page."""
    sheet.rectangle(EDGE_MM, EDGE_MM, sheet.width - 2.0 * EDGE_MM, sheet.height - 2.0 * EDGE_MM, "bar")


def title_block(sheet: Drawing, block: TitleBlock) -> None:
    """In the lower right corner."""
    x, y = sheet.width - EDGE_MM - TITLE_WIDE, EDGE_MM
    sheet.rectangle(x, y, TITLE_WIDE, TITLE_HIGH, "cut")
    for up in (8.0, 16.0):
        sheet.marks.append(Line(x, y + up, x + TITLE_WIDE, y + up, "thin"))
    for along in (50.0, 92.0):
        sheet.marks.append(Line(x + along, y + 8.0, x + along, y + 16.0, "thin"))
    size = 5.0
    while len(broken(block.name, TITLE_WIDE - 8.0, size, True)) > 1 and size > 2.2:
        size -= 0.4
    sheet.marks += [
        Text(x + 4.0, y + 29.0, broken(block.name, TITLE_WIDE - 8.0, size, True)[0], size, bold=True),
        Text(x + 4.0, y + 20.0, broken(block.what, TITLE_WIDE - 8.0, 2.6)[0], 2.6),
        Text(x + 4.0, y + 3.0, CAUTION, 2.1),
    ]
    cells = ((0.0, 50.0, "file", block.source), (50.0, 42.0, "of", block.date), (92.0, 40.0, "scale", block.scale))
    for along, wide, head, words in cells:
        sheet.marks.append(Text(x + along + 1.5, y + 13.4, head, 1.5, pen="axis"))
        sheet.marks.append(Text(x + along + 4.0, y + 10.0, broken(words, wide - 6.0, 2.2)[0], 2.2))
    page = f"page {block.page} of {block.pages}"
    sheet.marks.append(Text(x + TITLE_WIDE - 4.0, y + 20.0, page, 2.2, "end"))


def _notes(
    sheet: Drawing, subject: Subject, tables: Sequence[Table], faults: Sequence[Fault], top: float, x: float, low: float
) -> None:
    """What is wrong, then what there is to know of the drawing."""
    width = TITLE_WIDE - 5.0
    if faults or subject.reading.more:
        sheet.marks.append(Text(x, top - 3.2, "This file is refused", 3.0, bold=True, pen="fault"))
        top -= 7.5
        top = _fault_list(sheet, faults, x, top, low, width, subject.reading.more)
    for note in subject.notes(tables):
        lines = broken(note, width, TEXT_MM)
        if top - len(lines) * LINE * TEXT_MM < low:
            break
        marks, top = column(x, top, lines, TEXT_MM)
        sheet.marks += marks
        top -= 1.2


def _fault_list(
    sheet: Drawing, faults: Sequence[Fault], x: float, top: float, low: float, width: float, more: int
) -> float:
    told = 0
    for f in faults:
        p = f.problem
        where = f"line {p.line}: " if p.line else ""
        text = f"{where}{p.field}: {p.problem}" if p.field else f"{where}{p.problem}"
        text += f" (allowed: {p.allowed})" if p.allowed else ""
        lines = broken(text, width - 8.0, TEXT_MM)
        if len(lines) > 4:
            lines = [*lines[:3], f"{lines[3]} ..."]
        if top - (len(lines) + 1) * LINE * TEXT_MM < low:
            break
        sheet.marks += numbered(f.number, (x + RADIUS_MM, top - RADIUS_MM + 0.2))
        marks, below = column(x + 7.0, top, lines, TEXT_MM, "fault")
        sheet.marks += marks
        top = min(below, top - 2.2 * RADIUS_MM) - 1.0
        told += 1
    left = len(faults) - told + more
    if left:
        marks, top = column(x + 7.0, top, [f"and {left} more: trundle says them all"], TEXT_MM, "fault")
        sheet.marks += marks
    return top - 1.5


def groups_of(marked: Sequence[Dimension], tables: Sequence[Table], inks: Inks, subject: Subject) -> list[Large]:
    """The bogies, alike ones once, each with all lengths and angles inside it."""
    placed = in_place(marked, tables, subject.vehicle)
    found: list[Large] = []
    for table in tables:
        if not table.path.startswith("bogie.") or table.path.count(".") != 1 or not table.first:
            continue
        own = next((d.path for d in placed if any(d.path.startswith(f"{p}.") for p in table.alike)), "")
        name = ".".join(own.split(".")[:2]) if own else table.path
        drawn_as = next(t for t in tables if t.path == name)
        shapes = next((s.shapes for s in drawn_as.sketches if s.in_hull), ())
        inside = [d for d in placed if d.path.startswith(f"{name}.") and ".spring." not in d.path]
        words = _shortest({d.path[len(name) + 1 :]: d for d in inside})
        marks = [replace(d.mark, field=rel) for rel, d in words.items()]
        sketch = Sketch(
            alike_words(table.alike), "side", tuple(map(_hollow, shapes)), tuple(_without_part(m) for m in marks)
        )
        pens = {rel: inks.dimension(d.path) for rel, d in words.items()}
        found.append(
            Large(table.path, sketch, {rel: inks.value(d.path, as_written(d.value)) for rel, d in words.items()}, pens)
        )
    return found


def _shortest(found: dict[str, Dimension]) -> dict[str, Dimension]:
    """By the field's name alone, where no other has it."""
    names = [path.rpartition(".")[2] for path in found]
    return {n if names.count(n) == 1 else path: d for n, (path, d) in zip(names, found.items(), strict=True)}


def _hollow(shape: Shape) -> Shape:
    """Wheels as lines: words are read better on white."""
    return replace(shape, material="hole") if shape.form == "disc" and shape.size_mm > WHEEL_FROM_MM else shape


def _without_part(mark: FieldMark) -> FieldMark:
    return replace(mark, part="") if isinstance(mark, Span) else mark


def _enlarged(sheet: Drawing, group: Large, room: tuple[float, float, float, float]) -> None:
    x0, y0, x1, y1 = room
    made = fitted(group.sketch, group.values, (x1 - x0, y1 - y0 - 8.0), group.pens, 0.9)
    b = made.bounds
    placed = made.moved(0.5 * (x0 + x1) - 0.5 * (b[0] + b[2]), 0.5 * (y0 + 6.0 + y1) - 0.5 * (b[1] + b[3]))
    sheet.marks += placed.marks
    words = f"{group.sketch.title}, {scale_words(made.scale[0])}"
    sheet.marks.append(Text(0.5 * (x0 + x1), y0 + 2.0, words, TEXT_MM, "middle"))
