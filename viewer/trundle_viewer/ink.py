"""Drawing primitives in pixels: anti-aliased shapes and cached text, on calls both pygame lines have."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path

import numpy as np
import pygame
from numpy.typing import NDArray

from trundle_viewer.palette import Colour

Points = NDArray[np.float64]
Place = Sequence[float] | Points
"""A pixel: x, y."""
Surface = pygame.Surface

_CIRCLE = np.stack(
    [
        np.cos(np.linspace(0.0, 2.0 * np.pi, 64, endpoint=False)),
        np.sin(np.linspace(0.0, 2.0 * np.pi, 64, endpoint=False)),
    ],
    axis=1,
)
_SMALL = _CIRCLE[::3]


@lru_cache(maxsize=1)
def _font_files() -> tuple[str | None, str | None]:
    """Plain and bold DejaVu Sans as shipped with matplotlib; None stands for pygame's own font."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        return None, None
    folder = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
    plain, bold = folder / "DejaVuSans.ttf", folder / "DejaVuSans-Bold.ttf"
    return (str(plain), str(bold)) if plain.is_file() and bold.is_file() else (None, None)


@lru_cache(maxsize=64)
def font(size: int, bold: bool = False) -> pygame.font.Font:
    """A font of a pixel size."""
    return pygame.font.Font(_font_files()[1 if bold else 0], size)


@lru_cache(maxsize=2000)
def text(words: str, size: int, colour: Colour, bold: bool = False) -> Surface:
    """Rendered words; kept, since most are drawn again in the next frame."""
    return font(size, bold).render(words, True, colour)


@lru_cache(maxsize=500)
def wrapped(words: str, size: int, width: float, bold: bool = False) -> tuple[str, ...]:
    """Words in lines of at most a width [px]; nothing for no words."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if not lines or font(size, bold).size(longer)[0] > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return tuple(lines)


@lru_cache(maxsize=500)
def shortened(words: str, size: int, width: float, bold: bool = False) -> str:
    """Words cut to a width [px], with an ellipsis where something is left out."""
    if font(size, bold).size(words)[0] <= width:
        return words
    while words and font(size, bold).size(f"{words}…")[0] > width:
        words = words[:-1]
    return f"{words.rstrip()}…"


def forget() -> None:
    """Drop cached fonts and words (they die with pygame.font)."""
    wrapped.cache_clear()
    shortened.cache_clear()
    text.cache_clear()
    font.cache_clear()


LEAST_PX = 9
"""Smaller letters cannot be read [px]."""


def small(size: float) -> int:
    """A size of letters for small print [px], on a small window no smaller than can be read."""
    return max(round(size), LEAST_PX)


def write(
    to: Surface,
    words: str,
    at: tuple[float, float],
    size: int,
    colour: Colour,
    bold: bool = False,
    anchor: str = "nw",
) -> pygame.Rect:
    """Words at a point. anchor: n/s/nothing with w/e/nothing, as on a compass ("" is the middle)."""
    image = text(words, size, colour, bold)
    w, h = image.get_size()
    x = at[0] - (0 if "w" in anchor else w if "e" in anchor else 0.5 * w)
    y = at[1] - (0 if "n" in anchor else h if "s" in anchor else 0.5 * h)
    return to.blit(image, (round(x), round(y)))


_weight = 1
"""How many strokes a thin line gets: one on a small window, two on a large one or a picture to be shrunk."""

_BESIDE = (0.7, 0.7)
"""Where the second stroke goes [px]: aslant, so that upright and level lines both get thicker."""


def set_weight(u: float) -> None:
    """Choose the weight of thin lines for a screen unit."""
    global _weight
    _weight = 2 if u >= 1.5 else 1


def fill(to: Surface, colour: Colour, points: Points, edge: Colour | None = None) -> None:
    """A filled polygon with a smooth edge (of its own colour, or another)."""
    if len(points) < 3:
        return
    pygame.draw.polygon(to, colour, np.rint(points).tolist())
    pygame.draw.aalines(to, edge if edge is not None else colour, True, points.tolist())


def outline(to: Surface, colour: Colour, points: Points, closed: bool = True) -> None:
    """A thin smooth line through points."""
    if len(points) > 1:
        pygame.draw.aalines(to, colour, closed, points.tolist())
        if _weight > 1:
            pygame.draw.aalines(to, colour, closed, (points + _BESIDE).tolist())


def line(to: Surface, colour: Colour, a: Place, b: Place, width: float = 1.0) -> None:
    """A smooth straight line of any width [px]."""
    if width <= 1.5:
        pygame.draw.aaline(to, colour, (float(a[0]), float(a[1])), (float(b[0]), float(b[1])))
        if _weight > 1:
            pygame.draw.aaline(to, colour, (a[0] + 0.7, a[1] + 0.7), (b[0] + 0.7, b[1] + 0.7))
        return
    dx, dy = b[0] - a[0], b[1] - a[1]
    size = math.hypot(dx, dy)
    if size < 1e-9:
        return
    nx, ny = -dy / size * 0.5 * width, dx / size * 0.5 * width
    quad = [(a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), (b[0] - nx, b[1] - ny), (a[0] - nx, a[1] - ny)]
    pygame.draw.polygon(to, colour, [(round(x), round(y)) for x, y in quad])
    pygame.draw.aalines(to, colour, True, quad)


def path(to: Surface, colour: Colour, points: Points, width: float = 1.0, closed: bool = False) -> None:
    """A smooth line of any width through points."""
    if width <= 1.5:
        outline(to, colour, points, closed)
        return
    ends = [*points, points[0]] if closed else list(points)
    for a, b in pairwise(ends):
        line(to, colour, a, b, width)


def dashes(to: Surface, colour: Colour, points: Points, on: float, off: float, closed: bool = False) -> None:
    """A dashed line through points; `on` and `off` in px."""
    if closed:
        points = np.concatenate([points, points[:1]])
    if len(points) < 2:
        return
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    # Far outside the window a line would be cut into thousands of dashes.
    begin = np.arange(0.0, run[-1], max(on + off, run[-1] / 400.0))
    ends = np.minimum(begin + on, run[-1])
    xa, ya = np.interp(begin, run, points[:, 0]), np.interp(begin, run, points[:, 1])
    xb, yb = np.interp(ends, run, points[:, 0]), np.interp(ends, run, points[:, 1])
    for p, q, r, s in zip(xa.tolist(), ya.tolist(), xb.tolist(), yb.tolist(), strict=True):
        pygame.draw.aaline(to, colour, (p, q), (r, s))
        if _weight > 1:
            pygame.draw.aaline(to, colour, (p + 0.7, q + 0.7), (r + 0.7, s + 0.7))


def circle(x: float, y: float, r: float) -> Points:
    """Points round a circle [px]."""
    return (_CIRCLE if r > 12.0 else _SMALL) * r + (x, y)


def disc(to: Surface, colour: Colour, x: float, y: float, r: float, edge: Colour | None = None) -> None:
    """A filled circle with a smooth edge."""
    fill(to, colour, circle(x, y, r), edge)


def ring(to: Surface, colour: Colour, x: float, y: float, r: float) -> None:
    """A thin smooth circle."""
    outline(to, colour, circle(x, y, r))


def rounded(to: Surface, colour: Colour, rect: pygame.Rect, radius: int, edge: Colour | None = None) -> None:
    """A panel with rounded corners."""
    pygame.draw.rect(to, colour, rect, border_radius=radius)
    if edge is not None:
        pygame.draw.rect(to, edge, rect, width=1, border_radius=radius)


def pill(
    to: Surface, words: str, at: tuple[float, float], size: int, ink: Colour, paper: Colour, shape: str = ""
) -> pygame.Rect:
    """Words on a small plate with its middle at a point; `shape`: a mark before the words."""
    image = text(words, size, ink, True)
    pad, sign = round(0.5 * size), (round(1.15 * size) if shape else 0)
    w, h = image.get_width() + 2 * pad + sign, image.get_height() + round(0.25 * size)
    rect = pygame.Rect(round(at[0] - 0.5 * w), round(at[1] - 0.5 * h), w, h)
    rounded(to, paper, rect, h // 2, ink)
    if shape:
        mark(to, shape, (rect.left + pad + 0.36 * size, rect.centery), 0.36 * size, ink)
    to.blit(image, (rect.left + pad + sign, rect.top + (h - image.get_height()) // 2))
    return rect


MARKS: dict[str, list[tuple[float, float]]] = {
    "up": [(-1, 0.8), (1, 0.8), (0, -1)],
    "down": [(-1, -0.8), (1, -0.8), (0, 1)],
    "diamond": [(-0.9, 0), (0, -1.1), (0.9, 0), (0, 1.1)],
    "square": [(-0.8, -0.8), (0.8, -0.8), (0.8, 0.8), (-0.8, 0.8)],
    "cross": [
        (-1, -0.6),
        (-0.6, -1),
        (0, -0.4),
        (0.6, -1),
        (1, -0.6),
        (0.4, 0),
        (1, 0.6),
        (0.6, 1),
        (0, 0.4),
        (-0.6, 1),
        (-1, 0.6),
        (-0.4, 0),
    ],
    "bar": [(-0.35, -1.1), (0.35, -1.1), (0.35, 1.1), (-0.35, 1.1)],
    "wave": [
        (-1.1, 0.3),
        (-0.5, -0.7),
        (0.1, 0.1),
        (0.6, -0.7),
        (1.1, 0.1),
        (0.6, 0.2),
        (0.1, 0.9),
        (-0.5, 0.2),
    ],
}


def mark(to: Surface, shape: str, at: tuple[float, float], size: float, colour: Colour) -> None:
    """A small sign: one of MARKS, or "ring"."""
    if shape == "ring":
        for r in (size, size - 1.0):
            ring(to, colour, at[0], at[1], max(r, 1.0))
        return
    fill(to, colour, np.array(MARKS[shape]) * size + at)
