"""What gets in each other's way on a sheet: pieces of line and boxes of text, many at once.

A piece is (x0, y0, x1, y1); a box (middle x, middle y, half its width, half its height, turned by [rad]).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def crossings(a: Floats, b: Floats) -> Flags:
    """Which pieces cross which, shape (len(a), len(b)); ones that only touch do not."""
    p, r = a[:, None, :2], a[:, None, 2:] - a[:, None, :2]
    q, s = b[None, :, :2], b[None, :, 2:] - b[None, :, :2]
    rs = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    d = q - p
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        t = (d[..., 0] * s[..., 1] - d[..., 1] * s[..., 0]) / rs
        u = (d[..., 0] * r[..., 1] - d[..., 1] * r[..., 0]) / rs
    inside = (t > 1e-6) & (t < 1.0 - 1e-6) & (u > 1e-6) & (u < 1.0 - 1e-6)
    return np.asarray(inside & (np.abs(rs) > 1e-9))


def length_inside(pieces: Floats, boxes: Floats) -> Floats:
    """How much of each piece lies in each box, shape (len(pieces), len(boxes))."""
    return _inside(pieces[:, None, :], boxes[None, :, :])


def length_in_own(pieces: Floats, boxes: Floats) -> Floats:
    """How much of each piece lies in the box of the same number, shape (len(pieces),)."""
    return _inside(pieces, boxes)


def _inside(pieces: Floats, boxes: Floats) -> Floats:
    c, s = np.cos(boxes[..., 4]), np.sin(boxes[..., 4])
    dx, dy = pieces[..., 0] - boxes[..., 0], pieces[..., 1] - boxes[..., 1]
    run_x, run_y = pieces[..., 2] - pieces[..., 0], pieces[..., 3] - pieces[..., 1]
    first: Floats = np.zeros(np.broadcast_shapes(dx.shape))
    last: Floats = np.ones_like(first)
    ways = (
        (dx * c + dy * s, run_x * c + run_y * s, boxes[..., 2]),
        (dy * c - dx * s, run_y * c - run_x * s, boxes[..., 3]),
    )
    for begin, run, half in ways:
        # What runs along a side is taken to run ever so slightly across.
        run = np.where(np.abs(run) < 1e-9, 1e-9, run)
        one, two = (-half - begin) / run, (half - begin) / run
        first = np.maximum(first, np.minimum(one, two))
        last = np.minimum(last, np.maximum(one, two))
    return np.asarray(np.maximum(0.0, last - first) * np.hypot(run_x, run_y))


def overlap(a: Floats, b: Floats) -> Floats:
    """How far each box of `a` would have to move to be clear of each of `b` (0: it is), shape (len(a), len(b))."""
    depth = np.full((len(a), len(b)), np.inf)
    dx, dy = a[:, None, 0] - b[None, :, 0], a[:, None, 1] - b[None, :, 1]
    turns = (np.broadcast_to(a[:, None, 4], depth.shape), np.broadcast_to(b[None, :, 4], depth.shape))
    for turn in (*turns, turns[0] + 0.5 * np.pi, turns[1] + 0.5 * np.pi):
        along = np.abs(dx * np.cos(turn) + dy * np.sin(turn))
        reach = sum(
            box[..., 2] * np.abs(np.cos(turn - box[..., 4])) + box[..., 3] * np.abs(np.sin(turn - box[..., 4]))
            for box in (a[:, None, :], b[None, :, :])
        )
        depth = np.minimum(depth, reach - along)
    return np.asarray(np.maximum(depth, 0.0))


def outer(boxes: Floats) -> Floats:
    """The upright box round each turned one: x0, y0, x1, y1."""
    c, s = np.abs(np.cos(boxes[:, 4])), np.abs(np.sin(boxes[:, 4]))
    wide = boxes[:, 2] * c + boxes[:, 3] * s
    high = boxes[:, 2] * s + boxes[:, 3] * c
    return np.stack([boxes[:, 0] - wide, boxes[:, 1] - high, boxes[:, 0] + wide, boxes[:, 1] + high], axis=1)
