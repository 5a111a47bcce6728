"""A drawing in millimetres, made of a few kinds of mark, written as SVG or on a page of a PDF.

Origin at the lower left corner of the sheet, y up. Nothing here knows what is drawn.
"""

from __future__ import annotations

from collections.abc import Callable
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

CAPITAL = 0.72
"""Height of a capital letter over the size of its font."""

GREY: dict[Pen, int] = {"cut": 0, "thin": 60, "axis": 90, "bar": 0, "ground": 90, "soft": 150}
DASH_MM: dict[Pen, tuple[float, float] | None] = {
    "cut": None, "thin": None, "axis": (4.0, 1.0), "bar": None, "ground": None, "soft": None,
}  # fmt: skip


Corner = tuple[float, float]


@dataclass(frozen=True)
class Line:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    pen: Pen = "cut"

    def svg(self, height: float, wider: float) -> str:
        """As SVG on a sheet `height` mm high, lines `wider` times as wide as on paper."""
        return (
            f'<line x1="{self.x0:.4f}" y1="{height - self.y0:.4f}" x2="{self.x1:.4f}" '
            f'y2="{height - self.y1:.4f}" {_stroke(self.pen, wider)}/>'
        )

    def onto(self, pdf: FPDF, at: Callable[[float, float], Corner], scale: float) -> None:
        """Draw on a page; at: place on the page of a point of the drawing [mm]."""
        _set_pen(pdf, self.pen)
        pdf.line(*at(self.x0, self.y0), *at(self.x1, self.y1))


@dataclass(frozen=True)
class Circle:
    """A circle; filled: a solid dot."""

    x: float
    y: float
    radius: float
    pen: Pen = "cut"
    filled: bool = False

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        fill = _tone(self.pen) if self.filled else "none"
        return (
            f'<circle cx="{self.x:.4f}" cy="{height - self.y:.4f}" r="{self.radius:.4f}" fill="{fill}" '
            f"{_stroke(self.pen, wider)}/>"
        )

    def onto(self, pdf: FPDF, at: Callable[[float, float], Corner], scale: float) -> None:
        """As of a line."""
        _set_pen(pdf, self.pen)
        pdf.set_fill_color(GREY[self.pen])
        x, y = at(self.x, self.y)
        pdf.circle(x, y, self.radius * scale, style="DF" if self.filled else "D")


@dataclass(frozen=True)
class Text:
    """One line of text, `size` mm high letters; anchor: where (x, y) lies on it."""

    x: float
    y: float
    text: str
    size: float = 3.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        weight = ' font-weight="bold"' if self.bold else ""
        return (
            f'<text x="{self.x:.3f}" y="{height - self.y:.3f}" font-size="{self.size / CAPITAL:.3f}" '
            f'font-family="Helvetica, Arial, sans-serif" text-anchor="{self.anchor}"{weight}>'
            f"{escape(self.text)}</text>"
        )

    def onto(self, pdf: FPDF, at: Callable[[float, float], Corner], scale: float) -> None:
        """As of a line."""
        pdf.set_font("sheet", "B" if self.bold else "", self.size * scale / CAPITAL * 72.0 / 25.4)
        pdf.set_text_color(0)
        x, y = at(self.x, self.y)
        shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        pdf.text(x - shift * pdf.get_string_width(self.text), y, self.text)


Mark = Line | Circle | Text


def _tone(pen: Pen) -> str:
    return f"rgb({GREY[pen]},{GREY[pen]},{GREY[pen]})"


def _stroke(pen: Pen, wider: float) -> str:
    stroke = f'stroke="{_tone(pen)}" stroke-width="{WIDTH_MM[pen] * wider:g}"'
    if (dash := DASH_MM[pen]) is not None:
        stroke += f' stroke-dasharray="{dash[0] * wider:g} {dash[1] * wider:g}"'
    return stroke


def _set_pen(pdf: FPDF, pen: Pen) -> None:
    pdf.set_line_width(WIDTH_MM[pen])
    pdf.set_draw_color(GREY[pen])
    dash = DASH_MM[pen]
    pdf.set_dash_pattern(*dash) if dash is not None else pdf.set_dash_pattern()


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
        out += [m.svg(self.height, 1.0 / scale) for m in self.marks]
        return "\n".join([*out, "</svg>"]) + "\n"

    def onto(self, pdf: FPDF, x: float = 0.0, y: float = 0.0, scale: float = 1.0) -> None:
        """Draw on the current page, upper left corner at (x, y) mm from the page's own."""

        def at(px: float, py: float) -> Corner:
            return x + px * scale, y + (self.height - py) * scale

        for m in self.marks:
            m.onto(pdf, at, scale)
        pdf.set_dash_pattern()
