"""Lays sketches on a sheet with their dimensions, as ISO 129-1 draws them, each with its field's name and value.

No vehicle, no file: what stands in the sketches, and how it is told.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from trundle.drawing import part
from trundle.drawing.arrange import Room, arranged
from trundle.drawing.clash import outer
from trundle.drawing.marks import Group, Mark, Text
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Label, Placed, Style, fixed
from trundle.drawing.places import Bounds, note_places, round_places, span_places, turn_places
from trundle.drawing.sheet import Drawing
from trundle.fields.sketch import Mark as FieldMark
from trundle.fields.sketch import Note, Round, Sketch, Span, Turn

A5 = (210.0, 148.0)
"""Size of a sheet that nobody says more of, across [mm]."""

LONGEST_TOLD = 30
"""Letters of a value."""

LEAST_ROOM_MM = 20.0
EDGE_MM = 5.0
TITLE_MM = 7.0
LOUDER = 1.3
"""Letters of the field that is meant are that many times as large."""

_NO_PENS: Mapping[str, Pen] = {}

FITS = 4
"""Times that the scale is tried."""

FLATTEST = 0.3
"""A curve (a law, a course) is at least so high for its width: its axes need not have one scale."""

SHORTER = 0.87
"""Letters become so many times as large where they do not fit."""

VIEWS = {
    "side": "from the side",
    "front": "from the front",
    "top": "from above",
    "section": "cut through",
    "curve": "",
}
SEEN = re.compile(r"\b(cut|from|seen|along|above)\b")
"""In the title of a sketch: it says from where it is seen itself."""

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


def laid_out(
    sketches: Sequence[Sketch],
    values: Mapping[str, object] | None = None,
    highlight: str | None = None,
    size: tuple[float, float] = A5,
    style: Style | None = None,
    title: str = "",
    snug: bool = True,
) -> Drawing:
    """The sketches with shapes and dimensions on a sheet of `size` mm; snug: as much less high as they need less.

    values: of fields, told beside their names. highlight: a field whose marks alone have words, in the accent's ink;
    sketches without it are then left out. Raises KeyError if none of them has it.
    """
    placed, sheet = composed(sketches, values, highlight, size, style, snug)
    marks = [m for panel in placed for m in panel.marks]
    return Drawing(*sheet, title or ", ".join(s.title for s in sketches), marks)


def composed(
    sketches: Sequence[Sketch],
    values: Mapping[str, object] | None = None,
    highlight: str | None = None,
    size: tuple[float, float] = A5,
    style: Style | None = None,
    snug: bool = True,
) -> tuple[list[Panel], tuple[float, float]]:
    """The same, sketch by sketch, each in its place on a sheet of the size that is given with them."""
    style = style or Style()
    if highlight is not None:
        sketches = [s for s in sketches if any(m.field == highlight for m in s.marks)]
        if not sketches:
            raise KeyError(highlight)
    sketches = _each_once(sketches, highlight)
    best: tuple[list[Panel], tuple[float, float]] = [], size
    best_worth = -math.inf
    for rows, columns in _grids(len(sketches)):
        room = (size[0] - EDGE_MM) / columns - EDGE_MM, (size[1] - EDGE_MM) / rows - EDGE_MM - TITLE_MM
        if min(room) < LEAST_ROOM_MM and (rows, columns) != (1, 1):
            continue
        made = [_fitted(s, values or {}, highlight, room, style) for s in sketches]
        worth = min((_worth(p, s, room) for p, s in zip(made, sketches, strict=True)), default=0.0)
        if worth > best_worth:
            best_worth = worth
            best = _in_places(made, sketches, columns, size, style, snug)
    return best


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
    return _laid(sketch, values, None, (scale, scale), room, style or Style(), pens or {})


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


def _each_once(sketches: Sequence[Sketch], highlight: str | None) -> list[Sketch]:
    """Without fields that an earlier sketch has shown, and marks that say a thing twice."""
    shown: set[str] = set()
    found = []
    for sketch in sketches:
        marks = [m for m in dict.fromkeys(sketch.marks) if m.field not in shown or m.field == highlight]
        ends = [(m.field, m.part, m.b) if isinstance(m, Span) else (m.field, "", None) for m in marks]
        marks = [m for k, m in enumerate(marks) if ends[k] not in ends[:k]]
        shown |= {m.field for m in marks}
        found.append(replace(sketch, marks=tuple(marks)))
    return found


def _grids(count: int) -> list[tuple[int, int]]:
    found = []
    for columns in range(1, count + 1):
        rows = math.ceil(count / columns)
        if rows * columns - count < columns or rows == 1:
            found.append((rows, columns))
    return sorted(set(found)) or [(1, 1)]


def _worth(panel: Panel, sketch: Sketch, room: tuple[float, float]) -> float:
    """How large it came out: the share of the room that the part itself takes, the letters kept in mind."""
    x0, y0, x1, y1 = _bounds(_corners(sketch))
    wide, high = (x1 - x0) * panel.scale[0], (y1 - y0) * panel.scale[1]
    over = max(panel.bounds[2] - panel.bounds[0] - room[0], panel.bounds[3] - panel.bounds[1] - room[1], 0.0)
    return math.sqrt(max(wide, 1.0) * max(high, 1.0)) + 0.5 * max(wide, high) - 5.0 * over


def _in_places(
    made: Sequence[Panel],
    sketches: Sequence[Sketch],
    columns: int,
    size: tuple[float, float],
    style: Style,
    snug: bool,
) -> tuple[list[Panel], tuple[float, float]]:
    rows = math.ceil(len(made) / columns)
    wide = (size[0] - EDGE_MM) / columns
    highs = [(size[1] - EDGE_MM) / rows] * rows
    if snug:
        most = [max(p.bounds[3] - p.bounds[1] for p in made[r * columns : (r + 1) * columns]) for r in range(rows)]
        highs = [h + EDGE_MM + TITLE_MM for h in most]
    top = sum(highs) + EDGE_MM
    found = []
    for k, (panel, sketch) in enumerate(zip(made, sketches, strict=True)):
        row, column = divmod(k, columns)
        low = top - EDGE_MM - sum(highs[: row + 1])
        middle = EDGE_MM + column * wide + 0.5 * (wide - EDGE_MM)
        b = panel.bounds
        y = low + TITLE_MM + 0.5 * (highs[row] - TITLE_MM - EDGE_MM) + 0.5 * EDGE_MM - 0.5 * (b[1] + b[3])
        placed = panel.moved(middle - 0.5 * (b[0] + b[2]), y)
        seen = "" if SEEN.search(sketch.title) else VIEWS[sketch.view]
        words = ", ".join(w for w in (sketch.title, seen) if w)
        words = words[:1].upper() + words[1:]
        placed.marks.append(Text(middle, low + 2.0, words, style.text * 1.05, "middle", True, "thin"))
        found.append(placed)
    return found, (size[0], top)


def _fitted(
    sketch: Sketch, values: Mapping[str, object], highlight: str | None, room: tuple[float, float], style: Style
) -> Panel:
    """At the largest scale at which it fits the room, words and all."""
    x0, y0, x1, y1 = _bounds(_corners(sketch))
    wide, high = max(x1 - x0, 1e-3), max(y1 - y0, 1e-3)
    free = (
        sketch.view == "curve" and high < FLATTEST * wide and not any(isinstance(m, Round | Turn) for m in sketch.marks)
    )
    taller = FLATTEST * wide / high if free else 1.0
    best: Panel | None = None
    for _ in range(5):
        scale = min(0.6 * room[0] / wide, 0.6 * room[1] / (high * taller))
        low, top = 0.0, math.inf
        for _ in range(FITS):
            panel = _laid(sketch, values, highlight, (scale, scale * taller), room, style)
            b = panel.bounds
            edge = b[2] - b[0] - wide * scale, b[3] - b[1] - high * scale * taller
            fits = b[2] - b[0] <= room[0] + 1e-6 and b[3] - b[1] <= room[1] + 1e-6
            if fits:
                low = scale
                if best is None or scale > best.scale[0]:
                    best = panel
            else:
                top = min(top, scale)
            wanted = min((room[0] - edge[0]) / wide, (room[1] - edge[1]) / (high * taller))
            wanted = min(wanted, 1.6 * scale) if fits else min(wanted, 0.93 * scale)
            if not low < wanted < top:
                wanted = 0.5 * (low + top) if math.isfinite(top) else 1.2 * scale
            if abs(wanted / scale - 1.0) < 0.03 or wanted <= 0.02 * room[0] / wide:
                break
            scale = wanted
        if best is not None:
            return best
        style = style.times(SHORTER)
    return panel


def _laid(
    sketch: Sketch,
    values: Mapping[str, object],
    highlight: str | None,
    scale: Corner,
    room: tuple[float, float],
    style: Style,
    other_pens: Mapping[str, Pen] = _NO_PENS,
) -> Panel:
    def put(x: float, y: float) -> Corner:
        return x * scale[0], y * scale[1]

    mean = math.sqrt(scale[0] * scale[1])
    corners = [put(*c) for c in _corners(sketch)]
    around = _bounds(corners)
    lines = part.outlines(sketch.shapes, put, mean)
    spare = room[0] - (around[2] - around[0]), room[1] - (around[3] - around[1])
    window = (
        around[0] - 0.5 * spare[0],
        around[1] - 0.5 * spare[1],
        around[2] + 0.5 * spare[0],
        around[3] + 0.5 * spare[1],
    )
    drawn = part.bounds_of(sketch.shapes, put) or around
    groups = _groups(sketch.marks)
    order = sorted(groups, key=lambda g: (g[0].field != highlight, *_turn_of(g[0], put)))
    datums = _datums(sketch, put, corners, style)
    choices: list[list[Placed]] = []
    pens: list[Pen] = []
    for group in order:
        marks = group
        if highlight is None:
            pen: Pen = other_pens.get(marks[0].field, "dimension")
            told = style
        elif any(m.field == highlight for m in marks):
            marks = [m for m in marks if m.field == highlight]
            pen, told = "accent", style.times(LOUDER, bold=True)
        else:
            pen, told = "pale", style
        silent = pen == "pale" and highlight is not None
        texts = () if silent else tuple(words_of(m, values.get(m.field)) for m in marks)
        choices.append(list(_places(marks[0], put, Label(texts, told), drawn, sketch)))
        pens.append(pen)
    choices += [[d] for d in datums]
    pens += ["axis"] * len(datums)
    chosen = arranged(choices, Room(lines, window))
    drawn_marks: list[Mark] = part.part_marks(sketch.shapes, put, mean)
    # Pale ones beneath, the one that is meant on top.
    names = [" ".join(m.field for m in group) for group in order] + ["" for _ in datums]
    for pen, place, name in sorted(zip(pens, chosen, names, strict=True), key=lambda p: p[0] == "accent"):
        drawn_marks.append(Group(name, tuple(place.drawn(pen))))
    boxes = [p.box for p in chosen if p.box is not None]
    reach = [*corners]
    for place in chosen:
        reach += [c for x0, y0, x1, y1 in place.pieces for c in ((x0, y0), (x1, y1))]
    if boxes:
        for x0, y0, x1, y1 in outer(np.array(boxes)).tolist():
            reach += [(x0, y0), (x1, y1)]
    return Panel(drawn_marks, boxes, scale, _bounds(reach))


def _datums(sketch: Sketch, put: part.Put, corners: Sequence[Corner], style: Style) -> list[Placed]:
    """Lines where the hull's axes begin, if a length is measured from there and the hull itself is not drawn."""
    found = []
    x0, y0, x1, y1 = _bounds(corners)
    if not sketch.in_hull:
        return []
    for words, axis in DATUMS:
        touched = [m for m in sketch.marks if isinstance(m, Span) and m.along == "xy"[axis] and m.a[axis] == 0.0]
        if not touched:
            continue
        o = put(0.0, 0.0)
        past = 2.0 * style.row
        piece = (o[0], y0 - past, o[0], y1 + past) if axis == 0 else (x0 - past, o[1], x1 + past, o[1])
        label = Label((words,), style.times(0.85))
        turn = 0.5 * math.pi if axis == 0 else 0.0
        foot = (o[0] - style.lift, y0 - past + 0.5 * label.width)
        if axis == 1:
            foot = (x1 + past - 0.5 * label.width, o[1] - style.lift - label.height)
        found.append(fixed(piece, label, (*foot, turn)))
    return found


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


def _corners(sketch: Sketch) -> list[Corner]:
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


def _bounds(corners: Sequence[Corner]) -> Bounds:
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    return min(xs), min(ys), max(xs), max(ys)
