"""A sheet of drawings: what is drawn, its frame (ISO 5457) and its title block (ISO 7200)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from trundle.drawing.marks import Line, Mark, Text
from trundle.drawing.sheet import Drawing
from trundle.elevation.words import broken
from trundle.plans.paper import Paper
from trundle.plans.projection import SYMBOL_MM, first_angle
from trundle.plans.words import cut_to, fitted_size, kg

BLOCK_WIDE, BLOCK_HIGH = 180.0, 36.0
"""Of the title block, in the lower right corner of the frame; 180 is ISO 7200's, the whole width of A4 upright [mm]."""

CENTRE_MARK_MM = 5.0
"""Length of a centring mark outside the frame (ISO 5457; its part inside would lie on words)."""

CAUTION = "A planar estimate, not a certificate: check every size on the vehicle before you cut."

TOLERANCE = "ISO 2768-m"
TOLERANCE_WORDS = "±0.1 to 6, ±0.2 to 30, ±0.3 to 120, ±0.5 to 400, ±0.8 to 1000, ±1.2 to 2000"
"""Class medium of ISO 2768-1, lengths (from memory)."""

PRINTED_MM, FOOT_MM = 12.0, 55.0
"""Printers leave so much of the paper's edges white; width of what stands at the foot of a sheet without a block."""

HEAD_MM, TEXT_MM, LEAST_MM, SMALL_MM = 1.8, 2.5, 1.8, 1.6


@dataclass(frozen=True)
class Page:
    """One sheet. mark: of the part ("A1"), or of the assembly. scale: in words. marks: what is drawn, mm of the paper
    from its lower left corner, inside `room`. count: how many to make. stock: what it is made of. block: False leaves
    the title block out (a template that needs all of its paper has words of its own)."""

    mark: str
    title: str
    paper: Paper
    scale: str
    marks: tuple[Mark, ...]
    stock: str = ""
    count: int | None = None
    mass_kg: float | None = None
    tolerance: str = TOLERANCE
    tolerance_words: str = TOLERANCE_WORDS
    caution: str = CAUTION
    block: bool = True

    def drawing(self, vehicle: str, source: str, date: str, sheet: int, sheets: int) -> Drawing:
        """The whole sheet: `sheet` of `sheets` of a vehicle's, from a file, of a date."""
        drawn = Drawing(
            self.paper.width, self.paper.height, f"{vehicle}: {self.mark} {self.title}".replace(":  ", ": ")
        )
        drawn.marks += self.marks
        if self.block:
            drawn.marks += [*frame(self.paper), *_block(self, vehicle, source, date, f"{sheet} of {sheets}")]
        else:
            foot = f"{source}, {date}, sheet {sheet} of {sheets}"
            size = fitted_size(foot, FOOT_MM, 2.2)
            drawn.marks.append(Text(self.paper.width - PRINTED_MM, PRINTED_MM + 1.0, foot, size, "end"))
        return drawn


def room(paper: Paper, beside_block: bool = False) -> tuple[float, float, float, float]:
    """Left, low, right, high edge of what a page may draw on [mm]: above the title block, or (beside_block) left of it
    from the frame's lower edge up to the block's upper one."""
    left, low, right, high = paper.frame
    if beside_block:
        return left + 3.0, low + 3.0, right - BLOCK_WIDE - 3.0, low + BLOCK_HIGH - 2.0
    return left + 3.0, low + BLOCK_HIGH + 3.0, right - 3.0, high - 3.0


def frame(paper: Paper) -> Iterator[Mark]:
    """The line round the sheet and its centring marks."""
    left, low, right, high = paper.frame
    corners = [(left, low), (right, low), (right, high), (left, high), (left, low)]
    for a, b in pairwise(corners):
        yield Line(*a, *b, "frame")
    x, y, out = 0.5 * paper.width, 0.5 * paper.height, CENTRE_MARK_MM
    yield Line(x, low - out, x, low, "frame")
    yield Line(x, high, x, high + out, "frame")
    yield Line(left - out, y, left, y, "frame")
    yield Line(right, y, right + out, y, "frame")


def _block(page: Page, vehicle: str, source: str, date: str, sheet: str) -> Iterator[Mark]:
    _, low, right, _ = page.paper.frame
    x, y = right - BLOCK_WIDE, low
    rows = (0.0, 5.0, 13.0, 23.0, BLOCK_HIGH)
    for up in rows[1:]:
        yield Line(x, y + up, right, y + up, "cut")
    yield Line(x, y, x, y + BLOCK_HIGH, "cut")
    yield Text(x + 2.0, y + 1.5, page.caution, fitted_size(page.caution, BLOCK_WIDE - 4.0, 2.0))
    count = "" if page.count is None else f"{page.count}"
    mass = "" if page.mass_kg is None else kg(page.mass_kg)
    top = (("vehicle", vehicle, 52.0), ("title", page.title, 98.0), ("drawing", page.mark, 30.0))
    middle = (("material, stock", page.stock, 84.0), ("make", count, 16.0), ("mass of one", mass, 22.0))
    last = (
        ("from file", source, 52.0), ("date", date, 24.0), ("scale", page.scale, 40.0), ("unit", "mm", 14.0),
        ("", "", 2.0 * SYMBOL_MM), ("sheet", sheet, 50.0 - 2.0 * SYMBOL_MM),
    )  # fmt: skip
    yield from _row(x, y + rows[3], rows[4] - rows[3], top, 4.5, bold=True)
    yield from _row(x, y + rows[2], rows[3] - rows[2], (*middle, ("", "", 58.0)), 2.8)
    yield from _row(x, y + rows[1], rows[2] - rows[1], last, TEXT_MM)
    yield from _tolerance(page, x + 122.0, y + rows[2], 58.0)
    yield from first_angle(x + 130.0 + SYMBOL_MM, y + rows[1] + 0.5 * (rows[2] - rows[1]))


def _row(
    x: float, y: float, high: float, cells: tuple[tuple[str, str, float], ...], size: float, bold: bool = False
) -> Iterator[Mark]:
    for k, (head, words, wide) in enumerate(cells):
        if k:
            yield Line(x, y, x, y + high, "thin")
        if head:
            yield Text(x + 1.5, y + high - 1.0 - HEAD_MM, head, HEAD_MM, pen="axis")
        if words:
            letters = fitted_size(words, wide - 4.0, size, LEAST_MM, bold)
            yield Text(x + 1.5, y + 0.5 * size, cut_to(words, wide - 4.0, letters, bold), letters, bold=bold)
        x += wide


def _tolerance(page: Page, x: float, y: float, wide: float) -> Iterator[Mark]:
    """What holds for a size without one of its own, in three lines."""
    yield Text(x + 1.5, y + 7.2, "general tolerance", HEAD_MM, pen="axis")
    yield Text(x + wide - 1.5, y + 7.0, page.tolerance, 2.2, "end", bold=True)
    lines = broken(page.tolerance_words, wide - 3.0, SMALL_MM)
    for k, line in enumerate(lines[:2]):
        yield Text(x + 1.5, y + 4.0 - 2.6 * k, line, SMALL_MM, pen="axis")
