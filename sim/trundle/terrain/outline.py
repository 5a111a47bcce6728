"""An obstacle's surface as straight pieces: corners at their own places, upright faces upright, curves by chords.

Heights on a grid alone would move an edge that is not on it by up to a grid interval, and lean every upright face over
one: what a wheel or the belly strikes would change with the grid.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

EDGE_M = 1e-9
"""Two places along the course closer than this are one place [m]; sums of mm in floats differ by less."""

OFF_PER_GRID2 = 0.8
"""How far the surface may lie off its chords, over the square of the grid's spacing [1/m]: 0.02 mm on 5 mm, about what
a circle of 160 mm radius lies off chords as long as the grid."""

HALVINGS = 26
"""From 10 mm to below EDGE_M."""

IN_ONE_HALF = 0.01
"""A rise of which less than this share is in one half of an interval is a face in the other half."""


class Surface(Protocol):
    """What is asked of an obstacle (see trundle.terrain.base.Obstacle)."""

    def length_m(self) -> float:
        """How much of the course it takes up [m]."""
        ...

    def heights_m(self, x_m: Floats) -> Floats:
        """Height above the ground before it [m], upper edge at upright faces."""
        ...

    def rise_m(self) -> float:
        """How much higher the ground is behind it than before it [m]."""
        ...


def outline(part: Surface, x_m: Floats) -> tuple[Floats, Floats]:
    """Corners of an obstacle's surface from `x_m` on, places of a grid from 0 to its length [m]: x, which never falls,
    and y above the ground before it [m], shape (k,) each. Two at one place are an upright face.

    Intervals are halved until their middle lies on its chord, or they are so short that what is left is a face.
    """
    length = part.length_m()
    x = np.append(x_m[x_m < length - EDGE_M], length)
    y = part.heights_m(x)
    near = OFF_PER_GRID2 * float(x_m[1] - x_m[0]) ** 2 if len(x_m) > 1 else EDGE_M
    found_x, found_y = [x], [y]
    halve = _bent(x, y, near)
    left, right, low, high = x[:-1][halve], x[1:][halve], y[:-1][halve], y[1:][halve]
    for _ in range(HALVINGS):
        if not len(left):
            break
        middle = 0.5 * (left + right)
        at = part.heights_m(middle)
        off = _off(left, right, low, high, at, near)
        left, right, low, high, middle, at = (a[off] for a in (left, right, low, high, middle, at))
        found_x.append(middle)
        found_y.append(at)
        left, right = np.concatenate([left, middle]), np.concatenate([middle, right])
        low, high = np.concatenate([low, at]), np.concatenate([at, high])
        wide = right - left > EDGE_M
        left, right, low, high = left[wide], right[wide], low[wide], high[wide]
    x, y = np.concatenate(found_x), np.concatenate(found_y)
    order = np.argsort(x, kind="stable")
    return _upright(x[order], y[order], near)


def _bent(x: Floats, y: Floats, near: float) -> Flags:
    """The intervals that are worth halving: where the slope does not change at either end, the chord is near enough.

    A corner inside an interval lies off its chord by at most twice what the slope changes at one of the ends, over
    that end's intervals; a smooth curve by an eighth.
    """
    slope = np.diff(y) / np.diff(x)
    change = np.concatenate([[np.inf], np.abs(np.diff(slope)), [np.inf]]) * float(np.max(np.diff(x)))
    return np.asarray(np.maximum(change[:-1], change[1:]) > 2.0 * near)


def _off(left: Floats, right: Floats, low: Floats, high: Floats, at: Floats, near: float) -> Flags:
    """Which intervals are not straight yet, by the surface's height `at` their middles: off their chord, square to it,
    or with a face in one half."""
    width, rise = right - left, high - low
    square = np.abs(at - 0.5 * (low + high)) * width / np.hypot(width, rise)
    face = np.minimum(np.abs(at - low), np.abs(high - at)) < IN_ONE_HALF * np.abs(rise)
    return np.asarray((square > near) | (face & (np.abs(rise) > near)))


def _upright(x: Floats, y: Floats, near: float) -> tuple[Floats, Floats]:
    """The same with every rise over less than EDGE_M put upright at its upper edge (see Obstacle)."""
    x = x.copy()
    for i in np.flatnonzero((np.diff(x) <= EDGE_M) & (np.abs(np.diff(y)) > near)):
        x[i] = x[i + 1] = x[i + 1] if y[i + 1] > y[i] else x[i]
    return x, y
