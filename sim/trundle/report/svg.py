"""Pieces of an SVG drawing as markup: paths, marks and words, the same text each time.

Lengths are points (1/72 inch), x to the right, y down. A plotting library draws the same page in a second, most of it
spent on getting itself loaded and on measuring letters; these few shapes need none of that.
"""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import numpy as np

from trundle.model.arrays import Floats

FAR_PT = 1e5
"""Coordinates beyond this are drawn at it: outside every picture, and still numbers that a browser takes [pt]."""

NEAR_PT, ROUNDS = 0.03, 8
"""A point this near to the straight line past it is left out [pt], in so many rounds at most."""

LETTER_EM = 0.6
"""Width of a letter over its size, on the wide side (DejaVu Sans: 0.58 on average in English text)."""

TEXT_PT, SMALL_PT, LEGEND_PT, NOTE_PT = 8.0, 7.5, 7.5, 7.0
"""Sizes of names of axes and panels; of figures and obstacles; of what curves are; of words on a line [pt]."""

_MARKS = {
    "down": "M-2 -1.8H2L0 2.2Z",
    "up": "M-2 1.8H2L0 -2.2Z",
    "cross": "M-2.5 -2.5L2.5 2.5M-2.5 2.5L2.5 -2.5",
    "diamond": "M0 -3L3 0L0 3L-3 0Z",
    "square": "M-2 -2H2V2H-2Z",
    "bar": "M-1 -3H1V3H-1Z",
}
"""Outline of each mark about its place [pt]."""


def number(value: float) -> str:
    """To the hundredth of a point, without what says nothing."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def points(x: Floats, y: Floats) -> str:
    """`d` of an open path through (x, y), each (n,) [pt], without those that say nothing; no number interrupts it."""
    sound = np.isfinite(x) & np.isfinite(y)
    x, y = np.clip(x, -FAR_PT, FAR_PT), np.clip(y, -FAR_PT, FAR_PT)
    ends = np.flatnonzero(np.diff(sound.astype(np.int8), prepend=0, append=0)).reshape(-1, 2)
    pieces = [_simpler(x[begin:end], y[begin:end]) for begin, end in ends.tolist()]
    return "".join("M" + "L".join([f"{a:.2f} {b:.2f}" for a, b in zip(*piece, strict=True)]) for piece in pieces)


def _simpler(x: Floats, y: Floats) -> tuple[list[float], list[float]]:
    """The path without points that lie within NEAR_PT of the line between their neighbours.

    In each round every other point is looked at, so that no two neighbours go at once.
    """
    for _ in range(ROUNDS):
        if len(x) < 3:
            break
        mid, before, after = slice(1, -1, 2), slice(0, -2, 2), slice(2, None, 2)
        dx, dy = x[after] - x[before], y[after] - y[before]
        off_x, off_y = x[mid] - x[before], y[mid] - y[before]
        aside = np.abs(off_x * dy - off_y * dx) / np.maximum(np.hypot(dx, dy), 1e-9)
        along = off_x * dx + off_y * dy
        between = (along >= 0.0) & (along <= dx * dx + dy * dy)
        keep = np.ones(len(x), dtype=bool)
        keep[mid] = ~(between & (aside < NEAR_PT))
        if keep.all():
            break
        x, y = x[keep], y[keep]
    return x.tolist(), y.tolist()


def path(d: str, colour: str, wide_pt: float, dash_pt: tuple[float, ...] = (), clip: str = "") -> str:
    """An unfilled path. dash_pt: lengths of strokes and gaps; clip: name of the clip path it is held in."""
    dash = f' stroke-dasharray="{" ".join(number(v) for v in dash_pt)}"' if dash_pt else ""
    held = f' clip-path="url(#{clip})"' if clip else ""
    return f'<path d="{d}" fill="none" stroke="{colour}" stroke-width="{number(wide_pt)}"{dash}{held}/>'


def shape(
    d: str, fill: str, opacity: float = 1.0, edge: str = "none", edge_pt: float = 0.0, clip: str = ""
) -> str:  # fmt: skip
    """A filled path, with an edge if it has a width."""
    clear = f' fill-opacity="{number(opacity)}"' if opacity < 1.0 else ""
    line = f' stroke="{edge}" stroke-width="{number(edge_pt)}"' if edge_pt else ""
    held = f' clip-path="url(#{clip})"' if clip else ""
    return f'<path d="{d}" fill="{fill}"{clear}{line}{held}/>'


def box(x: float, y: float, wide: float, tall: float) -> str:
    """`d` of a rectangle from its upper left corner [pt]."""
    return f"M{number(x)} {number(y)}h{number(wide)}v{number(tall)}h{number(-wide)}Z"


def clip_path(name: str, d: str) -> str:
    """What other pieces may be held in, by `name`."""
    return f'<clipPath id="{name}"><path d="{d}"/></clipPath>'


def marks(kind: str, places: Iterable[tuple[float, float]], colour: str, face: str, line_pt: float) -> str:
    """The mark of that kind (`down`, `up`, `cross`, `diamond`, `square`, `bar`) at each place [pt]."""
    drawn = "".join(f'<path transform="translate({number(x)} {number(y)})" d="{_MARKS[kind]}"/>' for x, y in places)
    return f'<g fill="{face}" stroke="{colour}" stroke-width="{number(line_pt)}">{drawn}</g>'


def disc(x: float, y: float, radius: float, fill: str, text: str) -> str:
    """A filled circle with a character in it [pt]."""
    size = 1.6 * radius
    return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{fill}"/>' + words(
        x, y + 0.36 * size, text, size, anchor="middle", colour="#ffffff", bold=True
    )


def words(
    x: float, y: float, text: str, size_pt: float, *,
    anchor: str = "start", colour: str = "", bold: bool = False, upright: bool = False,
) -> str:  # fmt: skip
    """Text with its baseline at y. anchor: `start`, `middle` or `end` is at x; upright: reads from below."""
    how = f' font-size="{number(size_pt)}"' if size_pt != TEXT_PT else ""
    how += f' text-anchor="{anchor}"' if anchor != "start" else ""
    how += f' fill="{colour}"' if colour else ""
    how += ' font-weight="bold"' if bold else ""
    turned = f' transform="rotate(-90 {number(x)} {number(y)})"' if upright else ""
    return f'<text x="{number(x)}" y="{number(y)}"{how}{turned}>{escape(text)}</text>'


def width_of(text: str, size_pt: float) -> float:
    """About how wide a text is, on the wide side [pt]."""
    return LETTER_EM * size_pt * len(text)


def drawing(wide_pt: float, tall_pt: float, pieces: Iterable[str], label: str) -> str:
    """The whole as an <svg> element, scaled by the page; `label` for those who cannot see it."""
    return (
        f'<svg role="img" aria-label="{escape(label, quote=True)}" viewBox="0 0 {number(wide_pt)} {number(tall_pt)}" '
        f'font-family="DejaVu Sans, Verdana, Arial, sans-serif" font-size="{number(TEXT_PT)}">'
        + "\n".join(pieces)
        + "</svg>"
    )
