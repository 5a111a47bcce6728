"""What is drawn of a part, in the model's millimetres: edges, hidden edges, centre lines, cut faces."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from trundle.drawing.hatch import hatch
from trundle.drawing.marks import Circle, Line, Mark, Polygon
from trundle.drawing.part import Put, extent, outlines, part_marks
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Piece
from trundle.fields.shape import Shape
from trundle.fields.sketch import XY

OVER_MM = 3.0
"""A centre line runs past its part by so much on paper (ISO 128-24 04.1: long dash, gap, dot)."""

DASH_MM, GAP_MM, DOT_MM = 4.4, 0.6, 0.3

MOST_PIECES = 40
"""Of a line whose words are kept off it, roughly."""

TURN_DEG = 3.0
"""Of a round line from corner to corner of what is drawn for it."""


class Ink(Protocol):
    """One thing that is drawn."""

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """On paper. put: place in the model to place on paper; scale: paper over model."""

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """Its lines on paper, which words keep off; coarse."""

    def corners(self) -> list[XY]:
        """What it reaches to, in the model."""


@dataclass(frozen=True)
class Path:
    """Straight lines from point to point. closed: and back to the first."""

    points: tuple[XY, ...]
    pen: Pen = "cut"
    closed: bool = False

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        return [Line(*p, self.pen) for p in self._pieces(put, 1)]

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return self._pieces(put, max(1, len(self.points) // MOST_PIECES))

    def _pieces(self, put: Put, step: int) -> list[Piece]:
        """From every so manyth point to the next, and to the last."""
        places = [put(*p) for p in (*self.points[:-1:step], self.points[-1])]
        return [(*a, *b) for a, b in pairwise([*places, places[0]] if self.closed else places)]

    def corners(self) -> list[XY]:
        """As of any ink."""
        return list(self.points)


@dataclass(frozen=True)
class Ring:
    """A circle, with a centre cross on request."""

    centre: XY
    radius_mm: float
    pen: Pen = "cut"
    cross: bool = True

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        found: list[Mark] = [Circle(*put(*self.centre), self.radius_mm * scale, self.pen)]
        if self.cross:
            x, y = put(*self.centre)
            reach = self.radius_mm * scale + OVER_MM
            found += chain_line((x - reach, y), (x + reach, y)) + chain_line((x, y - reach), (x, y + reach))
        return found

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return Path(round_points(self.centre, self.radius_mm, 0.0, 360.0, 20.0)).pieces(put, scale)

    def corners(self) -> list[XY]:
        """As of any ink."""
        (x, y), r = self.centre, self.radius_mm
        return [(x - r, y - r), (x + r, y + r)]


@dataclass(frozen=True)
class Centre:
    """A centre line, which runs past its ends by OVER_MM of paper; not minded by words."""

    a: XY
    b: XY

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        (x0, y0), (x1, y1) = put(*self.a), put(*self.b)
        run = math.hypot(x1 - x0, y1 - y0)
        ux, uy = ((x1 - x0) / run, (y1 - y0) / run) if run > 0.0 else (1.0, 0.0)
        return [*chain_line((x0 - OVER_MM * ux, y0 - OVER_MM * uy), (x1 + OVER_MM * ux, y1 + OVER_MM * uy))]

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return []

    def corners(self) -> list[XY]:
        """As of any ink."""
        return [self.a, self.b]


@dataclass(frozen=True)
class Cut:
    """A face that the cut goes through: its outlines (what lies in an even number of them is a hole), hatched.

    lean_deg: of the hatching; None: solid, as thin pieces are drawn (ISO 128-50), or left white where blank."""

    rings: tuple[tuple[XY, ...], ...]
    lean_deg: float | None = 45.0
    pen: Pen = "cut"
    blank: bool = False

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        places = [[put(*p) for p in ring] for ring in self.rings]
        found: list[Mark] = [Polygon(tuple(places[0]), "paper")] if len(places) == 1 else []
        if self.lean_deg is not None and not self.blank:
            found += hatch(places, self.lean_deg)
        elif not self.blank:
            found += [Polygon(tuple(p), "ink") for p in places]
        return found + [m for ring in self.rings for m in Path(ring, self.pen, True).marks(put, scale)]

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink: outlines, and a stroke through it, since words do not lie on hatching either."""
        found = [p for ring in self.rings for p in Path(ring, closed=True).pieces(put, scale)]
        if not self.blank and len(self.rings) == 1:
            corners = [put(*p) for p in self.rings[0]]
            found.append((*corners[0], *corners[len(corners) // 2]))
        return found

    def corners(self) -> list[XY]:
        """As of any ink."""
        return [p for ring in self.rings for p in ring]


@dataclass(frozen=True)
class Solid:
    """An outline in front of all that was drawn before it."""

    points: tuple[XY, ...]
    pen: Pen = "cut"

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        return [Polygon(tuple(put(*p) for p in self.points), "paper"), *self._path.marks(put, scale)]

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return self._path.pieces(put, scale)

    def corners(self) -> list[XY]:
        """As of any ink."""
        return list(self.points)

    @property
    def _path(self) -> Path:
        return Path(self.points, self.pen, True)


@dataclass(frozen=True)
class Broken:
    """A break line where a piece goes on that is not drawn: a thin zigzag (ISO 128-24), of one size on paper."""

    a: XY
    b: XY

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        (x0, y0), (x1, y1) = put(*self.a), put(*self.b)
        run = math.hypot(x1 - x0, y1 - y0)
        ux, uy = ((x1 - x0) / run, (y1 - y0) / run) if run > 0.0 else (1.0, 0.0)
        zig = min(1.6, 0.2 * run)
        steps = ((0.0, 0.0), (0.5 * run - zig, 0.0), (0.5 * run - 0.5 * zig, zig), (0.5 * run + 0.5 * zig, -zig))
        places = [(x0 + t * ux - n * uy, y0 + t * uy + n * ux) for t, n in (*steps, (0.5 * run + zig, 0.0), (run, 0.0))]
        return [Line(*p, *q, "thin") for p, q in pairwise(places)]

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return [(*put(*self.a), *put(*self.b))]

    def corners(self) -> list[XY]:
        """As of any ink."""
        return [self.a, self.b]


@dataclass(frozen=True)
class Toned:
    """Shapes of the tables' sketches, in their quiet tones."""

    shapes: tuple[Shape, ...]

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        return part_marks(self.shapes, put, scale)

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        return [(float(a), float(b), float(c), float(d)) for a, b, c, d in outlines(self.shapes, put, scale)]

    def corners(self) -> list[XY]:
        """As of any ink."""
        return extent(self.shapes)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[XY, ...]:
    """Its corners."""
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def round_points(
    centre: XY, radius_mm: float, from_deg: float, to_deg: float, turn_deg: float = TURN_DEG
) -> tuple[XY, ...]:
    """Corners along a round line, anticlockwise if to_deg is the larger."""
    steps = max(2, math.ceil(abs(to_deg - from_deg) / turn_deg))
    turns = [math.radians(from_deg + (to_deg - from_deg) * k / steps) for k in range(steps + 1)]
    return tuple((centre[0] + radius_mm * math.cos(t), centre[1] + radius_mm * math.sin(t)) for t in turns)


def chain_line(a: Corner, b: Corner) -> list[Line]:
    """A centre line on paper: long dashes at both ends, dots between."""
    run = math.hypot(b[0] - a[0], b[1] - a[1])
    if run <= 0.0:
        return []
    step = DASH_MM + 2.0 * GAP_MM + DOT_MM
    # Dashes as long as it takes to begin and end with one; a short line has a dot in its middle and no more.
    count = max(1, round((run - DASH_MM) / step))
    dash = (run - count * (step - DASH_MM)) / (count + 1)
    if dash <= 0.5:
        return [Line(*a, *b, "dimension")]

    def at(t: float) -> Corner:
        return a[0] + (b[0] - a[0]) * t / run, a[1] + (b[1] - a[1]) * t / run

    found, t = [], 0.0
    for k in range(count + 1):
        found.append(Line(*at(t), *at(t + dash), "dimension"))
        t += dash
        if k < count:
            found.append(Line(*at(t + GAP_MM), *at(t + GAP_MM + DOT_MM), "dimension"))
            t += 2.0 * GAP_MM + DOT_MM
    return found


def corners_of(inks: Sequence[Ink]) -> list[XY]:
    """What all of them reach to."""
    return [c for ink in inks for c in ink.corners()] or [(0.0, 0.0)]
