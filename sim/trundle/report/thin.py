"""Fewer points for a picture, without losing a peak."""

from __future__ import annotations

import numpy as np

from trundle.model.arrays import Floats

POINTS = 1500
"""Points a curve keeps: about two for each pixel of its width."""


def thin(x: Floats, y: Floats, points: int = POINTS) -> tuple[Floats, Floats]:
    """The curve (x, y), shape (n,), with about `points` points at most.

    Of each group of neighbours (in time: x may go back) stay the one with the least and the one with the
    greatest y, in their order; and the very first and last.
    """
    n = len(y)
    if n <= points:
        return x, y
    size = -(-2 * n // points)
    groups = -(-n // size)
    block = np.pad(y, (0, groups * size - n), mode="edge").reshape(groups, size)
    first = np.arange(groups) * size
    picked = np.concatenate([[0], first + block.argmin(axis=1), first + block.argmax(axis=1), [n - 1]])
    keep = np.unique(np.minimum(picked, n - 1))
    return x[keep], y[keep]
