"""Outlines of the hull and the brackets on it, in hull mm. What springs and arms look like they say themselves."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np

from trundle.bogies.parts import SwingPart
from trundle.fields.shape import Points
from trundle.spec.hull import Hull
from trundle.units import MM


def bracket(parts: list[SwingPart], belly_mm: float) -> Points:
    """A plate that holds a bogie's pivots to the hull [mm, hull frame]."""
    xs, y = [p.pivot_x / MM for p in parts], parts[0].pivot_y / MM
    low, high = min(xs), max(xs)
    up = max(belly_mm, y + 20.0) + 22.0
    return np.array([[low - 20.0, y - 16.0], [high + 20.0, y - 16.0], [high + 42.0, up], [low - 42.0, up]])


def hull_outline(hull: Hull) -> Points:
    """The hull box on its belly line, its upper corners cut off a little for looks [mm]."""
    belly = np.array(hull.belly_mm)
    top, cut = hull.height_mm, 0.16 * hull.height_mm
    left, right = min(0.0, belly[0, 0]), max(hull.length_mm, belly[-1, 0])
    roof = np.array(
        [[right, top - 2.2 * cut], [right - 1.6 * cut, top], [left + 0.6 * cut, top], [left, top - 0.8 * cut]]
    )
    low = max(belly[0, 1], belly[-1, 1])
    roof = roof[roof[:, 1] > low]
    return np.concatenate([belly, roof])


@lru_cache(maxsize=8)
def hull_shades(hull: Hull, bands: int) -> tuple[tuple[Points, ...], Points]:
    """The hull's side cut into bands of shade from belly to roof, and its outline [mm]. Kept: a hull stays the same
    while all else about a vehicle is changed."""
    outline = hull_outline(hull)
    low, high = float(outline[:, 1].min()), float(outline[:, 1].max())
    steps = low + (high - low) * np.arange(bands + 1) / bands
    flip = np.array([1.0, -1.0])
    # Each shade a little higher than its band, so that no seam shows.
    return tuple(cut_below(flip * cut_below(outline, a), -b - 4.0) * flip for a, b in pairwise(steps)), outline


def cut_below(points: Points, y: float) -> Points:
    """The part of a polygon above height y (Sutherland and Hodgman's clip on one line)."""
    out: list[Points] = []
    for a, b in zip(points, np.roll(points, -1, axis=0), strict=True):
        if a[1] >= y:
            out.append(a)
        if (a[1] - y) * (b[1] - y) < 0.0:
            out.append(a + (b - a) * ((y - a[1]) / (b[1] - a[1])))
    return np.array(out).reshape(-1, 2)
