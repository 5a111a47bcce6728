"""1:1 drilling templates: a piece on a sheet of paper at true scale, with a bar to check the print by."""

from __future__ import annotations

import re

from trundle.drawing.marks import Circle, Line, Text
from trundle.drawing.sheet import Drawing
from trundle.making.part import Hole, Made
from trundle.papers.parts import names, number

BAR_MM = 100.0
"""Length of the check bar."""

PAPERS = ((297.0, 210.0, "A4"), (420.0, 297.0, "A3"), (594.0, 420.0, "A2"))
"""Sheets it may be printed on, wide side across [mm]; longer pieces get a strip of their own length."""

EDGE_MM = 12.0
"""Printers leave this much of the paper white."""

_ABOVE_MM, _BELOW_MM = 46.0, 40.0
_SIDE_MM = 22.0


def template(piece: Made, vehicle: str) -> Drawing:
    """The piece with its holes, centre crosses, datum corner and the check bar, all at 1:1."""
    wide = piece.length_mm + 2.0 * _SIDE_MM
    high = piece.height_mm + _ABOVE_MM + _BELOW_MM
    paper = next((p for p in PAPERS if p[0] >= wide and p[1] >= high), None)
    width, height, size = paper or (max(wide, 297.0), max(high, 210.0), "")
    title = f"{piece.what}, {names(piece.bogies)}"
    d = Drawing(width, height, f"{vehicle}: {title}, drilling template 1:1")
    x0 = 0.5 * (width - piece.length_mm)
    y0 = _BELOW_MM + 0.5 * (height - high)
    d.rectangle(x0, y0, piece.length_mm, piece.height_mm)
    d.marks.append(Line(x0 - 8.0, y0, x0 - 1.0, y0, "thin"))
    d.marks.append(Line(x0, y0 - 8.0, x0, y0 - 1.0, "thin"))
    d.marks.append(Text(x0 - 2.0, y0 - 4.5, "datum", 2.0, "end"))
    for hole in piece.holes:
        _hole(d, x0, y0, hole)
    _dimensions(d, x0, y0, piece)
    _heading(d, piece, vehicle, title, size)
    _bar(d)
    return d


def _hole(d: Drawing, x0: float, y0: float, hole: Hole) -> None:
    x, y, r = x0 + hole.along_mm, y0 + hole.up_mm, 0.5 * hole.diameter_mm
    reach = r + 4.0
    d.marks += [
        Circle(x, y, r),
        Line(x - reach, y, x + reach, y, "axis"),
        Line(x, y - reach, x, y + reach, "axis"),
    ]


def _dimensions(d: Drawing, x0: float, y0: float, piece: Made) -> None:
    """Places along the datum edge above the piece, staggered; heights in the list of holes at the top."""
    top = y0 + piece.height_mm
    ordered = sorted(piece.holes, key=lambda h: h.along_mm)
    last: list[float] = []
    for hole in ordered:
        x = x0 + hole.along_mm
        # A label takes some 26 mm: the next one too near goes a line higher.
        row = 0
        while row < len(last) and x - last[row] < 34.0:
            row += 1
        last[row : row + 1] = [x]
        y = top + 4.0 + 4.2 * row
        d.marks.append(Line(x, top + 0.8, x, y - 0.6, "thin"))
        d.marks.append(Text(x, y, f"{hole.name}  {number(hole.along_mm, 1)}", 2.2, "middle"))
    d.marks.append(Line(x0, y0 - 10.0, x0 + piece.length_mm, y0 - 10.0, "thin"))
    for x in (x0, x0 + piece.length_mm):
        d.marks.append(Line(x, y0 - 12.0, x, y0 - 8.5, "thin"))
    d.marks.append(Text(x0 + 0.5 * piece.length_mm, y0 - 14.5, f"{number(piece.length_mm, 1)} mm", 2.5, "middle"))
    side = x0 + piece.length_mm + 5.0
    d.marks.append(Line(side, y0, side, top, "thin"))
    for y in (y0, top):
        d.marks.append(Line(side - 1.5, y, side + 1.5, y, "thin"))
    d.marks.append(Text(side + 2.0, y0 + 0.5 * piece.height_mm - 1.2, number(piece.height_mm, 1), 2.5))


def _heading(d: Drawing, piece: Made, vehicle: str, title: str, size: str) -> None:
    top = d.height - EDGE_MM
    steel = f", {piece.stock.steel}" if piece.stock.steel else ""
    d.marks.append(Text(EDGE_MM, top - 4.0, f"{vehicle}: {title}", 4.0, bold=True))
    d.marks.append(Text(EDGE_MM, top - 10.0, f"make {piece.count} of {piece.stock.words}{steel}", 2.8))
    print_on = f"on {size}" if size else f"on a strip {d.width:.0f} x {d.height:.0f} mm, or tiled"
    d.marks.append(
        Text(d.width - EDGE_MM, top - 4.0, f'1:1  print at 100 % {print_on}, never "fit to page"', 2.8, "end")
    )
    for i, h in enumerate(sorted(piece.holes, key=lambda h: (h.along_mm, h.up_mm))):
        text = (
            f"{h.name}: {number(h.along_mm, 1)} along, {number(h.up_mm, 1)} up, "
            f"drill {number(h.diameter_mm, 1)}, ± {h.tolerance_mm:g} mm"
        )
        column, row = divmod(i, 2)
        d.marks.append(Text(EDGE_MM + 100.0 * column, top - 16.0 - 4.2 * row, text, 2.2))


def _bar(d: Drawing) -> None:
    """The check bar, lower left."""
    x, y = EDGE_MM, EDGE_MM + 2.0
    d.marks.append(Line(x, y, x + BAR_MM, y, "bar"))
    for k in range(11):
        d.marks.append(Line(x + 10.0 * k, y, x + 10.0 * k, y + (3.0 if k % 5 == 0 else 1.8), "thin"))
    d.marks.append(
        Text(
            x + BAR_MM + 4.0,
            y,
            "This bar must measure 100 mm. If it does not, the print is not to scale.",
            2.5,
        )
    )


def file_stem(piece: Made) -> str:
    """A file name for a template: letters, digits and dashes."""
    return re.sub(r"[^a-z0-9]+", "-", f"{piece.what} {' '.join(piece.bogies)}".lower()).strip("-")[:80]
