"""What a drawing is made of: each kind of mark writes itself as SVG, on a page of a PDF, and into a picture."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from html import escape
from itertools import pairwise
from typing import TYPE_CHECKING, Literal, Protocol

from trundle.drawing.pens import CAPITAL, DASH_MM, FILL, INK, RGB, WIDTH_MM, Corner, Pen, Tone, css

if TYPE_CHECKING:
    from fpdf import FPDF

At = Callable[[float, float], Corner]
"""Place on a PDF's page of a point of the drawing [mm]."""


class Canvas(Protocol):
    """What marks paint themselves on: pixels, a terminal's dots."""

    def line(
        self, points: Sequence[Corner], width_mm: float, colour: RGB, dash: tuple[float, float] | None = None
    ) -> None:
        """Straight lines from point to point."""

    def disc(self, x: float, y: float, radius: float, fill: RGB | None, width_mm: float, colour: RGB) -> None:
        """A circle, filled or not."""

    def polygon(self, points: Sequence[Corner], fill: RGB) -> None:
        """A filled outline."""

    def text(
        self,
        text: str,
        at: Corner,
        size: float,
        shift: float,
        ink: RGB,
        bold: bool = False,
        turn_deg: float = 0.0,
        halo: float = 0.0,
    ) -> None:
        """One line of text, `shift` of its width before `at`."""


HALO = 0.22
"""Width of the white edge round letters, over their height."""


@dataclass(frozen=True)
class Line:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    pen: Pen = "cut"

    def moved(self, x: float, y: float) -> Line:
        """The same, shifted."""
        return replace(self, x0=self.x0 + x, y0=self.y0 + y, x1=self.x1 + x, y1=self.y1 + y)

    def svg(self, height: float, wider: float) -> str:
        """As SVG on a sheet `height` mm high, lines `wider` times as wide as on paper."""
        return (
            f'<line x1="{self.x0:.4f}" y1="{height - self.y0:.4f}" x2="{self.x1:.4f}" '
            f'y2="{height - self.y1:.4f}" {_stroke(self.pen, wider)}/>'
        )

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """Draw on a page."""
        _set_pen(pdf, self.pen)
        pdf.line(*at(self.x0, self.y0), *at(self.x1, self.y1))

    def paint(self, on: Canvas) -> None:
        """Draw into a picture."""
        on.line([(self.x0, self.y0), (self.x1, self.y1)], WIDTH_MM[self.pen], INK[self.pen], DASH_MM[self.pen])


@dataclass(frozen=True)
class Circle:
    """A circle; filled: a solid dot; tone: filled with that."""

    x: float
    y: float
    radius: float
    pen: Pen = "cut"
    filled: bool = False
    tone: Tone | None = None

    def moved(self, x: float, y: float) -> Circle:
        """As of a line."""
        return replace(self, x=self.x + x, y=self.y + y)

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        fill = css(self._fill) if self._fill else "none"
        return (
            f'<circle cx="{self.x:.4f}" cy="{height - self.y:.4f}" r="{self.radius:.4f}" fill="{fill}" '
            f"{_stroke(self.pen, wider)}/>"
        )

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        _set_pen(pdf, self.pen)
        if self._fill:
            pdf.set_fill_color(*self._fill)
        x, y = at(self.x, self.y)
        pdf.circle(x, y, self.radius * scale, style="DF" if self._fill else "D")

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        on.disc(self.x, self.y, self.radius, self._fill, WIDTH_MM[self.pen], INK[self.pen])

    @property
    def _fill(self) -> tuple[int, int, int] | None:
        return FILL[self.tone] if self.tone else INK[self.pen] if self.filled else None


@dataclass(frozen=True)
class Polygon:
    """A closed outline, filled with a tone; pen None: without an outline (arrowheads)."""

    points: tuple[Corner, ...]
    tone: Tone = "ink"
    pen: Pen | None = None

    def moved(self, x: float, y: float) -> Polygon:
        """As of a line."""
        return replace(self, points=tuple((px + x, py + y) for px, py in self.points))

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        stroke = _stroke(self.pen, wider) if self.pen else 'stroke="none"'
        return f'<polygon points="{_points(self.points, height)}" fill="{css(FILL[self.tone])}" {stroke}/>'

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        if self.pen:
            _set_pen(pdf, self.pen)
        pdf.set_fill_color(*FILL[self.tone])
        pdf.polygon([at(*p) for p in self.points], style="DF" if self.pen else "F")

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        on.polygon(self.points, FILL[self.tone])
        if self.pen:
            on.line([*self.points, self.points[0]], WIDTH_MM[self.pen], INK[self.pen], DASH_MM[self.pen])


@dataclass(frozen=True)
class Band:
    """A line as wide as something is (a wire, a plate seen on edge): `width` of the drawing."""

    points: tuple[Corner, ...]
    width: float
    tone: Tone = "steel"
    pen: Pen = "outline"

    def moved(self, x: float, y: float) -> Band:
        """As of a line."""
        return replace(self, points=tuple((px + x, py + y) for px, py in self.points))

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        inner, outer = self._widths(wider)
        path = f'<polyline points="{_points(self.points, height)}" fill="none" stroke-linejoin="round"'
        return (
            f'{path} stroke="{css(INK[self.pen])}" stroke-width="{outer:g}"/>'
            f'{path} stroke="{css(FILL[self.tone])}" stroke-width="{inner:g}"/>'
        )

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        inner, outer = self._widths(1.0, scale)
        pdf.set_dash_pattern()
        for width, colour in ((outer, INK[self.pen]), (inner, FILL[self.tone])):
            with pdf.local_context(line_width=width, draw_color=colour):
                pdf.polyline([at(*p) for p in self.points])

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        inner, outer = self._widths(1.0)
        on.line(self.points, outer, INK[self.pen])
        on.line(self.points, inner, FILL[self.tone])

    def _widths(self, wider: float, scale: float = 1.0) -> tuple[float, float]:
        edge = WIDTH_MM[self.pen] * wider
        inner = max(self.width * scale - edge, edge)
        return inner, inner + 2.0 * edge


@dataclass(frozen=True)
class Arc:
    """A part of a circle, from one direction anticlockwise to another [deg]."""

    x: float
    y: float
    radius: float
    from_deg: float
    to_deg: float
    pen: Pen = "dimension"

    def points(self) -> tuple[Corner, ...]:
        """The corners of a fine polyline along it."""
        steps = max(2, math.ceil(abs(self.to_deg - self.from_deg) / 3.0))
        turns = [math.radians(self.from_deg + (self.to_deg - self.from_deg) * k / steps) for k in range(steps + 1)]
        return tuple((self.x + self.radius * math.cos(t), self.y + self.radius * math.sin(t)) for t in turns)

    def moved(self, x: float, y: float) -> Arc:
        """As of a line."""
        return replace(self, x=self.x + x, y=self.y + y)

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        return f'<polyline points="{_points(self.points(), height)}" fill="none" {_stroke(self.pen, wider)}/>'

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        _set_pen(pdf, self.pen)
        pdf.polyline([at(*p) for p in self.points()])

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        on.line(self.points(), WIDTH_MM[self.pen], INK[self.pen], DASH_MM[self.pen])


@dataclass(frozen=True)
class Text:
    """One line of text, `size` mm high letters; anchor: where (x, y) lies on it; turn_deg: anticlockwise about there;
    halo: with a white edge, to be read over lines."""

    x: float
    y: float
    text: str
    size: float = 3.0
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    pen: Pen = "cut"
    turn_deg: float = 0.0
    halo: bool = False

    def moved(self, x: float, y: float) -> Text:
        """As of a line."""
        return replace(self, x=self.x + x, y=self.y + y)

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        x, y = f"{self.x:.3f}", f"{height - self.y:.3f}"
        more = ' font-weight="bold"' if self.bold else ""
        if self.turn_deg:
            more += f' transform="rotate({-self.turn_deg:.2f} {x} {y})"'
        if any(INK[self.pen]):
            more += f' fill="{css(INK[self.pen])}"'
        if self.halo:
            width = HALO * self.size
            more += f' stroke="#fff" stroke-width="{width:.3f}" stroke-linejoin="round" paint-order="stroke"'
        return (
            f'<text x="{x}" y="{y}" font-size="{self.size / CAPITAL:.3f}" '
            f'font-family="Helvetica, Arial, sans-serif" text-anchor="{self.anchor}"{more}>'
            f"{escape(self.text)}</text>"
        )

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        pdf.set_font("sheet", "B" if self.bold else "", self.size * scale / CAPITAL * 72.0 / 25.4)
        pdf.set_text_color(*INK[self.pen])
        x, y = at(self.x, self.y)
        left = x - self.shift * pdf.get_string_width(self.text)
        with pdf.rotation(self.turn_deg, x, y):
            if self.halo:
                edge = HALO * self.size * scale
                with pdf.local_context(text_mode="STROKE", draw_color=(255, 255, 255), line_width=edge):
                    pdf.text(left, y, self.text)
            pdf.text(left, y, self.text)

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        halo = HALO * self.size if self.halo else 0.0
        on.text(self.text, (self.x, self.y), self.size, self.shift, INK[self.pen], self.bold, self.turn_deg, halo)

    @property
    def shift(self) -> float:
        """The share of its width that lies before (x, y)."""
        return {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]


@dataclass(frozen=True)
class Group:
    """Marks that belong together, under a name: all of one dimension, by its field."""

    name: str
    marks: tuple[Plain, ...]

    def moved(self, x: float, y: float) -> Group:
        """As of a line."""
        return replace(self, marks=tuple(m.moved(x, y) for m in self.marks))

    def svg(self, height: float, wider: float) -> str:
        """As of a line."""
        inner = "".join(m.svg(height, wider) for m in self.marks)
        return f'<g data-field="{escape(self.name)}">{inner}</g>'

    def onto(self, pdf: FPDF, at: At, scale: float) -> None:
        """As of a line."""
        for m in self.marks:
            m.onto(pdf, at, scale)

    def paint(self, on: Canvas) -> None:
        """As of a line."""
        for m in self.marks:
            m.paint(on)


Plain = Line | Circle | Polygon | Band | Arc | Text
Mark = Plain | Group


def arrowhead(x: float, y: float, towards_deg: float, length: float, pen: Pen = "dimension") -> Polygon:
    """A filled one of ISO 129-1 (closed, 30 degrees would be stout: 20 here) whose point is at (x, y)."""
    back = math.radians(towards_deg + 180.0)
    half = math.radians(10.0)
    reach = length / math.cos(half)
    sides = [(x + reach * math.cos(back + t), y + reach * math.sin(back + t)) for t in (-half, half)]
    tone: Tone = "accent" if pen == "accent" else "pale" if pen == "pale" else "fault" if pen == "fault" else "ink"
    return Polygon(((x, y), *sides), tone)


def polyline(points: list[Corner] | tuple[Corner, ...], pen: Pen = "cut") -> list[Mark]:
    """Straight lines from point to point."""
    return [Line(*a, *b, pen) for a, b in pairwise(points)]


def _points(points: tuple[Corner, ...], height: float) -> str:
    return " ".join(f"{x:.3f},{height - y:.3f}" for x, y in points)


def _stroke(pen: Pen, wider: float) -> str:
    stroke = f'stroke="{css(INK[pen])}" stroke-width="{WIDTH_MM[pen] * wider:g}"'
    if (dash := DASH_MM[pen]) is not None:
        stroke += f' stroke-dasharray="{dash[0] * wider:g} {dash[1] * wider:g}"'
    return stroke


def _set_pen(pdf: FPDF, pen: Pen) -> None:
    pdf.set_line_width(WIDTH_MM[pen])
    pdf.set_draw_color(*INK[pen])
    dash = DASH_MM[pen]
    pdf.set_dash_pattern(*dash) if dash is not None else pdf.set_dash_pattern()
