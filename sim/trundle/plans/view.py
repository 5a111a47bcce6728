"""One view of a part with its dimensions, about its own origin, at a scale; places are chosen by `drawing.arrange`."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from trundle.drawing.arrange import Room, arranged
from trundle.drawing.chain import Member, chained
from trundle.drawing.clash import outer
from trundle.drawing.fit import Panel, bounds_of
from trundle.drawing.holds import box_of, holds, texts_of
from trundle.drawing.item import item_places
from trundle.drawing.marks import Circle, Group, Line, Mark, Text
from trundle.drawing.part import Put
from trundle.drawing.pens import Corner
from trundle.drawing.placed import Label, Placed, Style
from trundle.drawing.places import Bounds, note_places, round_places, span_places, turn_places
from trundle.drawing.running import Reading, Side, running, spread
from trundle.fields.sketch import XY, Note, Round, Span, Turn
from trundle.fields.sketch import Mark as FieldMark
from trundle.plans.ink import Ink, corners_of

STYLE = Style(text=2.5, arrow=2.6, off=8.0, row=6.0)
"""Letters of 2.5 mm, the least of ISO 3098 on sheets of this size."""

LINE_MM, CHAIN_MM = 10.0, 14.0
"""From the part to a tape, and to a chain, inside of which there is room for a length."""

BALLOON_MM, BALLOONS_MM = 3.4, 14.0
"""Radius of a balloon, and how far below the view their row lies."""

BESIDE_MM = 45.0
"""Room that dimensions may take on each side of a view."""

FARTHEST_MM = 45.0
"""A length is told no farther from what it is of."""

OUTLINE_TIMES = 6.0
"""Words keep so many times as clear of a part's lines as in a sketch: there is room outside."""


@dataclass(frozen=True)
class Dim:
    """A dimension or a note at its place in the model. Its mark's field names its group in the SVG ("A1.length").
    words: lines, from the top."""

    mark: FieldMark
    words: tuple[str, ...]


@dataclass(frozen=True)
class Item:
    """A part's mark in a circle, with a leader to a place in the model."""

    mark: str
    at: XY


@dataclass(frozen=True)
class Stop:
    """A place on a tape or the end of a chain's member: its group's name, where it is in the model, words."""

    name: str
    at: XY
    words: str


@dataclass(frozen=True)
class Tape:
    """Running dimensions from one datum, on one side of the view. name: of the group of its beginning."""

    side: Side
    name: str
    datum: XY
    stops: tuple[Stop, ...]


@dataclass(frozen=True)
class Link:
    """One length of a chain, from a to b in the model."""

    name: str
    a: XY
    b: XY
    words: str


@dataclass(frozen=True)
class Chain:
    """Lengths one behind another, on one side of the view."""

    side: Side
    links: tuple[Link, ...]


@dataclass(frozen=True)
class Balloon:
    """The number of an item of the list, led to its place in the model (ISO 6433)."""

    at: XY
    number: str


@dataclass(frozen=True)
class View:
    """title: what stands under it; "" for none. ink: from the lowest up. beside_mm: room for dimensions on each side,
    on paper. outside: lengths are told outside of it only, where its inside is full of lines."""

    title: str
    ink: tuple[Ink, ...]
    dims: tuple[Dim, ...] = ()
    tapes: tuple[Tape, ...] = ()
    chains: tuple[Chain, ...] = ()
    balloons: tuple[Balloon, ...] = ()
    items: tuple[Item, ...] = ()
    beside_mm: float = BESIDE_MM
    outside: bool = False
    style: Style = field(default=STYLE)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """x0, y0, x1, y1 of what is drawn, in the model [mm]."""
        return bounds_of(corners_of(self.ink))


def drawn(view: View, scale: float, title: str = "") -> Panel:
    """The view at a scale, paper over model. title: in place of the view's own."""
    style = view.style

    def put(x: float, y: float) -> Corner:
        return x * scale, y * scale

    inks: list[Mark] = [m for ink in view.ink for m in ink.marks(put, scale)]
    around = bounds_of([put(*c) for c in corners_of(view.ink)])
    fixed = list(_fixed(view, put, around))
    wide = view.beside_mm
    window = (around[0] - wide, around[1] - wide, around[2] + wide, around[3] + wide)
    pieces = np.array([p for ink in view.ink for p in ink.pieces(put, scale)]).reshape(-1, 4)
    held = [[h] for h in holds(fixed, keep_off=True)]
    order = sorted(view.dims, key=lambda d: _turn_of(d.mark, scale))
    choices = [_near(_places(d, put, scale, around, style), d, put, around, view.outside) for d in order]
    choices += [list(item_places(i.mark, put(*i.at))) for i in view.items]
    room = Room(pieces, window, OUTLINE_TIMES)
    chosen = arranged([*held, *choices], room)[len(held) :]
    marks = [*inks, *fixed]
    names = [*(d.mark.field for d in order), *(f"item.{i.mark}" for i in view.items)]
    for name, place in zip(names, chosen, strict=True):
        marks.append(Group(name, tuple(place.drawn("dimension"))))
    boxes = [p.box for p in chosen if p.box is not None] + [box_of(t) for t in texts_of(fixed)]
    reach = [(around[0], around[1]), (around[2], around[3])]
    for place in (*chosen, *(h[0] for h in held)):
        reach += [c for x0, y0, x1, y1 in place.pieces for c in ((x0, y0), (x1, y1))]
    if boxes:
        reach += [c for x0, y0, x1, y1 in outer(np.array(boxes)).tolist() for c in ((x0, y0), (x1, y1))]
    return Panel(marks, boxes, (scale, scale), bounds_of(reach))


def _fixed(view: View, put: Put, around: Bounds) -> Iterator[Mark]:
    """Tapes and chains, on their sides; a second one on a side would lie on the first's words."""

    def level(side: Side, off: float) -> float:
        return {"above": around[3] + off, "below": around[1] - off, "left": around[0] - off, "right": around[2] + off}[
            side
        ]

    for tape in view.tapes:
        readings = [Reading(put(*s.at), s.words, name=s.name) for s in tape.stops]
        yield from running(put(*tape.datum), level(tape.side, LINE_MM), tape.side, readings, view.style, tape.name)
    for chain in view.chains:
        members = [Member(put(*m.a), put(*m.b), m.words, m.name) for m in chain.links]
        yield from chained(members, level(chain.side, CHAIN_MM), chain.side, view.style)
    places = [put(*b.at) for b in view.balloons]
    low = around[1] - BALLOONS_MM
    for balloon, place, x in zip(view.balloons, places, spread([p[0] for p in places], 2.4 * BALLOON_MM), strict=True):
        run = math.hypot(x - place[0], low - place[1])
        edge = (x + (place[0] - x) * BALLOON_MM / run, low + (place[1] - low) * BALLOON_MM / run)
        yield Line(*place, *edge, "dimension")
        yield Circle(*place, view.style.dot, "dimension", filled=True)
        yield Circle(x, low, BALLOON_MM, "dimension")
        yield Text(x, low - 0.5 * view.style.text, balloon.number, view.style.text, "middle", True)


def _turn_of(mark: FieldMark, scale: float) -> tuple[int, float]:
    """When it may choose: short lengths first, so that they lie inside long ones, then round things, angles, words."""
    if isinstance(mark, Span):
        return 0, math.dist(mark.a, mark.b)
    return (1, 0.0) if isinstance(mark, Round) else (2, 0.0) if isinstance(mark, Turn) else (3, 0.0)


def _near(places: Sequence[Placed], dim: Dim, put: Put, around: Bounds, outside: bool) -> Sequence[Placed]:
    """Places of a length along an axis that are not far from both of its ends; or (outside) not in the view."""
    mark = dim.mark
    if not isinstance(mark, Span) or mark.along == "line":
        return places
    j = 1 if mark.along == "x" else 0
    ends, low, high = (put(*mark.a)[j], put(*mark.b)[j]), around[j], around[j + 2]

    def good(place: Placed) -> bool:
        level = place.level[0][j]
        return not low < level < high if outside else min(abs(level - e) for e in ends) <= FARTHEST_MM

    return [p for p in places if good(p)] or places


def _places(dim: Dim, put: Put, scale: float, around: Bounds, style: Style) -> Sequence[Placed]:
    label, mark = Label(dim.words, style), dim.mark
    match mark:
        case Span():
            a, b = put(*mark.a), put(*mark.b)
            run = math.dist(a, b)
            way = (1.0, 0.0) if mark.along == "x" else (0.0, 1.0)
            if mark.along == "line" and run > 1e-6:
                way = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
            return list(span_places(a, b, way, label, around))
        case Round():
            radius, across = mark.radius_mm * scale, mark.what == "diameter"
            # A radius is of an arc, whose line must end on it; a diameter of a whole circle.
            return list(round_places(put(*mark.centre), radius, across, mark.towards_deg, across, label))
        case Turn():
            reach = mark.reach_mm * scale
            return list(turn_places(put(*mark.centre), reach, mark.from_deg, mark.to_deg, label))
        case Note():
            return list(note_places(put(*mark.at), label))
