"""One sketch with its dimensions, at the largest scale at which it fits the room there is."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trundle.drawing import part
from trundle.drawing.arrange import Room, arranged
from trundle.drawing.clash import Floats, outer
from trundle.drawing.marks import Group, Mark
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Label, Placed, Style, fixed
from trundle.drawing.places import Bounds, note_places, round_places, span_places, turn_places
from trundle.fields.sketch import Mark as FieldMark
from trundle.fields.sketch import Note, Round, Sketch, Span, Turn

LONGEST_TOLD = 30
"""Letters of a value."""

LOUDER = 1.3
"""Letters of the field that is meant are that many times as large."""

FITS, NEAR_ENOUGH = 4, 0.06
"""Times that the scale is tried, unless it changes by less than that share."""

FEW_MARKS, FEW_MARKS_SHARE, MANY_MARKS_SHARE = 3, 0.8, 0.6
"""Share of the room that the part is first tried at."""

FLATTEST = 0.3
"""A curve (a law, a course) is at least so high for its width: its axes need not have one scale."""

SHORTER, SHORTEST = 0.87, 5
"""Letters become so many times as large where they do not fit, so many times."""

DATUMS = (("tail datum", 0), ("belly datum", 1))
"""Where the hull's axes begin, and which of a place is 0 there."""


@dataclass(frozen=True)
class Panel:
    """One sketch laid out about the origin. marks: of the drawing; boxes: room of each label's words; scale: paper over
    sketch, along and up; bounds: of all of it on paper; origin: where the sketch's own origin lies on paper."""

    marks: list[Mark]
    boxes: list[tuple[float, float, float, float, float]]
    scale: Corner
    bounds: Bounds
    origin: Corner = (0.0, 0.0)

    def at(self, x_mm: float, y_mm: float) -> Corner:
        """Place on paper of a place in the sketch [mm]."""
        return self.origin[0] + x_mm * self.scale[0], self.origin[1] + y_mm * self.scale[1]

    def moved(self, x: float, y: float) -> Panel:
        """The same elsewhere on the sheet."""
        b = self.bounds
        return Panel(
            [m.moved(x, y) for m in self.marks],
            [(bx + x, by + y, w, h, t) for bx, by, w, h, t in self.boxes],
            self.scale,
            (b[0] + x, b[1] + y, b[2] + x, b[3] + y),
            (self.origin[0] + x, self.origin[1] + y),
        )


class _Subject:
    """A sketch with what is told of it; outlines at a scale of 1."""

    def __init__(
        self,
        sketch: Sketch,
        values: Mapping[str, object],
        highlight: str | None,
        room: tuple[float, float],
        pens: Mapping[str, Pen],
    ) -> None:
        self.sketch, self.values, self.highlight, self.room, self.pens = sketch, values, highlight, room, pens
        self.corners = corners_of(sketch)
        x0, y0, x1, y1 = bounds_of(self.corners)
        self.wide, self.high = max(x1 - x0, 1e-3), max(y1 - y0, 1e-3)
        turned = any(isinstance(m, Round | Turn) for m in sketch.marks)
        free = sketch.view == "curve" and self.high < FLATTEST * self.wide and not turned
        self.taller = FLATTEST * self.wide / self.high if free else 1.0
        self.outlines: Floats = part.outlines(sketch.shapes, lambda x, y: (x, y * self.taller), math.sqrt(self.taller))
        self.groups = _groups(sketch.marks)


@dataclass(frozen=True)
class _Laid:
    """A sketch laid out at a scale, not drawn yet."""

    draw: Callable[[], list[Mark]]
    boxes: list[tuple[float, float, float, float, float]]
    scale: Corner
    bounds: Bounds

    def panel(self) -> Panel:
        return Panel(self.draw(), self.boxes, self.scale, self.bounds)


def fitted(
    sketch: Sketch, values: Mapping[str, object], highlight: str | None, room: tuple[float, float], style: Style
) -> Panel:
    """At the largest scale at which it fits the room, words and all; with smaller letters where it must be."""
    of = _Subject(sketch, values, highlight, room, {})
    for _ in range(SHORTEST):
        best, last = _largest(of, style)
        if best is not None:
            return best.panel()
        style = style.times(SHORTER)
    return last.panel()


def panel(
    sketch: Sketch,
    values: Mapping[str, object],
    scale: float,
    room: tuple[float, float],
    style: Style | None = None,
    pens: Mapping[str, Pen] | None = None,
) -> Panel:
    """One sketch at a scale that is given, about its own origin; room: what it should keep to [mm]. pens: of fields
    whose dimensions are not drawn as usual."""
    return _laid(_Subject(sketch, values, None, room, pens or {}), (scale, scale), style or Style()).panel()


def _largest(of: _Subject, style: Style) -> tuple[_Laid | None, _Laid]:
    """The largest that fits, if any, and the last that was tried."""
    wide, high, room = of.wide, of.high * of.taller, of.room
    share = FEW_MARKS_SHARE if len(of.sketch.marks) <= FEW_MARKS else MANY_MARKS_SHARE
    scale = min(share * room[0] / wide, share * room[1] / high)
    low, top = 0.0, math.inf
    best: _Laid | None = None
    for _ in range(FITS):
        laid = _laid(of, (scale, scale * of.taller), style)
        b = laid.bounds
        edge = b[2] - b[0] - wide * scale, b[3] - b[1] - high * scale
        fits = b[2] - b[0] <= room[0] + 1e-6 and b[3] - b[1] <= room[1] + 1e-6
        if fits:
            low = scale
            if best is None or scale > best.scale[0]:
                best = laid
        else:
            top = min(top, scale)
        wanted = min((room[0] - edge[0]) / wide, (room[1] - edge[1]) / high)
        wanted = min(wanted, 1.6 * scale) if fits else min(wanted, 0.93 * scale)
        if not low < wanted < top:
            wanted = 0.5 * (low + top) if math.isfinite(top) else 1.2 * scale
        if abs(wanted / scale - 1.0) < NEAR_ENOUGH or wanted <= 0.02 * room[0] / wide:
            break
        scale = wanted
    return best, laid


def _laid(of: _Subject, scale: Corner, style: Style) -> _Laid:
    def put(x: float, y: float) -> Corner:
        return x * scale[0], y * scale[1]

    sketch, highlight = of.sketch, of.highlight
    corners = [put(*c) for c in of.corners]
    around = bounds_of(corners)
    spare = [0.5 * (r - (around[k + 2] - around[k])) for k, r in enumerate(of.room)]
    window = (around[0] - spare[0], around[1] - spare[1], around[2] + spare[0], around[3] + spare[1])
    drawn = part.bounds_of(sketch.shapes, put) or around
    # A leader without its words would say nothing.
    groups = [
        g for g in of.groups if highlight is None or not isinstance(g[0], Note) or any(m.field == highlight for m in g)
    ]
    order = sorted(groups, key=lambda g: (g[0].field != highlight, *_turn_of(g[0], put)))
    choices: list[Sequence[Placed]] = []
    pens: list[Pen] = []
    for group in order:
        marks = group
        if highlight is None:
            pen: Pen = of.pens.get(marks[0].field, "dimension")
            told = style
        elif any(m.field == highlight for m in marks):
            marks = [m for m in marks if m.field == highlight]
            pen, told = "accent", style.times(LOUDER, bold=True)
        else:
            pen, told = "pale", style
        silent = pen == "pale" and highlight is not None
        texts = () if silent else tuple(words_of(m, of.values.get(m.field)) for m in marks)
        choices.append(_places(marks[0], put, Label(texts, told), drawn, sketch))
        pens.append(pen)
    datums = _datums(sketch, put, around, style)
    pens += ["axis"] * len(datums)
    chosen = arranged([*choices, *datums], Room(of.outlines * scale[0], window))

    def draw() -> list[Mark]:
        found: list[Mark] = part.part_marks(sketch.shapes, put, math.sqrt(scale[0] * scale[1]))
        names = [" ".join(m.field for m in group) for group in order] + ["" for _ in datums]
        # Pale ones beneath, the one that is meant on top.
        for pen, place, name in sorted(zip(pens, chosen, names, strict=True), key=lambda p: p[0] == "accent"):
            found.append(Group(name, tuple(place.drawn(pen))))
        return found

    boxes = [p.box for p in chosen if p.box is not None]
    reach = [*corners]
    for place in chosen:
        reach += [c for x0, y0, x1, y1 in place.pieces for c in ((x0, y0), (x1, y1))]
    if boxes:
        for x0, y0, x1, y1 in outer(np.array(boxes)).tolist():
            reach += [(x0, y0), (x1, y1)]
    return _Laid(draw, boxes, scale, bounds_of(reach))


def _datums(sketch: Sketch, put: part.Put, around: Bounds, style: Style) -> list[list[Placed]]:
    """Lines where the hull's axes begin, if a length is measured from there; their words at either end and side."""
    found: list[list[Placed]] = []
    if not sketch.in_hull:
        return found
    x0, y0, x1, y1 = around
    for words, axis in DATUMS:
        if not any(isinstance(m, Span) and m.along == "xy"[axis] and m.a[axis] == 0.0 for m in sketch.marks):
            continue
        o = put(0.0, 0.0)
        past = 2.0 * style.row
        label = Label((words,), style.times(0.85))
        turn = 0.0 if axis else 0.5 * math.pi
        piece = (x0 - past, o[1], x1 + past, o[1]) if axis else (o[0], y0 - past, o[0], y1 + past)
        half = 0.5 * label.width
        ends = (x1 + past - half, x0 - past + half) if axis else (y0 - past + half, y1 + past - half)
        sides = (-style.lift - label.height, style.lift) if axis else (-style.lift, style.lift + label.height)
        places = [((e, o[1] + s) if axis else (o[0] + s, e)) for e in ends for s in sides]
        found.append([fixed(piece, label, (*at, turn)) for at in places])
    return found


def words_of(mark: FieldMark, value: object) -> str:
    """What stands at a dimension: the field and its value. Of a point that of its part; of a line of points the one
    that this mark leads to; of a table nothing."""
    part_of = mark.part if isinstance(mark, Span) else ""
    told: object = ""
    if isinstance(value, bool):
        told = str(value).lower()
    elif isinstance(value, (int, float, str)):
        told = value
    elif part_of and isinstance(value, (list, tuple)) and value:
        which = 0 if part_of == "forward" else 1
        point = len(value) == 2 and all(isinstance(v, (int, float)) for v in value)
        told = value[which] if point else mark.b[which] if isinstance(mark, Span) else ""
    if isinstance(told, float):
        told = f"{told:.6g}"
    words = str(told)
    short = words if len(words) <= LONGEST_TOLD else f"{words[:LONGEST_TOLD]} ..."
    return " ".join(w for w in (mark.field, short, part_of) if w)


def _places(mark: FieldMark, put: part.Put, label: Label, around: Bounds, sketch: Sketch) -> Sequence[Placed]:
    if isinstance(mark, Span):
        a, b = put(*mark.a), put(*mark.b)
        run = math.hypot(b[0] - a[0], b[1] - a[1])
        way = (1.0, 0.0) if mark.along == "x" else (0.0, 1.0)
        if mark.along == "line" and run > 1e-6:
            way = ((b[0] - a[0]) / run, (b[1] - a[1]) / run)
        return list(span_places(a, b, way, label, around))
    if isinstance(mark, Round):
        edge = put(mark.centre[0] + mark.radius_mm, mark.centre[1])
        centre = put(*mark.centre)
        radius = edge[0] - centre[0]
        whole = any(
            s.form == "disc"
            and abs(s.size_mm - mark.radius_mm) < 0.02 * mark.radius_mm
            and math.dist(s.points[0], mark.centre) < 0.02 * mark.radius_mm
            for s in sketch.shapes
        )
        return list(round_places(centre, radius, mark.what == "diameter", mark.towards_deg, whole, label))
    if isinstance(mark, Turn):
        centre = put(*mark.centre)
        reach = put(mark.centre[0] + mark.reach_mm, 0.0)[0] - centre[0]
        return list(turn_places(centre, reach, mark.from_deg, mark.to_deg, label))
    return list(note_places(put(*mark.at), label))


def _groups(marks: Sequence[FieldMark]) -> list[list[FieldMark]]:
    """Notes at one place share a leader; every other mark stands alone."""
    found: list[list[FieldMark]] = []
    notes: dict[tuple[int, int], list[FieldMark]] = {}
    for mark in marks:
        if isinstance(mark, Note):
            place = (round(mark.at[0]), round(mark.at[1]))
            if place in notes:
                notes[place].append(mark)
                continue
            notes[place] = [mark]
            found.append(notes[place])
        else:
            found.append([mark])
    return found


def _turn_of(mark: FieldMark, put: part.Put) -> tuple[int, float]:
    """When it may choose: short lengths first, then round things, angles, words."""
    if isinstance(mark, Span):
        (x0, y0), (x1, y1) = put(*mark.a), put(*mark.b)
        return 0, {"x": abs(x1 - x0), "y": abs(y1 - y0)}.get(mark.along, math.hypot(x1 - x0, y1 - y0))
    return (1, 0.0) if isinstance(mark, Round) else (2, 0.0) if isinstance(mark, Turn) else (3, 0.0)


def corners_of(sketch: Sketch) -> list[Corner]:
    """What has to be on the sheet: shapes, and where marks end."""
    found = part.extent(sketch.shapes)
    for mark in sketch.marks:
        if isinstance(mark, Span):
            found += [mark.a, mark.b]
        elif isinstance(mark, Note):
            found.append(mark.at)
        elif isinstance(mark, Turn):
            found.append(mark.centre)
    return found or [(0.0, 0.0)]


def bounds_of(corners: Sequence[Corner]) -> Bounds:
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return min(xs), min(ys), max(xs), max(ys)
