"""A drawing in millimetres, made of a few kinds of mark: written as SVG, PDF or PNG, or on a page of a PDF.

Origin at the lower left corner of the sheet, y up. Nothing here knows what is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape
from typing import TYPE_CHECKING

from trundle.drawing.font import add_fonts
from trundle.drawing.marks import Mark, polyline
from trundle.drawing.pens import Corner, Pen

if TYPE_CHECKING:
    from fpdf import FPDF

DPI = 200.0
"""Dots per inch of a picture that nobody says more of."""


@dataclass
class Drawing:
    """A sheet of `width` x `height` mm with its marks."""

    width: float
    height: float
    title: str
    marks: list[Mark] = field(default_factory=list)

    def rectangle(self, x: float, y: float, width: float, height: float, pen: Pen = "cut") -> None:
        """Four lines."""
        corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)]
        self.marks += polyline(corners, pen)

    def polyline(self, points: list[Corner], pen: Pen = "cut") -> None:
        """Straight lines from point to point."""
        self.marks += polyline(points, pen)

    def svg(self, scale: float = 1.0) -> str:
        """The sheet as SVG: one user unit is one millimetre of the drawing, printed at `scale`;
        lines are as wide on paper at any scale."""
        out = [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width * scale:g}mm" '
            f'height="{self.height * scale:g}mm" viewBox="0 0 {self.width:g} {self.height:g}" role="img">',
            f"<title>{escape(self.title)}</title>",
        ]
        out += [m.svg(self.height, 1.0 / scale) for m in self.marks]
        return "\n".join([*out, "</svg>"]) + "\n"

    def onto(self, pdf: FPDF, x: float = 0.0, y: float = 0.0, scale: float = 1.0) -> None:
        """Draw on the current page, upper left corner at (x, y) mm from the page's own."""

        def at(px: float, py: float) -> Corner:
            return x + px * scale, y + (self.height - py) * scale

        for m in self.marks:
            m.onto(pdf, at, scale)
        pdf.set_dash_pattern()

    def pdf(self, scale: float = 1.0) -> bytes:
        """Alone on a page of its own size, as a PDF file."""
        from fpdf import FPDF  # here: a quarter of a second that SVG and PNG do not take

        pdf = FPDF(unit="mm", format=(self.width * scale, self.height * scale))
        add_fonts(pdf)
        pdf.set_title(self.title)
        pdf.set_auto_page_break(False)
        pdf.add_page()
        self.onto(pdf, scale=scale)
        return bytes(pdf.output())

    def png(self, width_px: int | None = None, dpi: float = DPI, scale: float = 1.0) -> bytes:
        """As a PNG file: so many pixels wide, or at `dpi` dots per inch when printed at `scale`."""
        from trundle.drawing.picture import Picture

        per_mm = width_px / self.width if width_px is not None else dpi / 25.4 * scale
        on = Picture(self.width, self.height, per_mm, wider=1.0 / scale)
        for m in self.marks:
            m.paint(on)
        return on.png()
