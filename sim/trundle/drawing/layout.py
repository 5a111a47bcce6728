"""Lays sketches on a sheet with their dimensions, as ISO 129-1 draws them, each with its field's name and value.

No vehicle, no file: what stands in the sketches, and how it is told.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from trundle.drawing.fit import Panel, bounds_of, corners_of, fitted
from trundle.drawing.marks import Text
from trundle.drawing.placed import Style
from trundle.drawing.sheet import Drawing
from trundle.fields.sketch import Sketch, Span

A5 = (210.0, 148.0)
"""Size of a sheet that nobody says more of, across [mm]."""

LEAST_ROOM_MM = 20.0
WORDS_MM = (40.0, 20.0)
"""Room that words and dimension lines want beside a part."""

EDGE_MM = 5.0
TITLE_MM = 7.0
VIEWS = {
    "side": "from the side",
    "front": "from the front",
    "top": "from above",
    "section": "cut through",
    "curve": "",
}
SEEN = re.compile(r"\b(cut|from|seen|along|above)\b")
"""In the title of a sketch: it says from where it is seen itself."""


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
    rows, columns = _grid(sketches, size)
    made = [fitted(s, values or {}, highlight, _room(rows, columns, size), style) for s in sketches]
    return _in_places(made, sketches, columns, size, style, snug)


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


def _grid(sketches: Sequence[Sketch], size: tuple[float, float]) -> tuple[int, int]:
    """Rows and columns in which the smallest of the parts becomes largest, as far as that shows before they are laid
    out."""
    grids = [(math.ceil(len(sketches) / columns), columns) for columns in range(1, len(sketches) + 1)]

    def smallest(grid: tuple[int, int]) -> float:
        room = _room(grid[0], grid[1], size)
        return min((_worth(s, room) for s in sketches), default=0.0)

    return max(grids or [(1, 1)], key=smallest)


def _room(rows: int, columns: int, size: tuple[float, float]) -> tuple[float, float]:
    room = (size[0] - EDGE_MM) / columns - EDGE_MM, (size[1] - EDGE_MM) / rows - EDGE_MM - TITLE_MM
    return max(room[0], LEAST_ROOM_MM), max(room[1], LEAST_ROOM_MM)


def _worth(sketch: Sketch, room: tuple[float, float]) -> float:
    """How large it may come out, less what words want of a room."""
    x0, y0, x1, y1 = bounds_of(corners_of(sketch))
    free = max(room[0] - WORDS_MM[0], 1.0), max(room[1] - WORDS_MM[1], 1.0)
    return min(free[0] / max(x1 - x0, 1e-3), free[1] / max(y1 - y0, 1e-3)) * math.hypot(x1 - x0, y1 - y0)


def _stretched(panel: Panel) -> str:
    """What has to be said where heights have another scale than lengths."""
    times = panel.scale[1] / panel.scale[0]
    return f"heights drawn {times:.2g} times" if times > 1.0 + 1e-6 else ""


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
        words = ", ".join(w for w in (sketch.title, seen, _stretched(panel)) if w)
        words = words[:1].upper() + words[1:]
        placed.marks.append(Text(middle, low + 2.0, words, style.text * 1.05, "middle", True, "thin"))
        found.append(placed)
    return found, (size[0], top)
