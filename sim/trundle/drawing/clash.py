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
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (d[..., 0] * s[..., 1] - d[..., 1] * s[..., 0]) / rs
        u = (d[..., 0] * r[..., 1] - d[..., 1] * r[..., 0]) / rs
    inside = (t > 1e-6) & (t < 1.0 - 1e-6) & (u > 1e-6) & (u < 1.0 - 1e-6)
    return np.asarray(inside & (np.abs(rs) > 1e-9))


def length_inside(pieces: Floats, boxes: Floats) -> Floats:
    """How much of each piece lies in each box, shape (len(pieces), len(boxes))."""
    c, s = np.cos(boxes[:, 4]), np.sin(boxes[:, 4])

    def local(x: Floats, y: Floats) -> tuple[Floats, Floats]:
        dx, dy = x[:, None] - boxes[:, 0], y[:, None] - boxes[:, 1]
        return dx * c + dy * s, -dx * s + dy * c

    x0, y0 = local(pieces[:, 0], pieces[:, 1])
    x1, y1 = local(pieces[:, 2], pieces[:, 3])
    first, last = np.zeros_like(x0), np.ones_like(x0)
    for begin, end, half in ((x0, x1, boxes[:, 2]), (y0, y1, boxes[:, 3])):
        run = end - begin
        flat = np.abs(run) < 1e-12
        with np.errstate(divide="ignore", invalid="ignore"):
            one, two = (-half - begin) / run, (half - begin) / run
        enters = np.where(flat, np.where(np.abs(begin) < half, 0.0, 2.0), np.minimum(one, two))
        leaves = np.where(flat, np.where(np.abs(begin) < half, 1.0, -1.0), np.maximum(one, two))
        first, last = np.maximum(first, enters), np.minimum(last, leaves)
    length = np.hypot(pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1])
    return np.asarray(np.maximum(0.0, last - first) * length[:, None])


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
