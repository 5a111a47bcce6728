"""The standing vehicle from the side, as a drawing."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from trundle.drawing.marks import Circle, Line, Text
from trundle.drawing.sheet import Drawing
from trundle.engine.standing import Standing
from trundle.fields.shape import Shape
from trundle.law.ask import pivot_of
from trundle.papers.parts import number
from trundle.papers.standing import StandingSheet
from trundle.units import MM

_MARGIN_MM = 90.0

Put = Callable[[float, float], tuple[float, float]]
"""World place to place on the drawing [mm]."""


def side_view(at: Standing, sheet: StandingSheet) -> Drawing:
    """Hull, belly, springs, arms, wheels, track ends, ground, loads and heights; one unit is one millimetre."""
    m, vehicle = at.assembly.model, at.assembly.vehicle
    c, s = math.cos(at.q[2]), math.sin(at.q[2])

    def world(x_mm: float, y_mm: float) -> tuple[float, float]:
        """Hull frame to world [mm]."""
        dx, dy = x_mm * MM - at.assembly.com[0], y_mm * MM - at.assembly.com[1]
        return (at.q[0] + c * dx - s * dy) / MM, (at.q[1] + s * dx + c * dy) / MM

    rings = [(float(r.x) / MM, float(r.y) / MM, float(k.radius) / MM) for r, k in zip(at.rings, m.rings, strict=True)]
    top_mm = vehicle.hull.height_mm
    corners = [*vehicle.hull.belly_mm]
    box = [*corners, (corners[-1][0], top_mm), (corners[0][0], top_mm), corners[0]]
    hull = [world(*p) for p in box]
    xs = [p[0] for p in hull] + [x + way * r for x, _, r in rings for way in (-1, 1)]
    low_x, high_x, high_y = min(xs), max(xs), max(p[1] for p in hull)
    text = max((high_x - low_x) / 80.0, 8.0)
    left, ground = _MARGIN_MM - low_x, 6.0 * text
    d = Drawing(
        high_x - low_x + 2.0 * _MARGIN_MM,
        high_y + ground + _MARGIN_MM,
        f"{vehicle.name} standing, from the side",
    )

    def put(x: float, y: float) -> tuple[float, float]:
        return x + left, y + ground

    d.marks.append(Line(0.0, ground, d.width, ground, "ground"))
    d.polyline([put(*p) for p in hull], "cut")
    thick = vehicle.track.thickness_mm if vehicle.track else 0.0
    for i, (x, y, r) in enumerate(rings):
        road = i < m.road
        d.marks.append(Circle(*put(x, y), r - thick if road else r, "cut" if road else "soft"))
        if road:
            d.marks.append(Circle(*put(x, y), 0.06 * r, "cut", True))
            load = f"{number(sheet.wheels[i].load_N)} N"
            d.marks.append(Text(*put(x, -2.2 * text), load, text, "middle"))
    if vehicle.track:
        _track_runs(d, rings, m.road, put)
        for roller in vehicle.track.roller:
            d.marks.append(Circle(*put(*world(*roller.at_mm)), roller.radius_mm, "soft"))
    for place in at.assembly.parts.springs:
        angles = tuple(float(at.q[3 + j]) for j in place.swings)
        middle = np.array(world(*at.assembly.parts.middle_mm(place)))
        for shape in place.shapes(angles, place.spring.at(angles, place.mount).torques_Nm):
            _shape(d, shape.moved(float(at.q[2]), middle), put)
    for j, part in enumerate(at.assembly.parts.swings):
        px, py = pivot_of(m, at.state, j)
        pivot = put(px / MM, py / MM)
        d.marks.append(Circle(*pivot, 0.5 * text, "cut", True))
        ends = [rings[i][:2] for i, n in enumerate(at.assembly.wheel) if n in {w.name for w in part.wheels}]
        if not ends:
            child = next(k for k, p in enumerate(at.assembly.parts.swings) if p.parent == j + 1)
            cx, cy = pivot_of(m, at.state, child)
            ends = [(cx / MM, cy / MM)]
        for end in ends:
            d.marks.append(Line(*pivot, *put(*end), "bar"))
    # Clear of wheels and pivots, which stand at the same places; a dash marks the belly datum itself.
    above = max(y + r for x, y, r in rings[: m.road])
    for h in sheet.heights:
        x, y = world(h.at_mm, 0.0)
        foot, head = put(x, 0.0), put(x, max(y, above))
        d.marks.append(Line(*foot, *head, "axis"))
        d.marks.append(Line(head[0] - text, put(x, y)[1], head[0] + text, put(x, y)[1], "axis"))
        d.marks.append(Text(head[0], head[1] + 0.8 * text, f"{number(h.height_mm)} mm", text, "middle"))
    cx, cy = put(*world(*vehicle.hull.com_mm))
    d.marks += [
        Circle(cx, cy, text, "thin"),
        Line(cx - 1.5 * text, cy, cx + 1.5 * text, cy, "thin"),
        Line(cx, cy - 1.5 * text, cx, cy + 1.5 * text, "thin"),
        Text(cx + 2.0 * text, cy + 0.5 * text, "centre of mass", text),
    ]
    d.marks.append(
        Text(
            0.0,
            0.6 * text,
            "Load of one wheel at each station; height of the belly datum. Front is right.",
            text,
        )
    )
    return d


def _shape(d: Drawing, shape: Shape, put: Put) -> None:
    """A part's shape in thin lines: an outline closed, a line open, a disc as a circle."""
    points = [put(float(x), float(y)) for x, y in shape.points]
    if shape.form == "disc":
        d.marks.append(Circle(*points[0], shape.size_mm, "thin"))
        return
    d.polyline([*points, points[0]] if shape.form == "area" else points, "thin")
    for between in shape.lines:
        d.polyline([put(float(x), float(y)) for x, y in between], "thin")


def _track_runs(d: Drawing, rings: list[tuple[float, float, float]], road: int, put: Put) -> None:
    """The ramps and the lower run as straight lines along the rings' undersides; the top run is left out."""
    ends = sorted(rings[road:])
    wheels = sorted(rings[:road])
    run = [(x, y - r) for x, y, r in wheels]
    d.polyline([put(*p) for p in run], "soft")
    for end, wheel in ((ends[0], wheels[0]), (ends[-1], wheels[-1])):
        (x0, y0, r0), (x1, y1, r1) = (end, wheel) if end[0] < wheel[0] else (wheel, end)
        # Outer tangent under both circles.
        gap = math.hypot(x1 - x0, y1 - y0)
        turn = math.atan2(y1 - y0, x1 - x0) - math.asin(max(-1.0, min(1.0, (r1 - r0) / gap)))
        nx, ny = math.sin(turn), -math.cos(turn)
        d.marks.append(Line(*put(x0 + r0 * nx, y0 + r0 * ny), *put(x1 + r1 * nx, y1 + r1 * ny), "soft"))
