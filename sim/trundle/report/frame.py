"""What all pictures over a course share: panels against course position, obstacles shaded and named."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from trundle.model.arrays import Floats
from trundle.report import svg
from trundle.report.thin import thin

WIDE_IN = 9.2
"""Width of every picture [in]; the page scales it."""
LEFT_IN, RIGHT_IN, FOOT_IN, BETWEEN_IN = 0.72, 0.12, 0.46, 0.16

PT = 72.0
"""Points in an inch."""

INK, GREY, SOFT, SAND = "#222222", "#888888", "#dcdcdc", "#e9e2d0"
BLUE, ORANGE, GREEN, PURPLE = "#1f5fa8", "#c8551b", "#2e8049", "#7b4a9b"
COLOURS = (BLUE, ORANGE, GREEN, PURPLE)
DASHES: tuple[tuple[float, ...], ...] = ((), (3.6, 1.35), (1.1, 1.1), (4.5, 1.1, 1.1, 1.1))
"""Curves in one picture differ by dashes [pt] as well as by colour."""

LINE_PT = 0.9
LABEL_ROW_IN = 0.15
MOMENT_PT = 5.0
"""Radius of the disc with a moment's number [pt]."""

MOST_ROWS = 3
LETTER_IN = 0.062
"""Width of a letter at the labels' size, on the wide side."""

SAMPLE_PT, COLUMN_PT = 18.0, 12.0
"""In the legend: length of a curve's sample, and the room between two entries."""

Spans = Sequence[tuple[str, float, float]]


@dataclass(frozen=True)
class Label:
    """A name above the picture. x_m: middle of its text on the course [m]; row: 0 is the lowest."""

    text: str
    x_m: float
    row: int


def place_labels(spans: Spans, length_m: float, wide_in: float) -> list[Label]:
    """Names of the obstacles over `wide_in` of picture, in as few rows as keep them apart.

    If three rows are not enough, their numbers (as in the verdict's table) instead, in one row; and of those
    that would lie over each other only the first.
    """
    for texts, rows in (([t for t, _, _ in spans], MOST_ROWS), ([str(i + 1) for i in range(len(spans))], 1)):
        ends = [-1e9] * rows
        placed = []
        for text, (_, start, end) in zip(texts, spans, strict=True):
            half = 0.5 * (len(text) + 2) * LETTER_IN / wide_in * length_m
            middle = min(max(0.5 * (start + end), half), max(length_m - half, half))
            row = next((r for r, e in enumerate(ends) if e <= middle - half), None)
            if row is not None:
                ends[row] = middle + half
                placed.append(Label(text, middle, row))
        if len(placed) == len(spans):
            break
    return placed


class Panel:
    """One pair of axes: course position [m] across, a quantity upwards.

    low, high: range of the quantity, from the curves if it is not set (high below low: downwards); label: its
    name and unit; title: what the panel is about.
    """

    def __init__(self, box_pt: tuple[float, float, float, float], length_m: float) -> None:
        self.left, self.top, self.wide, self.tall = box_pt
        self.length_m = length_m
        self.low: float | None = None
        self.high: float | None = None
        self.label = self.title = ""
        self._clip = "clip-" + "-".join(svg.number(v) for v in box_pt)
        self._pieces: list[Callable[[], str]] = []
        self._legend: list[tuple[str, Callable[[float, float], str]]] = []
        self._seen: list[float] = []

    def limits(self, low: float | None, high: float | None) -> None:
        """Sets the ends of the range; None leaves one as it is."""
        self.low = low if low is not None else self.low
        self.high = high if high is not None else self.high

    def curve(
        self, x: Floats, y: Floats, number: int = 0, label: str = "", *,
        colour: str = "", dash: tuple[float, ...] | None = None, wide: float = LINE_PT,
    ) -> None:  # fmt: skip
        """A thinned curve over x [m], in the number's colour and dashes unless they are given."""
        colour = colour or COLOURS[number % len(COLOURS)]
        dash = DASHES[number % len(DASHES)] if dash is None else dash
        tx, ty = thin(x, y)
        self._see(ty)
        self._pieces.append(
            lambda: svg.path(svg.points(self._across(tx), self._up(ty)), colour, wide, dash, self._clip)
        )
        if label:
            at = f"h{SAMPLE_PT:g}"
            self._legend.append((label, lambda px, py: svg.path(f"M{px:.2f} {py - 2.6:.2f}{at}", colour, wide, dash)))

    def rule(self, y: float, text: str = "", *, colour: str = "", above: bool = True) -> None:
        """A level line: grey and thin, or dashed with its meaning written on it at the left."""
        self._see(np.array([y]))
        stroke = colour or (INK if text else GREY)

        def draw() -> str:
            py = float(self._up(np.array([y]))[0])
            d = f"M{svg.number(self.left)} {svg.number(py)}h{svg.number(self.wide)}"
            line = svg.path(d, stroke, 0.7 if text else 0.6, (1.4, 1.4) if text else (), self._clip)
            if not text or not self.top <= py <= self.top + self.tall:
                return line
            at = py - 3.0 if above else py + svg.NOTE_PT + 0.5
            return line + svg.words(self.left + 0.004 * self.wide, at, text, svg.NOTE_PT, colour=stroke)

        self._pieces.append(draw)

    def marks(
        self, kind: str, x: Floats, *, y: float | None = None, share: float = 0.0,
        colour: str = INK, face: str = "white", line_pt: float = 0.7, label: str = "",
    ) -> None:  # fmt: skip
        """Marks (see svg.marks) over x [m], at the quantity y or at a share of the panel's height."""

        def draw() -> str:
            py = self.top + (1.0 - share) * self.tall if y is None else float(self._up(np.array([y]))[0])
            return svg.marks(kind, [(px, py) for px in self._across(x).tolist()], colour, face, line_pt)

        self._pieces.append(draw)
        if label:
            self._legend.append(
                (label, lambda px, py: svg.marks(kind, [(px + 0.5 * SAMPLE_PT, py - 2.6)], colour, face, line_pt))
            )

    def area(self, x: Floats, y: Floats, floor: float, colour: str) -> None:
        """Filled between the curve and `floor`."""
        tx, ty = np.concatenate([x[:1], x, x[-1:]]), np.concatenate([[floor], y, [floor]])
        self._pieces.append(
            lambda: svg.shape(svg.points(self._across(tx), self._up(ty)) + "Z", colour, clip=self._clip)
        )

    def outlines(self, shapes: Iterable[Floats], face: str, opacity: float, edge: str) -> None:
        """Closed outlines, each (n, 2) [m; the quantity]."""

        def draw() -> str:
            d = "".join(svg.points(self._across(s[:, 0]), self._up(s[:, 1])) + "Z" for s in shapes)
            return svg.shape(d, face, opacity, edge, 0.5, self._clip)

        self._pieces.append(draw)

    def draw(self, spans: Spans) -> list[str]:
        """The panel's markup, obstacles shaded."""
        self.low, self.high = self._range()
        corner = svg.box(self.left, self.top, self.wide, self.tall)
        least = 0.003 * self.length_m  # a kerb stone must not vanish on a long course
        bars = ""
        for _, start, end in spans:
            start = min(start, self.length_m)
            reach = min(max(end - start, least), self.length_m - start)
            per_m = self.wide / self.length_m
            bars += svg.box(self.left + start * per_m, self.top, reach * per_m, self.tall)
        pieces = [svg.clip_path(self._clip, corner)]
        if bars:
            pieces.append(svg.shape(bars, SAND))
        pieces.append(self._grid())
        pieces += [piece() for piece in self._pieces]
        sides = f"M{svg.number(self.left)} {svg.number(self.top)}v{svg.number(self.tall)}h{svg.number(self.wide)}"
        pieces.append(svg.path(sides, "#000000", 0.6))
        if self.title:
            pieces.append(svg.words(self.left + 4.0, self.top + 2.0 + svg.TEXT_PT, self.title, svg.TEXT_PT, bold=True))
        middle = self.top + 0.5 * self.tall
        pieces.append(svg.words(12.0, middle, self.label, svg.TEXT_PT, anchor="middle", upright=True))
        return [*pieces, *self._legend_row()]

    def foot(self, xlabel: str) -> list[str]:
        """Figures and name of the course position, below the panel."""
        below = self.top + self.tall + 2.2
        pieces = [
            svg.words(self.left + x / self.length_m * self.wide, below + svg.SMALL_PT, f"{x:g}", svg.SMALL_PT,
                      anchor="middle")
            for x in round_steps(0.0, self.length_m, 10)
        ]  # fmt: skip
        middle = self.left + 0.5 * self.wide
        pieces.append(svg.words(middle, below + 15.8 + svg.TEXT_PT, xlabel, svg.TEXT_PT, anchor="middle"))
        return pieces

    def _across(self, x: Floats) -> Floats:
        return np.asarray(self.left + x * (self.wide / self.length_m))

    def _up(self, y: Floats) -> Floats:
        assert self.low is not None
        assert self.high is not None
        return np.asarray(self.top + self.tall * (self.high - y) / (self.high - self.low))

    def _see(self, y: Floats) -> None:
        sound = y[np.isfinite(y)]
        if len(sound):
            self._seen += [float(sound.min()), float(sound.max())]

    def _range(self) -> tuple[float, float]:
        """What is set, and for the rest what is drawn with a twentieth to spare; never empty."""
        low, high = min(self._seen, default=0.0), max(self._seen, default=1.0)
        spare = 0.05 * (high - low)
        low = low - spare if self.low is None else self.low
        high = high + spare if self.high is None else self.high
        return (low, high) if low != high else (low - 0.5, high + 0.5)

    def _grid(self) -> str:
        """Grid lines, and the quantity's figures at the left."""
        assert self.low is not None
        assert self.high is not None
        xs = self._across(np.array(round_steps(0.0, self.length_m, 10)))
        steps = round_steps(self.low, self.high, max(3, round(self.tall / PT / 0.3)))
        ys = self._up(np.array(steps))
        top, left = svg.number(self.top), svg.number(self.left)
        d = "".join(f"M{svg.number(x)} {top}v{svg.number(self.tall)}" for x in xs)
        d += "".join(f"M{left} {svg.number(y)}h{svg.number(self.wide)}" for y in ys)
        figures = [
            svg.words(self.left - 4.0, py + 0.36 * svg.SMALL_PT, f"{y:g}".replace("-", "−"), svg.SMALL_PT, anchor="end")
            for y, py in zip(steps, ys.tolist(), strict=True)
        ]
        return svg.path(d, SOFT, 0.4) + "".join(figures)

    def _legend_row(self) -> list[str]:
        """What the curves are, inside the top right corner; nothing if there is only one."""
        if len(self._legend) < 2:
            return []
        widths = [SAMPLE_PT + 5.0 + svg.width_of(text, svg.LEGEND_PT) + COLUMN_PT for text, _ in self._legend]
        x, y = self.left + self.wide - sum(widths), self.top + 2.0 + svg.LEGEND_PT
        pieces = []
        for wide, (text, sample) in zip(widths, self._legend, strict=True):
            pieces += [sample(x, y), svg.words(x + SAMPLE_PT + 5.0, y, text, svg.LEGEND_PT)]
            x += wide
        return pieces


@dataclass(frozen=True)
class Moment:
    """Something with a number that happened at a place of the course [m], marked above all panels."""

    number: int
    x_m: float
    colour: str


class Sheet:
    """A picture of panels one below the other that share the course position."""

    def __init__(
        self, heights_in: Sequence[float], spans: Spans, length_m: float, xlabel: str, moments: Sequence[Moment] = ()
    ) -> None:
        wide_in = WIDE_IN - LEFT_IN - RIGHT_IN
        self.labels = place_labels(spans, length_m, wide_in)
        self.spans, self.xlabel, self.moments = spans, xlabel, moments
        head_in = LABEL_ROW_IN * (1 + max((p.row for p in self.labels), default=0)) + 0.08
        self._above_pt = 2.0 * MOMENT_PT + 3.0 if moments else 0.0
        head_in += self._above_pt / PT
        self.tall_in = head_in + FOOT_IN + sum(heights_in) + BETWEEN_IN * (len(heights_in) - 1)
        self.panels: list[Panel] = []
        top_in = head_in
        for height_in in heights_in:
            self.panels.append(Panel((LEFT_IN * PT, top_in * PT, wide_in * PT, height_in * PT), length_m))
            top_in += height_in + BETWEEN_IN

    def svg(self, label: str) -> str:
        """The finished picture as markup; `label` for those who cannot see it."""
        first, last = self.panels[0], self.panels[-1]
        pieces = [piece for panel in self.panels for piece in panel.draw(self.spans)]
        for p in self.labels:
            x = first.left + p.x_m / first.length_m * first.wide
            y = first.top - self._above_pt - 4.5 - PT * LABEL_ROW_IN * p.row
            pieces.append(svg.words(x, y, p.text, svg.SMALL_PT, anchor="middle", colour="#5c4a1e"))
        pieces += self._marked(first, last)
        pieces += last.foot(self.xlabel)
        return svg.drawing(WIDE_IN * PT, self.tall_in * PT, pieces, label)

    def _marked(self, first: Panel, last: Panel) -> list[str]:
        """A line through all panels at each moment, its number above it, beside that of another there."""
        pieces: list[str] = []
        free, wide = -math.inf, 2.0 * MOMENT_PT + 1.0
        for moment in sorted(self.moments, key=lambda m: (m.x_m, m.number)):
            x = first.left + moment.x_m / first.length_m * first.wide
            down = last.top + last.tall - first.top
            pieces.append(svg.path(f"M{x:.2f} {first.top:.2f}v{down:.2f}", moment.colour, 0.7, (2.0, 2.0)))
            at = max(x, free)
            free = at + wide
            y = first.top - MOMENT_PT - 1.5
            pieces.append(svg.disc(at, y, MOMENT_PT, moment.colour, str(moment.number)))
        return pieces


def round_steps(low: float, high: float, most: int) -> list[float]:
    """Multiples of 1, 2 or 5 times a power of ten from `low` to `high` (either way round), `most` spaces at most."""
    low, high = min(low, high), max(low, high)
    least = (high - low) / most
    if not (math.isfinite(least) and least > 0.0):
        return [low]
    power = 10.0 ** math.floor(math.log10(least))
    step = next(k * power for k in (1, 2, 5, 10) if k * power >= least * (1.0 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [float(f"{k * step:.9g}") + 0.0 for k in range(first, last + 1)]
