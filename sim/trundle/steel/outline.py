"""Area properties of any plane figure bounded by straight lines and arcs, by Green's theorem.

Each line or arc is integrated with Gauss points along it: exact to rounding for lines, and for arcs of a
quarter turn to better than 1e-12.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_AT, _WEIGHT = np.polynomial.legendre.leggauss(12)


@dataclass(frozen=True)
class Line:
    """From `start` to `end`, (x, y) [m]."""

    start: tuple[float, float]
    end: tuple[float, float]

    def points(self, t: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """(x, y, dx/dt, dy/dt) at t in 0..1."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return self.start[0] + t * dx, self.start[1] + t * dy, np.full_like(t, dx), np.full_like(t, dy)

    def turned(self) -> Line:
        """The same from end to start."""
        return Line(self.end, self.start)


@dataclass(frozen=True)
class Arc:
    """About `centre` from angle `start_rad` to `end_rad` (larger: anticlockwise), radius [m]."""

    centre: tuple[float, float]
    radius_m: float
    start_rad: float
    end_rad: float

    def points(self, t: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """(x, y, dx/dt, dy/dt) at t in 0..1."""
        turn = self.end_rad - self.start_rad
        a = self.start_rad + t * turn
        cos, sin = self.radius_m * np.cos(a), self.radius_m * np.sin(a)
        return self.centre[0] + cos, self.centre[1] + sin, -sin * turn, cos * turn

    def turned(self) -> Arc:
        """The same from end to start."""
        return Arc(self.centre, self.radius_m, self.end_rad, self.start_rad)


Edge = Line | Arc


@dataclass(frozen=True)
class Area:
    """area_m2; x_m, y_m: centroid; xx_m4, yy_m4, xy_m4: int y^2, int x^2, int xy about the centroid."""

    area_m2: float
    x_m: float
    y_m: float
    xx_m4: float
    yy_m4: float
    xy_m4: float


def integrate(loops: Iterable[Sequence[Edge]]) -> Area:
    """Properties of the figure whose closed loops are given: outer ones anticlockwise, holes clockwise."""
    t, w = (_AT + 1.0) / 2.0, _WEIGHT / 2.0
    sums = np.zeros(6)
    for loop in loops:
        for edge in loop:
            x, y, dx, dy = edge.points(t)
            sums += [
                np.sum(w * (x * dy - y * dx)) / 2.0,
                np.sum(w * x * x * dy) / 2.0,
                -np.sum(w * y * y * dx) / 2.0,
                -np.sum(w * y**3 * dx) / 3.0,
                np.sum(w * x**3 * dy) / 3.0,
                np.sum(w * x * x * y * dy) / 2.0,
            ]
    area, sx, sy, xx, yy, xy = (float(s) for s in sums)
    cx, cy = sx / area, sy / area
    return Area(area, cx, cy, xx - area * cy**2, yy - area * cx**2, xy - area * cx * cy)


def rounded_rectangle(width_m: float, height_m: float, radius_m: float, hole: bool = False) -> list[Edge]:
    """A loop round a rectangle centred on the origin with rounded corners; clockwise if it is a hole."""
    x, y, r = width_m / 2.0, height_m / 2.0, radius_m
    q = math.pi / 2.0
    edges: list[Edge] = [
        Line((-x + r, -y), (x - r, -y)),
        Arc((x - r, -y + r), r, -q, 0.0),
        Line((x, -y + r), (x, y - r)),
        Arc((x - r, y - r), r, 0.0, q),
        Line((x - r, y), (-x + r, y)),
        Arc((-x + r, y - r), r, q, 2 * q),
        Line((-x, y - r), (-x, -y + r)),
        Arc((-x + r, -y + r), r, 2 * q, 3 * q),
    ]
    return [e.turned() for e in reversed(edges)] if hole else edges
