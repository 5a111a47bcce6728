"""A drawing at 1:1 cut into sheets of a paper: register marks on the joins, bars to check the print by, which is where.

Sheets are named by row (a, b, c from the top) and column (1, 2, 3 from the left). Neighbours overlap; the one to the
right, or below, is cut along the middle of the overlap and laid over the other, cross on cross.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from trundle.drawing.clip import Window, clipped
from trundle.drawing.font import width_of
from trundle.drawing.marks import Circle, Group, Line, Mark, Plain, Polygon, Text, arrowhead
from trundle.drawing.sheet import Drawing
from trundle.errors import InputError, Problem
from trundle.plans.page import PRINTED_MM
from trundle.plans.paper import PAPERS, Paper

BAR_MM = 100.0
"""Length of the check bars."""

OVERLAP_MM = 14.0
"""What two neighbours both have."""

MOST_SHEETS = 40
"""Of one drawing: who would tape more together?"""

_TOP_MM, _BOTTOM_MM, _LEFT_MM = 21.0, 9.0, 9.0
"""Strips about the window: heading, bars."""

_CHECK_ROOM_MM = 14.0
"""Above (and left of) what is drawn, for the marks that all sheets together are checked by."""

_LEAST_MM = 105.0
"""A window smaller than that has no room for its bars."""


@dataclass(frozen=True)
class Tile:
    """One sheet. paper: as it lies. row, column: counted from 0, from the top and the left. window: what it shows, in
    the drawing's own mm; own: the part of it that is not cut off or covered by a neighbour. at: the window's lower left
    corner on the sheet, so that a point of the drawing lies at point - (window.left, window.low) + at. drawing: the
    whole sheet."""

    paper: Paper
    row: int
    column: int
    window: Window
    own: Window
    at: tuple[float, float]
    drawing: Drawing

    @property
    def name(self) -> str:
        """ "b2"."""
        return sheet_name(self.row, self.column)


@dataclass(frozen=True)
class Grid:
    """How a drawing is cut: paper as it lies, rows and columns, the first window, step from one to the next [mm]."""

    paper: Paper
    rows: int
    columns: int
    first: Window

    def window(self, row: int, column: int) -> Window:
        """What one sheet shows."""
        x = column * (self.first.width - OVERLAP_MM)
        y = row * (self.first.height - OVERLAP_MM)
        f = self.first
        return Window(f.left + x, f.low - y, f.right + x, f.high - y)

    def own(self, row: int, column: int) -> Window:
        """What is left to see of it when all are taped together."""
        w, half = self.window(row, column), 0.5 * OVERLAP_MM
        return Window(
            w.left + half * (column > 0),
            w.low + half * (row < self.rows - 1),
            w.right - half * (column < self.columns - 1),
            w.high - half * (row > 0),
        )

    @property
    def whole(self) -> Window:
        """What all show together."""
        a, b = self.window(self.rows - 1, 0), self.window(0, self.columns - 1)
        return Window(a.left, a.low, b.right, b.high)


@dataclass(frozen=True)
class Join:
    """A line along which two sheets meet, upright or level, with its letter and the places of its crosses."""

    letter: str
    first: tuple[int, int]
    second: tuple[int, int]
    crosses: tuple[tuple[float, float], ...]
    ends: tuple[tuple[float, float], tuple[float, float]]


def sheet_name(row: int, column: int) -> str:
    """Of the sheet in this row and column, counted from 0."""
    return f"{_letters(row).lower()}{column + 1}"


def tiles(drawing: Drawing, paper: Paper) -> list[Tile]:
    """The sheets, row by row from the top. Raises InputError where the paper is too small for it."""
    grid = _grid(drawing, paper)
    joins = _joins(grid)
    return [_tile(drawing, grid, joins, row, column) for row, column in product(range(grid.rows), range(grid.columns))]


def _grid(drawing: Drawing, paper: Paper) -> Grid:
    """The paper upright or across, whichever takes fewer sheets."""
    ways = [_cut(drawing, paper.turned(upright)) for upright in (False, True)]
    best = min(ways, key=lambda g: g.rows * g.columns)
    if best.first.width < _LEAST_MM or best.first.height < _LEAST_MM:
        raise InputError(
            Problem(
                f"{paper.name} is too small: its check bars of {BAR_MM:g} mm do not fit", argument="paper",
                allowed=", ".join(PAPERS),
            )
        )  # fmt: skip
    if best.rows * best.columns > MOST_SHEETS:
        raise InputError(
            Problem(
                f"{paper.name} is too small: {drawing.title}, {drawing.width:.0f} x {drawing.height:.0f} mm, takes "
                f"{best.rows * best.columns} sheets",
                argument="paper", allowed=f"a paper that takes {MOST_SHEETS} at most",
            )
        )  # fmt: skip
    return best


def _cut(drawing: Drawing, paper: Paper) -> Grid:
    wide = paper.width - 2.0 * PRINTED_MM - _LEFT_MM
    high = paper.height - 2.0 * PRINTED_MM - _TOP_MM - _BOTTOM_MM

    def count(length: float, room: float) -> int:
        return max(1, math.ceil((length - OVERLAP_MM - 1e-9) / max(room - OVERLAP_MM, 1.0)))

    columns, rows = count(drawing.width, wide), count(drawing.height, high)
    if columns * rows > 1:
        columns = count(drawing.width + (_CHECK_ROOM_MM if rows > 1 else 0.0), wide)
        rows = count(drawing.height + (_CHECK_ROOM_MM if columns > 1 else 0.0), high)
        columns = count(drawing.width + (_CHECK_ROOM_MM if rows > 1 else 0.0), wide)
    # One sheet: in its middle. Several: up and left as far as the check marks let it, so that the middle of what is
    # drawn, often its most important mark, does not lie on a join.
    left = -0.5 * (wide - drawing.width) if columns == 1 else 0.0
    top = drawing.height + (0.5 * (high - drawing.height) if rows == 1 else 0.0)
    left = min(left, -_CHECK_ROOM_MM if rows > 1 else 0.0)
    top = max(top, drawing.height + (_CHECK_ROOM_MM if columns > 1 else 0.0))
    return Grid(paper, rows, columns, Window(left, top - high, left + wide, top))


def _letters(n: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    return ("" if n < 26 else _letters(n // 26 - 1)) + chr(ord("A") + n % 26)


def _joins(grid: Grid) -> list[Join]:
    found: list[Join] = []
    half = 0.5 * OVERLAP_MM
    for row, column in product(range(grid.rows), range(grid.columns)):
        own = grid.own(row, column)
        if column + 1 < grid.columns:
            x = grid.window(row, column).right - half
            places = tuple((x, own.high - t * own.height) for t in (0.12, 0.88))
            ends = ((x, own.low), (x, own.high))
            found.append(Join(_letters(len(found)), (row, column), (row, column + 1), places, ends))
        if row + 1 < grid.rows:
            y = grid.window(row, column).low + half
            places = tuple((own.left + t * own.width, y) for t in (0.12, 0.88))
            ends = ((own.left, y), (own.right, y))
            found.append(Join(_letters(len(found)), (row, column), (row + 1, column), places, ends))
    return found


def _tile(drawing: Drawing, grid: Grid, joins: list[Join], row: int, column: int) -> Tile:
    window, own = grid.window(row, column), grid.own(row, column)
    at = PRINTED_MM + _LEFT_MM, PRINTED_MM + _BOTTOM_MM
    dx, dy = at[0] - window.left, at[1] - window.low
    name = sheet_name(row, column)
    many = grid.rows * grid.columns > 1
    d = Drawing(grid.paper.width, grid.paper.height, f"{drawing.title}, sheet {name}" if many else drawing.title)
    shown = [m for mark in drawing.marks for m in _shown(mark, window, own)]
    here = (row, column)
    for join in joins:
        if here in (join.first, join.second):
            shown += _join_marks(join, here == join.second)
    if many:
        shown += [m for mark in _over_all(grid) for m in _shown(mark, window, own)]
    d.marks = [m.moved(dx, dy) for m in shown]
    d.marks += _heading(drawing.title, grid, joins, here)
    d.marks += _bars()
    return Tile(grid.paper, row, column, window, own, at, d)


def _shown(mark: Mark, window: Window, own: Window) -> Iterator[Mark]:
    """A mark as far as it lies in the window; words whole and off the joins, on the one sheet where their middle is."""
    match mark:
        case Text():
            if (text := _text(mark, own)) is not None:
                yield text
        case Group():
            inner: list[Plain] = []
            for part in mark.marks:
                inner += [m for m in _shown(part, window, own) if not isinstance(m, Group)]
            if inner:
                yield Group(mark.name, tuple(inner))
        case _:
            yield from clipped(mark, window)


def _text(text: Text, own: Window) -> Text | None:
    wide, turn = width_of(text.text, text.size, text.bold), math.radians(text.turn_deg)
    along, up = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    start, end = -text.shift * wide, (1.0 - text.shift) * wide
    middle = 0.5 * (start + end)
    if not own.has(text.x + middle * along[0], text.y + middle * along[1]):
        return None
    corners = [(a * along[0] + u * up[0], a * along[1] + u * up[1]) for a in (start, end) for u in (0.0, text.size)]
    x = _pushed(text.x, [c[0] for c in corners], own.left, own.right)
    y = _pushed(text.y, [c[1] for c in corners], own.low, own.high)
    return replace(text, x=x, y=y)


def _pushed(at: float, corners: list[float], low: float, high: float, air: float = 1.0) -> float:
    """A place from which the corners, too, lie between two limits; where they do not fit, the place as it is."""
    below, above = at + min(corners) - low - air, high - air - at - max(corners)
    if below + above < 0.0:
        return at
    return at - min(below, 0.0) + min(above, 0.0)


def _join_marks(join: Join, cut: bool) -> Iterator[Mark]:
    """Crosses with a ring and the join's letter; the line to cut along on the sheet that is laid over."""
    for k, (x, y) in enumerate(join.crosses):
        yield Line(x - 6.0, y, x + 6.0, y, "thin")
        yield Line(x, y - 6.0, x, y + 6.0, "thin")
        yield Circle(x, y, 3.0, "thin")
        for side, anchor in ((-1.0, "end"), (1.0, "start")):
            name = f"{join.letter}{k + 1}"
            yield Text(x + side * 1.0, y + 3.6, name, 2.4, "end" if anchor == "end" else "start", bold=True, halo=True)
    (x0, y0), (x1, y1) = join.ends
    if cut:
        yield from _dashes(x0, y0, x1, y1)
    else:
        yield Line(x0, y0, x1, y1, "axis")
    other = sheet_name(*(join.first if cut else join.second))
    words = f"cut here, lay over {other}" if cut else f"{other} is laid over from here"
    if x0 == x1:
        yield Text(x0 + (4.0 if cut else -2.0), y1 - 0.18 * (y1 - y0), words, 2.2, "end", turn_deg=90.0, halo=True)
    else:
        yield Text(x0 + 0.18 * (x1 - x0), y0 + (-4.0 if cut else 2.0), words, 2.2, halo=True)


def _dashes(x0: float, y0: float, x1: float, y1: float, dash: float = 4.0, gap: float = 2.5) -> Iterator[Line]:
    """A line to cut along."""
    length = math.hypot(x1 - x0, y1 - y0)
    for k in range(math.ceil(length / (dash + gap))):
        a, b = (t / length for t in (k * (dash + gap), min(k * (dash + gap) + dash, length)))
        yield Line(x0 + a * (x1 - x0), y0 + a * (y1 - y0), x0 + b * (x1 - x0), y0 + b * (y1 - y0), "thin")


def over_all_mm(length: float) -> float:
    """The longest round length that two marks can stand apart in so much room."""
    return 50.0 * math.floor((length - 2.0 * _CHECK_ROOM_MM) / 50.0)


def _over_all(grid: Grid) -> Iterator[Mark]:
    """Two marks a round length apart, to check the taped set by: along the top, and down the left side."""
    w, off = grid.whole, 0.5 * _CHECK_ROOM_MM
    words = "when all sheets are taped"
    if grid.columns > 1:
        length = over_all_mm(w.width)
        x0, y = w.left + _CHECK_ROOM_MM, w.high - off
        for x, anchor, side in ((x0, "start", 1.0), (x0 + length, "end", -1.0)):
            yield Line(x - 5.0, y, x + 5.0, y, "thin")
            yield Line(x, y - 5.0, x, y + 5.0, "cut")
            text = f"X to X: {length:g} mm {words}"
            yield Text(x + side * 7.0, y - 1.2, text, 2.4, "start" if anchor == "start" else "end", halo=True)
            yield Text(x - side * 2.0, y + 1.2, "X", 2.6, "end" if anchor == "start" else "start", bold=True)
    if grid.rows > 1:
        length = over_all_mm(w.height)
        x, y0 = w.left + off, w.high - 2.0 * _CHECK_ROOM_MM
        for y, anchor, side in ((y0, "end", -1.0), (y0 - length, "start", 1.0)):
            yield Line(x - 5.0, y, x + 5.0, y, "cut")
            yield Line(x, y - 5.0, x, y + 5.0, "thin")
            text = f"Y to Y: {length:g} mm {words}"
            yield Text(
                x + 1.2, y + side * 7.0, text, 2.4, "start" if anchor == "start" else "end", turn_deg=90.0, halo=True
            )  # fmt: skip
            yield Text(x - 1.5, y - side * 2.0, "Y", 2.6, "end", bold=True)


def _heading(title: str, grid: Grid, joins: list[Join], here: tuple[int, int]) -> Iterator[Mark]:
    left, top = PRINTED_MM, grid.paper.height - PRINTED_MM
    many = grid.rows * grid.columns > 1
    cell_w, cell_h = 8.0, 5.0
    map_wide = grid.columns * cell_w if many else 0.0
    room = grid.paper.width - 2.0 * PRINTED_MM - (map_wide + 14.0 if many else 10.0)

    def fitted(text: str, size: float, y: float, bold: bool = False) -> Text:
        return Text(left, y, text, min(size, size * room / max(width_of(text, size, bold), 1e-9)), bold=bold)

    lies = "upright" if grid.paper.upright else "across"
    yield fitted(title, 3.8, top - 4.0, bold=True)
    yield fitted(
        f'1:1. Print on {grid.paper.name}, {lies}, at 100 %, never "fit to page". '
        f"Both bars must measure {BAR_MM:g} mm: if not, the print is not to scale.",
        2.4, top - 9.0,
    )  # fmt: skip
    up = grid.paper.width - PRINTED_MM - 3.0 - (map_wide + 4.0 if many else 0.0)
    yield Line(up, top - 14.0, up, top - 3.0, "cut")
    yield arrowhead(up, top, 90.0, 4.0)
    yield Text(up, top - 17.0, "top", 2.2, "middle")
    if not many:
        return
    row, column = here
    yield fitted(
        f"Sheet {sheet_name(row, column)}: row {_letters(row).lower()}, column {column + 1} "
        f"of {grid.rows * grid.columns} sheets. {_how_to(joins, here)}",
        2.4, top - 13.5,
    )  # fmt: skip
    x0, y0 = grid.paper.width - PRINTED_MM - map_wide, top
    shrink = min(1.0, (_TOP_MM - 2.0) / (grid.rows * cell_h))
    high = cell_h * shrink
    for r, c in product(range(grid.rows), range(grid.columns)):
        x, y = x0 + c * cell_w, y0 - (r + 1) * high
        corners = ((x, y), (x + cell_w, y), (x + cell_w, y + high), (x, y + high))
        yield Polygon(corners, "ink" if (r, c) == here else "paper", "thin")
        if (r, c) != here:
            yield Text(x + 0.5 * cell_w, y + 0.3 * high, sheet_name(r, c), 0.42 * high, "middle")


def _how_to(joins: list[Join], here: tuple[int, int]) -> str:
    """What to do with this sheet, in words."""
    over = [j for j in joins if j.second == here]
    if not over:
        return "Keep it whole: its neighbours are laid over it."
    each = " and ".join(f"{j.letter} (over {sheet_name(*j.first)})" for j in over)
    lines = "line" if len(over) == 1 else "lines"
    return f"Cut along {lines} {each}, lay it cross on cross, tape."


def _bars() -> Iterator[Mark]:
    """One along the lower edge, one up the left one."""
    x, y = PRINTED_MM + _LEFT_MM, PRINTED_MM + 1.0
    yield Line(x, y, x + BAR_MM, y, "bar")
    u, v = PRINTED_MM + 1.0, PRINTED_MM + _BOTTOM_MM
    yield Line(u, v, u, v + BAR_MM, "bar")
    for k in range(11):
        tick = 3.0 if k % 5 == 0 else 1.8
        yield Line(x + 10.0 * k, y, x + 10.0 * k, y + tick, "thin")
        yield Line(u, v + 10.0 * k, u + tick, v + 10.0 * k, "thin")
    yield Text(x + BAR_MM + 3.0, y, f"{BAR_MM:g} mm", 2.4)
    yield Text(u + 2.4, v + BAR_MM + 3.0, f"{BAR_MM:g} mm", 2.4, turn_deg=90.0)
