"""Marks cut off at the edges of a window, exactly: what is left of them lies where it lay."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import assert_never

from trundle.drawing.marks import Arc, Band, Circle, Group, Line, Mark, Plain, Polygon, Text
from trundle.drawing.pens import Corner, Pen

FINE_MM = 0.005
"""How far straight lines in place of a curve may lie off it."""


@dataclass(frozen=True)
class Window:
    """left, low to right, high [mm]."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """mm."""
        return self.high - self.low

    def has(self, x: float, y: float) -> bool:
        """Whether a point lies in it; of its edges the left and the lower one count, so that windows side by side share
        no point."""
        return self.left <= x < self.right and self.low <= y < self.high

    def holds(self, x: float, y: float, reach: float = 0.0) -> bool:
        """Whether a point lies in it with `reach` about it, edges included."""
        across = self.left <= x - reach and x + reach <= self.right
        return across and self.low <= y - reach and y + reach <= self.high

    def cut(self, a: Corner, b: Corner) -> tuple[Corner, Corner] | None:
        """The part of a straight line that lies in it (Liang and Barsky), or None."""
        (x, y), (dx, dy) = a, (b[0] - a[0], b[1] - a[1])
        first, last = 0.0, 1.0
        for step, room in ((-dx, x - self.left), (dx, self.right - x), (-dy, y - self.low), (dy, self.high - y)):
            if step == 0.0:
                if room < 0.0:
                    return None
            elif step < 0.0:
                first = max(first, room / step)
            else:
                last = min(last, room / step)
        if first > last:
            return None
        # Ends that lie inside stay what they were, to the last bit.
        start = a if first == 0.0 else (x + first * dx, y + first * dy)
        end = b if last == 1.0 else (x + last * dx, y + last * dy)
        return start, end


def arc_points(x: float, y: float, radius: float, from_rad: float, to_rad: float) -> list[Corner]:
    """Corners of a line along an arc, nowhere further off it than FINE_MM."""
    step = 2.0 * math.acos(max(1.0 - FINE_MM / radius, 0.5)) if radius > 0.0 else math.pi
    steps = max(2, math.ceil(abs(to_rad - from_rad) / step))
    turns = [from_rad + (to_rad - from_rad) * k / steps for k in range(steps + 1)]
    return [(x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns]


def clipped(mark: Mark, window: Window) -> Iterator[Mark]:
    """What of a mark lies in the window. A text is in it, whole, where its place (x, y) is."""
    match mark:
        case Group():
            inner = tuple(m for part in mark.marks for m in _plain(part, window))
            if inner:
                yield Group(mark.name, inner)
        case _:
            yield from _plain(mark, window)


def _plain(mark: Plain, window: Window) -> Iterator[Plain]:
    match mark:
        case Line():
            part = window.cut((mark.x0, mark.y0), (mark.x1, mark.y1))
            if part is not None and part[0] != part[1]:
                (x0, y0), (x1, y1) = part
                yield replace(mark, x0=x0, y0=y0, x1=x1, y1=y1)
        case Text():
            if window.has(mark.x, mark.y):
                yield mark
        case Circle():
            if window.holds(mark.x, mark.y, mark.radius):
                yield mark
                return
            points = arc_points(mark.x, mark.y, mark.radius, 0.0, 2.0 * math.pi)
            if mark.filled or mark.tone is not None:
                yield from _filled(Polygon(tuple(points[:-1]), mark.tone or "ink", mark.pen), window)
            else:
                yield from _along(points, mark.pen, window)
        case Arc():
            ends = math.radians(mark.from_deg), math.radians(mark.to_deg)
            yield from _along(arc_points(mark.x, mark.y, mark.radius, *ends), mark.pen, window)
        case Polygon():
            if all(window.holds(*p) for p in mark.points):
                yield mark
            else:
                yield from _filled(mark, window)
        case Band():
            if all(window.holds(*p) for p in mark.points):
                yield mark
                return
            for run in _runs(mark.points, window):
                yield replace(mark, points=tuple(run))
        case _:
            assert_never(mark)


def _along(points: Sequence[Corner], pen: Pen, window: Window) -> Iterator[Line]:
    for a, b in pairwise(points):
        part = window.cut(a, b)
        if part is not None and part[0] != part[1]:
            yield Line(*part[0], *part[1], pen)


def _filled(mark: Polygon, window: Window) -> Iterator[Plain]:
    """Its area up to the window's edges, and its own outline only: the window's edge is none."""
    area = list(mark.points)
    edges = ((0, window.left, 1.0), (0, window.right, -1.0), (1, window.low, 1.0), (1, window.high, -1.0))
    for axis, at, side in edges:
        area = _halved(area, axis, at, side)
    if len(area) > 2:
        yield Polygon(tuple(area), mark.tone)
    if mark.pen is not None:
        yield from _along([*mark.points, mark.points[0]], mark.pen, window)


def _halved(points: list[Corner], axis: int, at: float, side: float) -> list[Corner]:
    """An outline less what lies beyond one straight edge (Sutherland and Hodgman)."""
    found: list[Corner] = []
    for a, b in zip(points, points[1:] + points[:1], strict=True):
        in_a, in_b = (side * (p[axis] - at) >= 0.0 for p in (a, b))
        if in_a:
            found.append(a)
        if in_a != in_b:
            t = (at - a[axis]) / (b[axis] - a[axis])
            found.append((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
    return found


def _runs(points: Sequence[Corner], window: Window) -> Iterator[list[Corner]]:
    """The unbroken pieces of a line of many corners that lie in the window."""
    run: list[Corner] = []
    for a, b in pairwise(points):
        part = window.cut(a, b)
        if part is None:
            if len(run) > 1:
                yield run
            run = []
            continue
        if not run or run[-1] != part[0]:
            if len(run) > 1:
                yield run
            run = [part[0]]
        if part[1] != part[0]:
            run.append(part[1])
    if len(run) > 1:
        yield run
