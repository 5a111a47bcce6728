"""What is seen of a vehicle, as marks on paper at a scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from trundle.drawing.marks import Band, Circle, Line, Mark, Polygon, polyline
from trundle.drawing.pens import Corner, Pen, Tone
from trundle.elevation.outline import LINKS_FROM_MM, Part, Seen
from trundle.elevation.pose import Pose
from trundle.fields.shape import Points, Shape

PENS: dict[Part, Pen] = {
    "hull": "bar", "bracket": "thin", "stop": "axis", "seat": "outline", "com": "cut", "spring": "thin", "arm": "cut",
    "wheel": "cut", "end": "cut", "roller": "cut", "track": "cut", "links": "axis",
}  # fmt: skip
TONES: dict[str, Tone] = {"spring": "spring", "steel": "steel", "rubber": "rubber", "hole": "paper", "mark": "ink"}

LINES_FROM_MM = 0.5
"""Lines inside a part closer together than this on paper are left out: they would be a black stripe."""

HATCH_MM = 2.2
"""Between the strokes under the ground line, on paper."""


@dataclass(frozen=True)
class Frame:
    """Where a view lies on its page: paper place of the hull's datum [mm], and paper per vehicle; level: the ground is
    level on the page, in place of the hull."""

    x: float
    y: float
    scale: float
    pose: Pose
    level: bool = False

    def at(self, x_mm: float, y_mm: float) -> Corner:
        """Paper place of a place in the hull."""
        x, y = self.pose.on_ground(x_mm, y_mm) if self.level else (x_mm, y_mm)
        return self.x + self.scale * x, self.y + self.scale * y

    def points(self, points: Points) -> tuple[Corner, ...]:
        """Of many."""
        return tuple(self.at(float(x), float(y)) for x, y in points)


def inked(shapes: Sequence[Seen], frame: Frame, pen_of: Callable[[Seen], Pen] | None = None) -> list[Mark]:
    """The shapes, in their order. pen_of: another pen for some of them."""
    found: list[Mark] = []
    links = [s for s in shapes if s.part == "links"]
    apart = _apart(links) * frame.scale
    for s in shapes:
        if s.part == "links" and apart < LINKS_FROM_MM:
            continue
        found += _one(s, frame, PENS[s.part] if pen_of is None else pen_of(s))
    return found


def _one(s: Seen, frame: Frame, pen: Pen) -> list[Mark]:
    shape = s.shape
    if s.part == "com":
        return centre_mark(frame.at(*map(float, shape.points[0])), max(shape.size_mm * frame.scale, 1.6))
    tone: Tone = "paper" if s.part == "hull" or pen == "axis" else TONES[shape.material]
    places = frame.points(shape.points)
    match shape.form:
        case "disc":
            return [Circle(*places[0], shape.size_mm * frame.scale, pen, tone=tone)]
        case "area":
            found: list[Mark] = [Polygon(places, tone, pen)]
            if _lines_apart(shape) * frame.scale >= LINES_FROM_MM:
                for between in shape.lines:
                    found += polyline(frame.points(between), "axis")
            return found
        case "line":
            if shape.material == "mark" or shape.size_mm <= 0.0:
                return polyline(places, pen)
            return [Band(places, shape.size_mm * frame.scale, tone, "thin")]


def centre_mark(at: Corner, radius: float, pen: Pen = "cut") -> list[Mark]:
    """The sign for a centre of mass: a circle, two of its quarters black."""
    x, y = at
    found: list[Mark] = [Circle(x, y, radius, pen, tone="paper")]
    for begin in (0.0, 180.0):
        turns = [math.radians(begin + 90.0 * k / 12.0) for k in range(13)]
        found.append(Polygon((at, *((x + radius * math.cos(t), y + radius * math.sin(t)) for t in turns)), "ink"))
    return [*found, Circle(x, y, radius, pen)]


def ground(frame: Frame, left_mm: float, right_mm: float) -> list[Mark]:
    """The ground line under a view, hatched. left_mm, right_mm: how far along the hull it goes."""
    pose = frame.pose
    a, b = (frame.at(x, pose.ground_at(x)) for x in (left_mm, right_mm))
    found: list[Mark] = [Line(*a, *b, "ground")]
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    for k in range(1, int(length / HATCH_MM)):
        t = k * HATCH_MM / length
        x, y = a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])
        found.append(Line(x, y, x - 1.2, y - 1.2, "axis"))
    return found


def _lines_apart(shape: Shape) -> float:
    """Between the lines inside an area, about [mm]: of a stack of leaves."""
    if len(shape.lines) < 2:
        return math.inf
    first, second = (np.asarray(line[len(line) // 2]) for line in shape.lines[:2])
    return float(np.hypot(*(second - first)))


def _apart(links: Sequence[Seen]) -> float:
    """Between two joints of the track [mm]."""
    if len(links) < 2:
        return 0.0
    (ax, ay), (bx, by) = links[0].shape.points[0], links[1].shape.points[0]
    return math.hypot(float(bx - ax), float(by - ay))


__all__ = ["Frame", "Shape", "centre_mark", "ground", "inked"]
