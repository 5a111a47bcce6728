"""All pages of a vehicle's drawing, and what they are written into."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trundle.drawing.font import add_fonts
from trundle.drawing.sheet import Drawing
from trundle.elevation.details import Cell, cell, in_columns, vehicle_cell
from trundle.elevation.flags import Fault, faults, fields_of
from trundle.elevation.inks import Inks
from trundle.elevation.outline import seen
from trundle.elevation.page import (
    A3,
    EDGE_MM,
    MOST_BOGIES,
    TITLE_HIGH,
    TitleBlock,
    first_page,
    frame_of,
    groups_of,
    title_block,
)
from trundle.elevation.positions import positions_page
from trundle.elevation.subject import Subject
from trundle.elevation.tables import tables

COLUMNS = 3
COLUMN_GAP_MM = 7.0


@dataclass(frozen=True)
class Plan:
    """pages: the vehicle first, then its tables; faults: all that are marked or listed."""

    pages: tuple[Drawing, ...]
    faults: tuple[Fault, ...]
    scale: str

    def pdf(self) -> bytes:
        """All pages."""
        from fpdf import FPDF  # here: a quarter of a second that pictures do not take

        pdf = FPDF(unit="mm", format=A3)
        add_fonts(pdf)
        pdf.set_title(self.pages[0].title)
        pdf.set_auto_page_break(False)
        for page in self.pages:
            pdf.add_page(format=(page.width, page.height))
            page.onto(pdf)
        return bytes(pdf.output())


def drawn_plan(subject: Subject, source: str, date: str) -> Plan:
    """The pages. source: the file's name; date: of the file."""
    vehicle, reading = subject.vehicle, subject.reading
    found = tables(vehicle, subject.parts, subject.pose, reading.refused)
    marked = subject.dimensions(found)
    told = faults(reading.problems, marked, seen(vehicle, subject.parts, subject.pose))
    inks = Inks(reading, {field: f.number for f in reversed(told) for field in fields_of(f.problem.field)})
    groups = groups_of(marked, found, inks, subject)
    width = (A3[0] - 2.0 * EDGE_MM - 8.0 - (COLUMNS - 1) * COLUMN_GAP_MM) / COLUMNS
    large = {g.path: g for g in groups[MOST_BOGIES:]}
    own = (cell(t, inks, width, large.get(t.path)) for t in found if t.first)
    cells = [vehicle_cell(vehicle, inks, width), *(c for c in own if c is not None)]
    made = list(in_columns(cells, COLUMNS, A3[1] - 2.0 * EDGE_MM - 10.0, TITLE_HIGH))
    view = "side elevation, standing" if subject.standing is not None else "side elevation, not standing"
    stood = 1 if subject.positions else 0
    block = TitleBlock(vehicle.name, view, source, date, "", 1, 1 + stood + len(made))
    first, scale = first_page(subject, found, marked, groups, inks, told, block)
    pages = [first]
    if stood:
        pages.append(positions_page(subject, replace(block, what="standing, full bump, full droop", page=2)))
    for number, page in enumerate(made, 2 + stood):
        pages.append(
            _detail_page(page, width, replace(block, what="its tables, one by one", scale="as said", page=number))
        )
    return Plan(tuple(pages), tuple(told), scale)


def _detail_page(columns: Sequence[Sequence[Cell]], width: float, block: TitleBlock) -> Drawing:
    sheet = Drawing(*A3, f"{block.name}: {block.what}")
    frame_of(sheet)
    title_block(sheet, block)
    for k, column in enumerate(columns):
        x, y = EDGE_MM + 4.0 + k * (width + COLUMN_GAP_MM), A3[1] - EDGE_MM - 5.0
        for one in column:
            sheet.marks += [m.moved(x, y) for m in one.marks]
            y -= one.height
    return sheet
