"""1:1 drilling templates: a piece at true scale with its holes, centre crosses and datum corner."""

from __future__ import annotations

import re
from collections.abc import Iterator

from trundle.drawing.font import width_of
from trundle.drawing.marks import Circle, Line, Text
from trundle.drawing.sheet import Drawing
from trundle.elevation.words import broken
from trundle.making.made import made
from trundle.making.part import Hole, Made
from trundle.papers.parts import names, number
from trundle.spec.vehicle import Vehicle

_BELOW_MM, _SIDE_MM, _ROW_MM, _LETTERS_MM = 20.0, 8.0, 4.4, 2.4

_WORDS_MM = 165.0
"""Width of the list of holes: on A4 upright, too."""


def drill_templates(vehicle: Vehicle) -> Iterator[tuple[str, Drawing]]:
    """One for every part with holes, with a name for its file, in drawings as large as they take."""
    for part in made(vehicle):
        if part.holes:
            yield file_stem(part), template(part, vehicle.name)


def template(piece: Made, vehicle: str) -> Drawing:
    """The piece with its holes, centre crosses and datum corner, its list of holes over it."""
    rows = _staggered(piece)
    words = [line for text in _list(piece) for line in broken(text, _WORDS_MM, _LETTERS_MM)]
    above = 4.0 + 4.2 * (max(rows.values(), default=0) + 1) + _ROW_MM * len(words) + 4.0
    title = f"{piece.mark} {piece.what}, {names(piece.bogies)}"
    width = max(piece.length_mm + 2.0 * _SIDE_MM, max(width_of(w, _LETTERS_MM) for w in words) + 6.0)
    height = piece.height_mm + above + _BELOW_MM
    d = Drawing(width, height, f"{vehicle}: {title}, drilling template")
    x0, y0 = _SIDE_MM, _BELOW_MM
    d.rectangle(x0, y0, piece.length_mm, piece.height_mm)
    d.marks.append(Line(x0 - 8.0, y0, x0 - 1.0, y0, "thin"))
    d.marks.append(Line(x0, y0 - 8.0, x0, y0 - 1.0, "thin"))
    d.marks.append(Text(x0 + 1.0, y0 - 4.5, "datum corner", 2.2))
    for hole in piece.holes:
        _hole(d, x0, y0, hole)
    _dimensions(d, x0, y0, piece, rows)
    for k, text in enumerate(words):
        d.marks.append(Text(2.0, height - 4.0 - _ROW_MM * k, text, _LETTERS_MM))
    return d


def _hole(d: Drawing, x0: float, y0: float, hole: Hole) -> None:
    x, y, r = x0 + hole.along_mm, y0 + hole.up_mm, 0.5 * hole.diameter_mm
    reach = r + 4.0
    d.marks += [
        Circle(x, y, r),
        Line(x - reach, y, x + reach, y, "axis"),
        Line(x, y - reach, x, y + reach, "axis"),
    ]


def _staggered(piece: Made) -> dict[Hole, int]:
    """In which line over the piece each hole's place is written: a label takes some 34 mm."""
    last: list[float] = []
    found = {}
    for hole in sorted(piece.holes, key=lambda h: h.along_mm):
        row = 0
        while row < len(last) and hole.along_mm - last[row] < 40.0:
            row += 1
        last[row : row + 1] = [hole.along_mm]
        found[hole] = row
    return found


def _dimensions(d: Drawing, x0: float, y0: float, piece: Made, rows: dict[Hole, int]) -> None:
    """Places along the datum edge above the piece, staggered; heights in the list of holes at the top."""
    top = y0 + piece.height_mm
    for hole, row in rows.items():
        x, y = x0 + hole.along_mm, top + 4.0 + 4.2 * row
        d.marks.append(Line(x, top + 0.8, x, y - 0.6, "thin"))
        d.marks.append(Text(x, y, f"{hole.name}  {number(hole.along_mm, 1)}", 2.4, "middle", halo=True))
    d.marks.append(Line(x0, y0 - 10.0, x0 + piece.length_mm, y0 - 10.0, "thin"))
    for x in (x0, x0 + piece.length_mm):
        d.marks.append(Line(x, y0 - 12.0, x, y0 - 8.5, "thin"))
    d.marks.append(Text(x0 + 0.5 * piece.length_mm, y0 - 14.5, f"{number(piece.length_mm, 1)} mm", 2.5, "middle"))
    side = x0 + piece.length_mm + 3.5
    d.marks.append(Line(side, y0, side, top, "thin"))
    for y in (y0, top):
        d.marks.append(Line(side - 1.5, y, side + 1.5, y, "thin"))
    d.marks.append(Text(side + 4.0, y0 + 0.5 * piece.height_mm, number(piece.height_mm, 1), 2.5, "middle", turn_deg=90))


def _list(piece: Made) -> Iterator[str]:
    """What to make of what, and every hole, a paragraph each."""
    steel = f", {piece.stock.steel}" if piece.stock.steel else ""
    size = f"cut to {number(piece.length_mm, 1)} mm"
    if piece.what == "bracket plate":
        size = f"{number(piece.length_mm, 1)} x {number(piece.height_mm, 1)} mm"
    yield f"Make {piece.count} of {piece.stock.words}{steel}, {size}."
    for h in sorted(piece.holes, key=lambda h: (h.along_mm, h.up_mm)):
        through = f", for its {h.passes}" if h.passes else ""
        walls = f", through {h.walls} walls" if h.walls > 1 else ""
        yield (
            f"{h.name}: {number(h.along_mm, 1)} along, {number(h.up_mm, 1)} up, ± {h.tolerance_mm:g} mm; drill "
            f"{number(h.diameter_mm, 1)}{walls}{through}"
        )
    yield from (f"{n[0].upper()}{n[1:]}." for n in piece.notes)


def file_stem(piece: Made) -> str:
    """A file name for a template, which begins with its mark: letters, digits and dashes."""
    words = re.sub(r"[^a-z0-9]+", "-", f"{piece.what} {' '.join(piece.bogies)}".lower())
    return f"{piece.mark}-{words}"[:80].strip("-")
