"""A part's shapes on paper, in quiet tones."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from trundle.drawing.clash import Floats
from trundle.drawing.marks import Band, Circle, Mark, Polygon, polyline
from trundle.drawing.pens import Corner, Pen, Tone
from trundle.fields.shape import Material, Shape

TONES: dict[Material, Tone | None] = {
    "spring": "spring",
    "steel": "steel",
    "rubber": "rubber",
    "hole": "hole",
    "mark": None,
}

MOST_PIECES, MOST_IN_ALL = 120, 300
"""Pieces that an outline is taken to have where words are kept off it, and all outlines of a sketch: the longest."""

TURNS_RAD = 0.14
"""Each of them turns by so much."""

Put = Callable[[float, float], Corner]
"""Place in the sketch to place on paper [mm]."""


def part_marks(shapes: Sequence[Shape], put: Put, scale: float) -> list[Mark]:
    """The shapes drawn, the first undermost; scale: mm of paper per mm."""
    found: list[Mark] = []
    for shape in shapes:
        points = _put(shape, put)
        tone = TONES[shape.material]
        pen: Pen = "outline" if tone else "axis"
        if shape.form == "disc":
            found.append(Circle(*points[0], shape.size_mm * scale, pen, tone=tone))
        elif shape.form == "area" and tone:
            found.append(Polygon(tuple(points), tone, pen))
        elif shape.form == "line" and tone and shape.size_mm * scale > 0.6:
            found.append(Band(tuple(points), shape.size_mm * scale, tone, pen))
        else:
            found += polyline([*points, points[0]] if shape.form == "area" else points, pen)
        for between in shape.lines:
            found += polyline([put(float(x), float(y)) for x, y in between], "thin")
    return found


def outlines(shapes: Sequence[Shape], put: Put, scale: float) -> Floats:
    """The shapes' lines as pieces, coarsely, shape (n, 4)."""
    found = []
    for shape in shapes:
        points = np.array(_put(shape, put))
        if shape.form == "disc":
            turns = np.linspace(0.0, 2.0 * np.pi, 25)
            points = points[0] + shape.size_mm * scale * np.column_stack([np.cos(turns), np.sin(turns)])
        elif shape.form == "area":
            points = np.vstack([points, points[:1]])
        points = _corners(points)
        pieces = np.column_stack([points[:-1], points[1:]])
        half = 0.5 * shape.size_mm * scale
        if shape.form == "line" and half > 0.3:
            along = pieces[:, 2:] - pieces[:, :2]
            square = half * np.column_stack([-along[:, 1], along[:, 0]])
            square /= np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
            shift = np.column_stack([square, square])
            pieces = np.concatenate([pieces + shift, pieces - shift])
        found.append(pieces)
    pieces = np.concatenate(found) if found else np.empty((0, 4))
    if len(pieces) > MOST_IN_ALL:
        length = np.hypot(pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1])
        pieces = pieces[np.sort(np.argsort(-length, kind="stable")[:MOST_IN_ALL])]
    return pieces


def _corners(points: Floats) -> Floats:
    """Without points at which a line hardly turns, and no more than MOST_PIECES of them."""
    if len(points) > 3:
        before, after = points[1:-1] - points[:-2], points[2:] - points[1:-1]
        turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
        # So that a round line keeps some: by how far it has turned in all.
        steps = np.floor(np.cumsum(np.abs(turn)) / TURNS_RAD)
        keep = np.concatenate([[True], np.diff(steps, prepend=0.0) > 0.0, [True]])
        points = points[keep]
    if len(points) > MOST_PIECES:
        points = points[np.linspace(0, len(points) - 1, MOST_PIECES).astype(int)]
    return points


def extent(shapes: Sequence[Shape]) -> list[Corner]:
    """Corners of the shapes, in the sketch [mm]."""
    found: list[Corner] = []
    for shape in shapes:
        half = shape.size_mm if shape.form == "disc" else 0.5 * shape.size_mm if shape.form == "line" else 0.0
        low, high = shape.points.min(axis=0) - half, shape.points.max(axis=0) + half
        found += [(float(low[0]), float(low[1])), (float(high[0]), float(high[1]))]
    return found


def bounds_of(shapes: Sequence[Shape], put: Put) -> tuple[float, float, float, float] | None:
    """x0, y0, x1, y1 of the shapes on paper; None if there is none."""
    corners = [put(*c) for c in extent(shapes)]
    if not corners:
        return None
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _put(shape: Shape, put: Put) -> list[Corner]:
    return [put(float(x), float(y)) for x, y in shape.points]
