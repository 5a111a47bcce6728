"""What sketches are put together from: a point's two lengths, boxes, wheels, plain geometry in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trundle.fields.shape import Material, Points, Shape, area, disc, line
from trundle.fields.sketch import XY, Span


def placed(field: str, at: XY, datum: XY = (0.0, 0.0)) -> tuple[Span, Span]:
    """A point's place, forward of and above its datum."""
    (x, y), (x0, y0) = at, datum
    return Span(field, (x0, y), at, "x", "forward"), Span(field, (x, y0), at, "y", "up")


def box(material: Material, x0: float, y0: float, x1: float, y1: float) -> Shape:
    """A filled rectangle between two corners."""
    return area(material, np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))


def thin(points: Sequence[XY]) -> Shape:
    """A thin line that only shows something."""
    return line("mark", np.array(points))


def polar(centre: XY, reach: float, deg: float) -> XY:
    """From a centre, so far, in a direction anticlockwise from forward."""
    return centre[0] + reach * math.cos(math.radians(deg)), centre[1] + reach * math.sin(math.radians(deg))


def arc(centre: XY, radius: float, from_deg: float, to_deg: float) -> Points:
    """Points on a circle, one every 6 degrees or closer."""
    a = np.radians(np.linspace(from_deg, to_deg, max(2, round(abs(to_deg - from_deg) / 6.0) + 1)))
    return np.array(centre) + radius * np.stack([np.cos(a), np.sin(a)], axis=1)


def between(a: XY, b: XY, share: float = 0.5) -> XY:
    """A point on the line from one to the other."""
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def wheel(at: XY, radius: float) -> tuple[Shape, ...]:
    """A rubber-tyred wheel from the side: tyre, rim, bore."""
    return (
        disc("rubber", *at, radius),
        disc("steel", *at, 0.68 * radius),
        disc("hole", *at, min(0.14 * radius, 10.0)),
    )


def arrow(tip: XY, deg: float, long: float) -> tuple[Shape, ...]:
    """A force's arrow that ends at its tip, pointing in a direction anticlockwise from forward."""
    level = np.array([[-1.0, 0.05], [-0.35, 0.05], [-0.35, 0.14], [0.0, 0.0]]) * long
    whole = np.concatenate([level, level[-2::-1] * np.array([1.0, -1.0])])
    return (area("hole", whole).moved(math.radians(deg), np.array(tip)),)


def middle_of(shapes: Sequence[Shape], otherwise: XY) -> XY:
    """Middle of all that some shapes cover; `otherwise` where there are none."""
    if not shapes:
        return otherwise
    low = np.min([s.points.min(axis=0) for s in shapes], axis=0)
    high = np.max([s.points.max(axis=0) for s in shapes], axis=0)
    x, y = 0.5 * (low + high)
    return float(x), float(y)


def hull_of(points: Points) -> Points:
    """The convex outline round some points, anticlockwise (Andrew's monotone chain)."""
    rows = sorted({(float(x), float(y)) for x, y in points})

    def chain(along: Sequence[XY]) -> list[XY]:
        out: list[XY] = []
        for p in along:
            while len(out) > 1 and _turns(out[-2], out[-1], p) <= 0.0:
                out.pop()
            out.append(p)
        return out[:-1]

    return np.array(chain(rows) + chain(rows[::-1]))


def _turns(a: XY, b: XY, c: XY) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def axle_direction_deg(sign: float, below_deg: float) -> float:
    """From a pivot towards an axle so far below level, anticlockwise from forward. sign: 1 if the arm points
    forward."""
    return -below_deg if sign > 0.0 else 180.0 + below_deg
