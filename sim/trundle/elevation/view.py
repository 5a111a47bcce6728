"""The large side view: the vehicle in the hull's axes, tapes along and up it, dimensions in their places, loads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trundle.drawing.arrange import Room, arranged
from trundle.drawing.holds import holds
from trundle.drawing.marks import Line, Mark, Text, arrowhead
from trundle.drawing.part import outlines
from trundle.drawing.pens import Corner
from trundle.drawing.placed import Label, Placed, Style
from trundle.drawing.places import round_places, span_places, turn_places
from trundle.drawing.running import Reading, Side, reach_of, running
from trundle.elevation.dimensions import Dimension
from trundle.elevation.inked import Frame, ground, inked
from trundle.elevation.inks import Inks
from trundle.elevation.outline import Seen, extent
from trundle.elevation.pose import Pose
from trundle.elevation.scales import scale_for
from trundle.elevation.words import as_written
from trundle.fields.shape import Shape
from trundle.fields.sketch import Round, Span, Turn

STYLE = Style(text=2.0, arrow=2.2)
OFF_MM = 7.0
"""From the part to the nearest tape."""

LOADS_MM = 15.0
"""Room under the ground line for wheel loads and heights."""


CLEAR_TIMES = 4
"""Words on a whole vehicle keep so many times as clear of its lines as on a part alone: the hull has room inside."""


@dataclass(frozen=True)
class View:
    """What the page has to know of it: its marks, its frame, its bounds on paper, and boxes of its words."""

    marks: list[Mark]
    frame: Frame
    bounds: tuple[float, float, float, float]
    places: dict[str, Corner] = field(default_factory=dict)


@dataclass(frozen=True)
class Load:
    """What stands under a wheel: place along the hull [mm], words."""

    x_mm: float
    words: str


@dataclass(frozen=True)
class Height:
    """How high the belly datum is over the ground at a place along the hull [mm], in words."""

    x_mm: float
    words: str


def side_of(d: Dimension, pose: Pose, middle_mm: float) -> Side:
    """On which tape a dimension from a datum lies: what the hull has above it, the running gear below; heights on the
    nearer side."""
    assert isinstance(d.mark, Span)
    if d.mark.along == "x":
        return "above" if d.path.startswith("hull.") else "below"
    return "right" if d.at[0] > middle_mm else "left"


def drawn(
    shapes: Sequence[Seen],
    pose: Pose,
    taped: Sequence[Dimension],
    placed: Sequence[Dimension],
    loads: Sequence[Load],
    heights: Sequence[Height],
    room: tuple[float, float, float, float],
    inks: Inks,
) -> View:
    """The view as large as it can be in its room (x0, y0, x1, y1 on paper), at its top."""
    left, low, right, high = extent(shapes, pose)
    middle = 0.5 * (left + right)
    sides: dict[Side, list[Dimension]] = {"above": [], "below": [], "left": [], "right": []}
    for d in taped:
        sides[side_of(d, pose, middle)].append(d)
    off: dict[Side, float] = {
        "above": OFF_MM,
        "below": OFF_MM + (LOADS_MM if loads else 0.0),
        "left": OFF_MM,
        "right": OFF_MM,
    }
    told = {id(d): inks.told(d.path, d.path, as_written(d.value)) for d in taped}
    need = {
        side: off[side] + reach_of([Reading((0.0, 0.0), told[id(d)]) for d in found], STYLE) if found else 4.0
        for side, found in sides.items()
    }
    wide, tall = room[2] - room[0] - need["left"] - need["right"], room[3] - room[1] - need["above"] - need["below"]
    scale = scale_for(right - left, high - low, (wide, tall))
    x = room[0] + need["left"] + 0.5 * (wide - scale * (right - left)) - scale * left
    y = room[3] - need["above"] - scale * high
    frame = Frame(x, y, scale, pose)
    (x0, y0), (x1, y1) = (x + scale * left, y + scale * low), (x + scale * right, y + scale * high)
    marks = [*ground(frame, left - 4.0 / scale, right + 4.0 / scale), *inked(shapes, frame, inks.shape)]
    fixed: list[Mark] = []
    levels: dict[Side, float] = {
        "above": y1 + off["above"],
        "below": y0 - off["below"],
        "left": x0 - off["left"],
        "right": x1 + off["right"],
    }
    for side, found in sides.items():
        readings = [Reading(frame.at(*d.at), told[id(d)], inks.dimension(d.path)) for d in found]
        fixed += running(frame.at(0.0, 0.0), levels[side], side, readings, STYLE)
    fixed += [*_loads(loads, frame), *_heights(heights, frame)]
    hold = [holds(fixed)]
    window = (x0 - off["left"] + 1.0, y0 + 4.0, x1 + off["right"] - 1.0, levels["above"] - 1.5)
    around = (x0, y0, x1, y1)
    choices = [_places(d, inks, frame, around) for d in placed]
    pieces = np.concatenate([_track_pieces(pose, frame), outlines(_kept_clear(shapes), frame.at, scale)])
    solid = np.tile(pieces, (CLEAR_TIMES, 1))
    chosen = arranged([*[[h] for h in hold[0]], *choices], Room(solid, window))[len(hold[0]) :]
    marks += fixed
    for d, place in zip(placed, chosen, strict=True):
        marks += place.drawn(inks.dimension(d.path))
    bottom = levels["below"] - (need["below"] - off["below"])
    return View(marks, frame, (x0 - need["left"], bottom, x1 + need["right"], room[3]))


def _kept_clear(shapes: Sequence[Seen]) -> list[Shape]:
    """What words should not lie on."""
    return [s.shape for s in shapes if s.part not in ("links", "hull", "track", "stop")]


def _track_pieces(pose: Pose, frame: Frame) -> NDArray[np.float64]:
    """The track's faces as pieces on paper."""
    faces = [np.array(frame.points(face[::3])) for face in (pose.outer, pose.inner) if face is not None]
    rows = [np.column_stack([f, np.roll(f, -1, axis=0)]) for f in faces]
    return np.concatenate(rows) if rows else np.empty((0, 4))


def _loads(loads: Sequence[Load], frame: Frame) -> list[Mark]:
    found: list[Mark] = []
    for load in loads:
        x, y = frame.at(load.x_mm, frame.pose.ground_at(load.x_mm))
        found += [
            Line(x, y - 6.0, x, y - 0.6, "thin"),
            arrowhead(x, y - 0.6, 90.0, 2.2),
            Text(x, y - 9.0, load.words, STYLE.text, "middle", halo=True),
        ]
    return found


def _heights(heights: Sequence[Height], frame: Frame) -> list[Mark]:
    found: list[Mark] = []
    for height in heights:
        foot, head = frame.at(height.x_mm, frame.pose.ground_at(height.x_mm)), frame.at(height.x_mm, 0.0)
        found += [
            Line(*foot, *head, "dimension"),
            arrowhead(*foot, -90.0, STYLE.arrow),
            arrowhead(*head, 90.0, STYLE.arrow),
            Text(foot[0], foot[1] - 13.0, height.words, STYLE.text, "middle", bold=True, halo=True),
        ]
    return found


def _places(d: Dimension, inks: Inks, frame: Frame, around: tuple[float, float, float, float]) -> list[Placed]:
    label = Label((d.table, inks.told(d.path, d.name, as_written(d.value))), STYLE)
    mark = d.mark
    if isinstance(mark, Span):
        a, b = frame.at(*mark.a), frame.at(*mark.b)
        if mark.along == "x":
            way = (1.0, 0.0)
        elif mark.along == "y":
            way = (0.0, 1.0)
        else:
            way = _unit(a, b)
        return list(span_places(a, b, way, label, around))
    if isinstance(mark, Round):
        return list(
            round_places(
                frame.at(*mark.centre),
                mark.radius_mm * frame.scale,
                mark.what == "diameter",
                mark.towards_deg,
                True,
                label,
            )
        )
    assert isinstance(mark, Turn)
    return list(turn_places(frame.at(*mark.centre), mark.reach_mm * frame.scale, mark.from_deg, mark.to_deg, label))


def _unit(a: Corner, b: Corner) -> Corner:
    run = np.subtract(b, a)
    size = float(np.hypot(*run))
    return (float(run[0]) / size, float(run[1]) / size) if size > 0.0 else (1.0, 0.0)
