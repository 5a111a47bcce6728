"""Lays sketches on a sheet with their dimensions, as ISO 129-1 draws them, each with its field's name and value.

No vehicle, no file: what stands in the sketches, and how it is told.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trundle.drawing import part
from trundle.drawing.arrange import Room, arranged
from trundle.drawing.clash import outer
from trundle.drawing.marks import Mark, Text
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Label, Placed, Style
from trundle.drawing.places import Bounds, note_places, round_places, span_places, turn_places
from trundle.drawing.sheet import Drawing
from trundle.fields.sketch import Mark as FieldMark
from trundle.fields.sketch import Note, Round, Sketch, Span, Turn

A5 = (210.0, 148.0)
"""Size of a sheet that nobody says more of, across [mm]."""

LEAST_ROOM_MM = 20.0
EDGE_MM = 5.0
TITLE_MM = 7.0
LOUDER = 1.3
"""Letters of the field that is meant are that many times as large."""

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


def words_of(field: str, part_of: str, value: object) -> str:
    """What stands at a dimension: the field and its value."""
    if isinstance(value, (list, tuple)):
        numbers = all(isinstance(v, (int, float)) for v in value)
        if part_of and len(value) == 2 and numbers:
            value = value[0 if part_of == "forward" else 1]
        else:
            return f"{field} {part_of}".strip()
    if value is None or isinstance(value, (dict, bool)):
        told = "" if not isinstance(value, bool) else str(value).lower()
    elif isinstance(value, float):
        told = f"{value:.6g}"
    else:
        told = str(value)
    return " ".join(w for w in (field, told[:40], part_of) if w)


def _each_once(sketches: Sequence[Sketch], highlight: str | None) -> list[Sketch]:
    """Without what an earlier mark has shown; sketches of which nothing would be left stay, without marks."""
    seen: set[tuple[str, str]] = set()
    found = []
    for sketch in sketches:
        marks = []
        for mark in sketch.marks:
            key = (mark.field, mark.part if isinstance(mark, Span) else "")
            if key in seen and mark.field != highlight:
                continue
            seen.add(key)
            marks.append(mark)
        found.append(Sketch(sketch.title, sketch.view, sketch.shapes, tuple(marks), sketch.in_hull))
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
        words = ", ".join(w for w in (sketch.title, VIEWS[sketch.view]) if w)
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
    choices: list[list[Placed]] = []
    pens: list[Pen] = []
    for group in order:
        marks = group
        if highlight is None:
            pen: Pen = "dimension"
            told = style
        elif any(m.field == highlight for m in marks):
            marks = [m for m in marks if m.field == highlight]
            pen, told = "accent", style.times(LOUDER, bold=True)
        else:
            pen, told = "pale", style
        texts = () if pen == "pale" else tuple(_words(m, values) for m in marks)
        choices.append(list(_places(marks[0], put, Label(texts, told), drawn, sketch)))
        pens.append(pen)
    chosen = arranged(choices, Room(lines, window))
    drawn_marks: list[Mark] = part.part_marks(sketch.shapes, put, mean)
    # Pale ones beneath, the one that is meant on top.
    for pen, place in sorted(zip(pens, chosen, strict=True), key=lambda p: p[0] == "accent"):
        drawn_marks += place.drawn(pen)
    boxes = [p.box for p in chosen if p.box is not None]
    reach = [*corners]
    for place in chosen:
        reach += [c for x0, y0, x1, y1 in place.pieces for c in ((x0, y0), (x1, y1))]
    if boxes:
        for x0, y0, x1, y1 in outer(np.array(boxes)).tolist():
            reach += [(x0, y0), (x1, y1)]
    return Panel(drawn_marks, boxes, scale, _bounds(reach))


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


def _words(mark: FieldMark, values: Mapping[str, object]) -> str:
    return words_of(mark.field, mark.part if isinstance(mark, Span) else "", values.get(mark.field))


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
