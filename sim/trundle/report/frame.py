"""What all pictures over a course share: axes against course position, obstacles shaded and named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from trundle.model.arrays import Floats
from trundle.report.svg import inline
from trundle.report.thin import thin

WIDE_IN = 9.2
"""Width of every picture [in]; the page scales it."""
LEFT_IN, RIGHT_IN, FOOT_IN, BETWEEN_IN = 0.72, 0.12, 0.46, 0.16

INK, GREY = "#222222", "#888888"
BLUE, ORANGE, GREEN, PURPLE = "#1f5fa8", "#c8551b", "#2e8049", "#7b4a9b"
COLOURS = (BLUE, ORANGE, GREEN, PURPLE)
DASHES: tuple[Any, ...] = ("-", (0, (4, 1.5)), (0, (1.2, 1.2)), (0, (5, 1.2, 1.2, 1.2)))
"""Curves in one picture differ by dashes as well as by colour."""

LABEL_ROW_IN = 0.15
MOST_ROWS = 3
LETTER_IN = 0.062
"""Width of a letter at the labels' size, on the wide side."""

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


class Sheet:
    """A figure of stacked axes that share the course position."""

    def __init__(self, heights_in: Sequence[float], spans: Spans, length_m: float, xlabel: str) -> None:
        self.wide_in = WIDE_IN - LEFT_IN - RIGHT_IN
        labels = place_labels(spans, length_m, self.wide_in)
        head = LABEL_ROW_IN * (1 + max((p.row for p in labels), default=0)) + 0.08
        tall = head + FOOT_IN + sum(heights_in) + BETWEEN_IN * (len(heights_in) - 1)
        self.figure = Figure(figsize=(WIDE_IN, tall))
        self.axes: list[Axes] = []
        top = tall - head
        for height in heights_in:
            box = (LEFT_IN / WIDE_IN, (top - height) / tall, self.wide_in / WIDE_IN, height / tall)
            ax = self.figure.add_axes(box)
            ax.set_xlim(0.0, length_m)
            self.axes.append(ax)
            top -= height + BETWEEN_IN
        self.heights_in, self.xlabel = heights_in, xlabel
        least = 0.003 * length_m  # a kerb stone must not vanish on a long course
        bars = [(min(s, length_m), max(e - s, least)) for _, s, e in spans]
        for ax in self.axes:
            ax.broken_barh(bars, (0.0, 1.0), transform=ax.get_xaxis_transform(), color="#e9e2d0", lw=0, zorder=0)
        first = self.axes[0]
        for p in labels:
            first.annotate(
                p.text,
                (p.x_m, 1.0),
                xycoords=first.get_xaxis_transform(),
                xytext=(0.0, 3.0 + 72.0 * LABEL_ROW_IN * p.row),
                textcoords="offset points",
                ha="center",
                va="bottom",
                fontsize=7.5,
                color="#5c4a1e",
                annotation_clip=False,
            )

    def svg(self, label: str) -> str:
        """The finished picture as markup; `label` for those who cannot see it."""
        for ax, tall in zip(self.axes, self.heights_in, strict=True):
            self._grid(ax, tall, ax is self.axes[-1])
        return inline(self.figure, label)

    def _grid(self, ax: Axes, height_in: float, last: bool) -> None:
        """Grid, figures and names of the axes. matplotlib's own take a second for a page of them."""
        (x0, x1), (y0, y1) = ax.get_xlim(), ax.get_ylim()
        xs = _steps(x0, x1, 10)
        ys = _steps(y0, y1, max(3, round(height_in / 0.3)))
        lines = [[(x, y0), (x, y1)] for x in xs] + [[(x0, y), (x1, y)] for y in ys]
        ax.add_collection(LineCollection(lines, colors="#dcdcdc", linewidths=0.4, zorder=0.5), autolim=False)
        ax.xaxis.set_visible(False)
        ax.yaxis.set_visible(False)
        side = ax.get_yaxis_transform()
        for y in ys:
            ax.text(-0.007, y, f"{y:g}".replace("-", "−"), transform=side, ha="right", va="center", fontsize=7.5)
        ax.text(
            -0.85 * LEFT_IN / self.wide_in, 0.5, ax.get_ylabel(), transform=ax.transAxes, rotation=90,
            ha="center", va="center",
        )  # fmt: skip
        if last:
            foot = ax.get_xaxis_transform()
            for x in xs:
                ax.text(x, -0.05 / height_in, f"{x:g}", transform=foot, ha="center", va="top", fontsize=7.5)
            ax.text(0.5, -0.27 / height_in, self.xlabel, transform=ax.transAxes, ha="center", va="top")


def _steps(low: float, high: float, most: int) -> list[float]:
    """Round numbers from `low` to `high`, at most about `most` of them."""
    low, high = min(low, high), max(low, high)
    values = np.asarray(MaxNLocator(nbins=most, steps=[1, 2, 5, 10]).tick_values(low, high))
    return [float(v) + 0.0 for v in np.round(values[(values >= low) & (values <= high)], 9)]


def curve(ax: Axes, x: Floats, y: Floats, number: int = 0, label: str = "", **how: Any) -> None:
    """A thinned curve in the number's colour and dashes."""
    colour, dash = COLOURS[number % len(COLOURS)], DASHES[number % len(DASHES)]
    ax.plot(*thin(x, y), **({"color": colour, "linestyle": dash, "label": label} | how))


def level(ax: Axes, y: float, text: str, above: bool = True, colour: str = INK) -> None:
    """A level line with its meaning written on it at the left."""
    ax.axhline(y, color=colour, lw=0.7, linestyle=(0, (2, 2)))
    ax.annotate(
        text, (0.004, y), xycoords=ax.get_yaxis_transform(), xytext=(0, 2 if above else -2),
        textcoords="offset points", va="bottom" if above else "top", fontsize=7, color=colour,
    )  # fmt: skip


def legend(ax: Axes) -> None:
    """What the curves are, inside the top right corner."""
    ax.legend(loc="upper right", ncols=4, borderaxespad=0.1, handlelength=2.4)
