"""Each table of the file by itself: its views with their lengths and angles, and what no length shows in a list."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from trundle.drawing.fit import Panel, panel
from trundle.drawing.marks import Line, Mark, Text
from trundle.drawing.pens import Pen
from trundle.drawing.placed import Style
from trundle.elevation.inks import Inks
from trundle.elevation.scales import SCALES, scale_for, scale_words
from trundle.elevation.tables import Table
from trundle.elevation.words import LINE, alike_words, as_written, broken, column, is_table
from trundle.fields.base import Spec
from trundle.fields.sketch import Note, Sketch
from trundle.spec.vehicle import Vehicle

TEXT_MM, HEAD_MM = 2.0, 2.6
STYLE = Style(text=1.9, arrow=2.0)
PICTURE_MM = 46.0
"""Height of the room of a view."""

GAP_MM = 5.0
SHARE = 0.62
"""Of its room that a view may take without its dimensions."""


@dataclass(frozen=True)
class Cell:
    """One table about its own upper left corner: marks go down from there; height [mm]."""

    path: str
    marks: tuple[Mark, ...]
    height: float


@dataclass(frozen=True)
class Large:
    """A bogie, or alike ones, to be drawn large. path: of the first of them; values, pens: by field path below its."""

    path: str
    sketch: Sketch
    values: Mapping[str, object]
    pens: Mapping[str, Pen]


def cell(table: Table, inks: Inks, width: float, large: Large | None = None) -> Cell | None:
    """The table; None of one that only holds others. Fields that the file leaves out are only named. large: a bogie's
    view, if it is not on the first page."""
    spec = table.table
    given = [n for n in type(spec).model_fields if n in spec.model_fields_set]
    own = [n for n in given if not is_table(getattr(spec, n))]
    if not own:
        return None
    views = [v for v in (_marked(s, given) for s in table.sketches if not _on_first_page(s, table)) if v.marks]
    marks: list[Mark] = []
    title, top = column(0.0, 0.0, broken(alike_words(table.alike), width, HEAD_MM, True), HEAD_MM, bold=True)
    marks += title
    marks.append(Line(0.0, top + 0.6, width, top + 0.6, "thin"))
    top -= 1.0
    shown: set[str] = set()
    own_views = [Large(table.path, v, _values(spec, v), inks.fields(table.path, v)) for v in views]
    for one in [*([large] if large else []), *own_views]:
        view = one.sketch
        made = fitted(view, one.values, (width, PICTURE_MM), one.pens)
        shown |= {m.field for m in view.marks if one is not large}
        b = made.bounds
        placed = made.moved(0.5 * width - 0.5 * (b[0] + b[2]), top - 1.0 - b[3])
        marks += placed.marks
        top -= b[3] - b[1] + 2.0
        words = f"{view.title}, {scale_words(made.scale[0])}"
        marks.append(Text(0.5 * width, top - TEXT_MM, words, TEXT_MM, "middle", pen="thin"))
        top -= 2.0 * TEXT_MM + 1.0
    listed, top = _list(table, [n for n in given if n not in shown], inks, width, top - 0.6)
    marks += listed
    left_out = [n for n in type(spec).model_fields if n not in given]
    if left_out:
        lines = broken("left out: " + ", ".join(left_out), width, 0.85 * TEXT_MM)
        more, top = column(0.0, top - 0.4, lines, 0.85 * TEXT_MM, "axis")
        marks += more
    return Cell(table.path, tuple(marks), -top + GAP_MM)


def vehicle_cell(vehicle: Vehicle, inks: Inks, width: float) -> Cell:
    """What the file says of the vehicle as a whole: its name and note."""
    whole = Table("", vehicle, (), ("",))
    marks, top = column(0.0, 0.0, ["vehicle"], HEAD_MM, bold=True)
    marks.append(Line(0.0, top + 0.6, width, top + 0.6, "thin"))
    given = [n for n in ("name", "note") if n in vehicle.model_fields_set]
    listed, top = _list(whole, given, inks, width, top - 1.6)
    return Cell("", (*marks, *listed), -top + GAP_MM)


def _values(spec: Spec, view: Sketch) -> dict[str, object]:
    return {m.field: getattr(spec, m.field) for m in view.marks}


def _on_first_page(sketch: Sketch, table: Table) -> bool:
    """Whether all that this view could show is there, to scale: the whole vehicle, and each bogie enlarged."""
    return sketch.in_hull and table.path.count(".") < 2


def _marked(sketch: Sketch, given: Sequence[str]) -> Sketch:
    """Only the lengths and angles that the file gives."""
    kept = tuple(m for m in sketch.marks if m.field in given and not isinstance(m, Note))
    return replace(sketch, marks=kept)


def fitted(
    sketch: Sketch,
    values: Mapping[str, object],
    room: tuple[float, float],
    pens: Mapping[str, Pen],
    share: float = SHARE,
) -> Panel:
    """At the largest of the usual scales at which it keeps to its room, dimensions and all. share: of the room, that it
    may take without them."""
    left, low, right, high = _extent(sketch)
    scale = scale_for(right - left, high - low, (share * room[0], share * room[1]))
    made = panel(sketch, values, scale, room, STYLE, pens)
    for smaller in [s for s in SCALES if s < scale][:3]:
        b = made.bounds
        if b[2] - b[0] <= room[0] and b[3] - b[1] <= room[1]:
            break
        scale = smaller
        made = panel(sketch, values, scale, room, STYLE, pens)
    return made


def _extent(sketch: Sketch) -> tuple[float, float, float, float]:
    xs: list[float] = []
    ys: list[float] = []
    for s in sketch.shapes:
        half = s.size_mm if s.form == "disc" else 0.5 * s.size_mm if s.form == "line" else 0.0
        xs += [float(s.points[:, 0].min()) - half, float(s.points[:, 0].max()) + half]
        ys += [float(s.points[:, 1].min()) - half, float(s.points[:, 1].max()) + half]
    if not xs:
        return 0.0, 0.0, 1.0, 1.0
    return min(xs), min(ys), max(max(xs), min(xs) + 1e-3), max(max(ys), min(ys) + 1e-3)


def _list(table: Table, names: Sequence[str], inks: Inks, width: float, top: float) -> tuple[list[Mark], float]:
    """Fields and values, two beside each other where they fit."""
    marks: list[Mark] = []
    half = 0.5 * width
    x = 0.0
    for name in names:
        value = getattr(table.table, name)
        if is_table(value):
            continue
        path = f"{table.path}.{name}".lstrip(".")
        text = inks.told(path, name, as_written(value))
        lines = broken(text, half - 2.0, TEXT_MM)
        wide = len(lines) > 1
        if wide:
            if x > 0.0:
                x, top = 0.0, top - LINE * TEXT_MM
            lines = broken(text, width, TEXT_MM)
        made, below = column(x, top, lines, TEXT_MM, inks.dimension(path))
        marks += made
        if wide or x > 0.0:
            x, top = 0.0, below
        else:
            x = half
    return marks, (top - LINE * TEXT_MM if x > 0.0 else top)


def in_columns(cells: Sequence[Cell], columns: int, height: float, title_high: float) -> Iterator[list[list[Cell]]]:
    """Pages of columns of cells, in their order; the last column of each page leaves room for the title block."""
    rooms = [height] * (columns - 1) + [height - title_high]
    page: list[list[Cell]] = [[] for _ in rooms]
    for one in cells:
        used = [sum(c.height for c in column) for column in page]
        fits = [k for k, room in enumerate(rooms) if used[k] + one.height <= room]
        if not fits and any(page):
            yield page
            page = [[] for _ in rooms]
            fits = [k for k, room in enumerate(rooms) if one.height <= room]
        # A cell that is higher than a page stands alone and runs over its foot: none of ours is.
        page[fits[0] if fits else 0].append(one)
    if any(page):
        yield page
