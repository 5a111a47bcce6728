"""Where a dimension could be put: a list of places for each kind of mark, with their lines and words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from trundle.drawing.marks import Arc, Circle, Line, Plain, arrowhead
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Label, Piece, Placed, at

ROWS = 9
"""Dimension lines that may be stacked on each side."""

INSIDE = 0.9
"""What it costs a dimension line to lie within the part's bounds."""

Bounds = tuple[float, float, float, float]
"""x0, y0, x1, y1 [mm]."""


def span_places(a: Corner, b: Corner, way: Corner, label: Label, around: Bounds) -> Iterator[Placed]:
    """Of a length from `a` to `b` along the unit vector `way`, on paper [mm]; around: what is drawn besides."""
    s = label.style
    if way[0] < -1e-9 or (abs(way[0]) <= 1e-9 and way[1] < 0.0):
        way = (-way[0], -way[1])
    up = (-way[1], way[0])
    ends = sorted((p[0] * way[0] + p[1] * way[1], p[0] * up[0] + p[1] * up[1]) for p in (a, b))
    (t0, n0), (t1, n1) = ends
    corners = [(x, y) for x in (around[0], around[2]) for y in (around[1], around[3])]
    heights = [x * up[0] + y * up[1] for x, y in corners]
    levels = [(max(n0, n1), 2.0)] if abs(n1 - n0) < 0.3 and t1 - t0 > 6.0 * s.arrow else []
    for k in range(ROWS):
        levels += [(max(heights) + s.off + k * s.row, 0.1 * k), (min(heights) - s.off - k * s.row, 0.1 * k)]
    for k in range(4):
        levels += [(max(n0, n1) + s.off + k * s.row, 0.1 * k), (min(n0, n1) - s.off - k * s.row, 0.1 * k)]
    for level, cost in levels:
        far = max(abs(level - n0), abs(level - n1))
        cost += INSIDE if min(heights) < level < max(heights) else 0.0
        yield from _on_level((t0, n0), (t1, n1), level, way, up, label, cost + 0.07 * far)


def _on_level(
    one: Corner, two: Corner, level: float, way: Corner, up: Corner, label: Label, cost: float
) -> Iterator[Placed]:
    s = label.style
    turn = math.atan2(way[1], way[0])
    steep = abs(math.sin(turn))
    extensions: list[Piece] = []
    for t, n in (one, two):
        sign = 1.0 if level > n else -1.0
        if abs(level - n) > s.gap:
            extensions.append((*at(way, up, t, n + sign * s.gap), *at(way, up, t, level + sign * s.past)))
    t0, t1 = one[0], two[0]
    inside = t1 - t0 >= 2.6 * s.arrow
    tail = 0.0 if inside else 2.0 * s.arrow
    wide = label.width
    middle = 0.5 * (t0 + t1)
    above = level + s.lift
    beyond = max(tail, 1.2 * s.arrow)
    # (where the words' foot is along the line, how far the line runs before t0 and behind t1, cost)
    choices = [
        (t1 + beyond + 0.5 * wide, tail, beyond + wide, 1.0),
        (t0 - beyond - 0.5 * wide, beyond + wide, tail, 1.2),
    ]
    if wide < t1 - t0 - 0.4 * s.arrow or not label.lines:
        choices.insert(0, (middle, tail, tail, 0.0))
    if s.upright and steep > 0.02:
        choices = []
    for foot, before, behind, more in choices:
        run: Piece = (*at(way, up, t0 - before, level), *at(way, up, t1 + behind, level))
        x, y = at(way, up, foot, above)
        box = label.box(x, y, turn)
        yield Placed(
            cost + more + 1.5 * steep,
            [*extensions, run],
            [run],
            box,
            _Span(extensions, run, (t0, t1), level, way, up, inside, label, (x, y, turn)),
        )
    if (steep > 0.5 or (s.upright and steep > 0.02)) and label.lines:
        run = (*at(way, up, t0 - tail, level), *at(way, up, t1 + tail, level))
        places = [0.5] if t1 - t0 < 4.0 * label.height else [0.5, 0.3, 0.7]
        for share in places:
            cx, cy = at(way, up, t0 + share * (t1 - t0), level)
            for side in (1.0, -1.0):
                x = cx + side * (1.6 * s.gap + 0.5 * wide + 0.5 * label.height * abs(math.cos(turn)))
                y = cy - 0.5 * label.height
                yield Placed(
                    cost + 0.3 + abs(share - 0.5),
                    [*extensions, run],
                    [run],
                    label.box(x, y, 0.0),
                    _Span(extensions, run, (t0, t1), level, way, up, inside, label, (x, y, 0.0)),
                )


class _Span:
    """A length, drawn."""

    def __init__(
        self,
        extensions: Sequence[Piece],
        run: Piece,
        ends: tuple[float, float],
        level: float,
        way: Corner,
        up: Corner,
        inside: bool,
        label: Label,
        words: tuple[float, float, float],
    ) -> None:
        self.extensions, self.run, self.ends, self.level = extensions, run, ends, level
        self.way, self.up, self.inside, self.label, self.words = way, up, inside, label, words

    def __call__(self, pen: Pen) -> list[Plain]:
        thin: Pen = "dimension" if pen == "accent" else pen
        found: list[Plain] = [Line(*p, thin) for p in self.extensions]
        found.append(Line(*self.run, pen))
        forward = math.degrees(math.atan2(self.way[1], self.way[0]))
        for t, towards in zip(self.ends, (180.0, 0.0), strict=True):
            turned = forward + towards + (0.0 if self.inside else 180.0)
            found.append(arrowhead(*at(self.way, self.up, t, self.level), turned, self.label.style.arrow, pen))
        return found + self.label.drawn(*self.words, pen)


def round_places(
    centre: Corner, radius: float, across: bool, towards_deg: float, whole: bool, label: Label
) -> Iterator[Placed]:
    """Of a circle's radius, or of its diameter (`across`); whole: all of it is drawn, so any direction will do."""
    s = label.style
    turns = [0.0, 15.0, -15.0, 30.0, -30.0, 50.0, -50.0] if whole else [0.0, 4.0, -4.0]
    if whole:
        turns += [90.0, -90.0, 130.0, -130.0, 160.0, 180.0, -160.0]
    for more in turns:
        t = math.radians(towards_deg + more)
        ux, uy = math.cos(t), math.sin(t)
        # Of a large circle only the end of the radius is drawn.
        begin = -radius if across else 0.0 if whole else max(0.0, radius - 13.0 * s.arrow)
        outside = radius * (2.0 if across else 1.0) < 2.6 * s.arrow
        for reach in (2.2 * s.arrow, 5.0 * s.arrow, 9.0 * s.arrow, 14.0 * s.arrow):
            tip = (centre[0] + radius * ux, centre[1] + radius * uy)
            start = (centre[0] + begin * ux, centre[1] + begin * uy)
            elbow = (centre[0] + (radius + reach) * ux, centre[1] + (radius + reach) * uy)
            side = 1.0 if ux >= -0.01 else -1.0
            shelf = (elbow[0] + side * (label.width + 1.0), elbow[1])
            x, y = elbow[0] + side * (0.5 * label.width + 0.8), elbow[1] + s.lift
            pieces: list[Piece] = [(*start, *elbow)]
            if label.lines:
                pieces.append((*elbow, *shelf))
            heads = [(tip, math.degrees(t) + (180.0 if outside else 0.0))]
            if across:
                heads.append((start, math.degrees(t) + (0.0 if outside else 180.0)))
            yield Placed(
                0.02 * abs(more) + 0.08 * reach,
                pieces,
                [],
                label.box(x, y, 0.0),
                _Pointed(pieces, heads, None, label, (x, y, 0.0)),
            )


def turn_places(centre: Corner, reach: float, from_deg: float, to_deg: float, label: Label) -> Iterator[Placed]:
    """Of an angle about `centre`, its arc at about `reach` mm of paper."""
    s = label.style
    a, b = sorted((from_deg, to_deg))
    for factor in (1.0, 1.25, 0.8, 1.6, 2.0):
        r = max(reach, 8.0) * factor
        outside = r * math.radians(b - a) < 2.6 * s.arrow
        tail = math.degrees(2.0 * s.arrow / r) if outside else 0.0
        arc = Arc(*centre, r, a - tail, b + tail)
        points = arc.points()
        pieces: list[Piece] = [(*p, *q) for p, q in pairwise(points)]
        legs: list[Piece] = []
        for turn in (a, b):
            c, t = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            legs.append((*centre, centre[0] + (r + s.past) * c, centre[1] + (r + s.past) * t))
        # The head's chord leans inwards from the tangent by half of what it spans.
        lean = math.degrees(0.5 * s.arrow / r)
        heads = []
        for turn, sign in ((a, -1.0), (b, 1.0)):
            tip = (centre[0] + r * math.cos(math.radians(turn)), centre[1] + r * math.sin(math.radians(turn)))
            heads.append((tip, turn + sign * ((90.0 - lean) if not outside else -(90.0 - lean))))
        for share in (0.5, 0.25, 0.75, -0.2, 1.2):
            turn = math.radians(a + share * (b - a) if 0.0 <= share <= 1.0 else (a - tail if share < 0 else b + tail))
            ux, uy = math.cos(turn), math.sin(turn)
            for away in (1.0, -1.0):
                out = r + away * 1.6 * s.gap
                foot = (centre[0] + out * ux, centre[1] + out * uy)
                x = foot[0] + away * ux * (0.5 * label.width + 0.5)
                y = foot[1] + away * uy * 0.6 * label.height - 0.5 * label.height
                yield Placed(
                    0.6 * abs(factor - 1.0) + abs(share - 0.5) + (0.0 if away > 0 else 1.0),
                    [*legs, *pieces],
                    pieces,
                    label.box(x, y, 0.0),
                    _Pointed(legs, heads, arc, label, (x, y, 0.0)),
                )


def note_places(place: Corner, label: Label) -> Iterator[Placed]:
    """Of words with a leader to a place."""
    s = label.style
    for distance in (3.5, 6.0, 9.0, 13.0, 18.0, 24.0, 31.0):
        reach = distance * s.arrow
        for k in range(16):
            t = math.radians(22.5 * k + 11.25)
            elbow = (place[0] + reach * math.cos(t), place[1] + reach * math.sin(t))
            side = 1.0 if math.cos(t) >= 0.0 else -1.0
            shelf = (elbow[0] + side * (label.width + 1.0), elbow[1])
            x, y = elbow[0] + side * (0.5 * label.width + 0.8), elbow[1] + s.lift
            pieces: list[Piece] = [(*place, *elbow)]
            if label.lines:
                pieces.append((*elbow, *shelf))
            flat = 0.5 if abs(math.sin(t)) < 0.3 else 0.0
            yield Placed(
                0.06 * reach + flat,
                pieces,
                [],
                label.box(x, y, 0.0),
                _Pointed(pieces, [], None, label, (x, y, 0.0), place),
            )


class _Pointed:
    """Lines with arrowheads or a dot at the end: a radius, an angle, a note."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        heads: Sequence[tuple[Corner, float]],
        arc: Arc | None,
        label: Label,
        words: tuple[float, float, float],
        dot: Corner | None = None,
    ) -> None:
        self.pieces, self.heads, self.arc, self.label, self.words, self.dot = pieces, heads, arc, label, words, dot

    def __call__(self, pen: Pen) -> list[Plain]:
        thin: Pen = "dimension" if pen == "accent" and self.arc else pen
        found: list[Plain] = [Line(*p, thin) for p in self.pieces]
        if self.arc is not None:
            found.append(Arc(self.arc.x, self.arc.y, self.arc.radius, self.arc.from_deg, self.arc.to_deg, pen))
        found += [arrowhead(*tip, towards, self.label.style.arrow, pen) for tip, towards in self.heads]
        if self.dot is not None:
            found.append(Circle(*self.dot, self.label.style.dot, pen, filled=True))
        return found + self.label.drawn(*self.words, pen)
