"""A drawing in millimetres, made of a few kinds of mark, written as SVG or on a page of a PDF.

Origin at the lower left corner of the sheet, y up. Nothing here knows what is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from html import escape
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from fpdf import FPDF

Pen = Literal["cut", "thin", "axis", "bar", "ground", "soft"]

WIDTH_MM: dict[Pen, float] = {
    "cut": 0.35,
    "thin": 0.18,
    "axis": 0.13,
    "bar": 0.6,
    "ground": 0.5,
    "soft": 0.25,
}
"""Line widths on paper."""

GREY: dict[Pen, int] = {"cut": 0, "thin": 60, "axis": 90, "bar": 0, "ground": 90, "soft": 150}
DASH_MM: dict[Pen, tuple[float, float] | None] = {
    "cut": None, "thin": None, "axis": (4.0, 1.0), "bar": None, "ground": None, "soft": None,
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    pen: Pen = "cut"


@dataclass(frozen=True)
class Circle:
    """A circle; filled: a solid dot."""

    x: float
    y: float
    radius: float
    pen: Pen = "cut"
    filled: bool = False


@dataclass(frozen=True)
class Text:
    """One line of text, `size` mm high letters; anchor: where (x, y) lies on it."""

    x: float
    y: float
    text: str
    size: float = 3.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False


Mark = Line | Circle | Text


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
        for a, b in pairwise(corners):
            self.marks.append(Line(*a, *b, pen))

    def polyline(self, points: list[tuple[float, float]], pen: Pen = "cut") -> None:
        """Straight lines from point to point."""
        for a, b in pairwise(points):
            self.marks.append(Line(*a, *b, pen))

    def svg(self, scale: float = 1.0) -> str:
        """The sheet as SVG: one user unit is one millimetre of the drawing, printed at `scale`;
        lines are as wide on paper at any scale."""
        out = [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{self.width * scale:g}mm" '
            f'height="{self.height * scale:g}mm" viewBox="0 0 {self.width:g} {self.height:g}" role="img">',
            f"<title>{escape(self.title)}</title>",
        ]
        out += [self._svg_mark(m, 1.0 / scale) for m in self.marks]
        return "\n".join([*out, "</svg>"]) + "\n"

    def _svg_mark(self, m: Mark, wider: float) -> str:
        if isinstance(m, Text):
            weight = ' font-weight="bold"' if m.bold else ""
            # A capital letter is about 0.72 of the font's size high.
            return (
                f'<text x="{m.x:.3f}" y="{self.height - m.y:.3f}" font-size="{m.size / 0.72:.3f}" '
                f'font-family="Helvetica, Arial, sans-serif" text-anchor="{m.anchor}"{weight}>'
                f"{escape(m.text)}</text>"
            )
        tone = f"rgb({GREY[m.pen]},{GREY[m.pen]},{GREY[m.pen]})"
        dash = DASH_MM[m.pen]
        stroke = f'stroke="{tone}" stroke-width="{WIDTH_MM[m.pen] * wider:g}"'
        if dash is not None:
            stroke += f' stroke-dasharray="{dash[0] * wider:g} {dash[1] * wider:g}"'
        if isinstance(m, Line):
            return (
                f'<line x1="{m.x0:.4f}" y1="{self.height - m.y0:.4f}" x2="{m.x1:.4f}" '
                f'y2="{self.height - m.y1:.4f}" {stroke}/>'
            )
        fill = tone if m.filled else "none"
        return f'<circle cx="{m.x:.4f}" cy="{self.height - m.y:.4f}" r="{m.radius:.4f}" fill="{fill}" {stroke}/>'

    def onto(self, pdf: FPDF, x: float = 0.0, y: float = 0.0, scale: float = 1.0) -> None:
        """Draw on the current page, upper left corner at (x, y) mm from the page's own."""

        def at(px: float, py: float) -> tuple[float, float]:
            return x + px * scale, y + (self.height - py) * scale

        for m in self.marks:
            if isinstance(m, Text):
                pdf.set_font("sheet", "B" if m.bold else "", m.size * scale / 0.72 * 72.0 / 25.4)
                pdf.set_text_color(0)
                px, py = at(m.x, m.y)
                wide = pdf.get_string_width(m.text)
                shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[m.anchor]
                pdf.text(px - shift * wide, py, m.text)
                continue
            pdf.set_line_width(WIDTH_MM[m.pen])
            pdf.set_draw_color(GREY[m.pen])
            dash = DASH_MM[m.pen]
            pdf.set_dash_pattern(*dash) if dash is not None else pdf.set_dash_pattern()
            if isinstance(m, Line):
                pdf.line(*at(m.x0, m.y0), *at(m.x1, m.y1))
            else:
                pdf.set_fill_color(GREY[m.pen])
                px, py = at(m.x, m.y)
                pdf.circle(px, py, m.radius * scale, style="DF" if m.filled else "D")
        pdf.set_dash_pattern()
