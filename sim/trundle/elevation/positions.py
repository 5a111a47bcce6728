"""The page of positions: standing, at full bump and at full droop, one below the other at one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from trundle.drawing.marks import Line, Mark, Text, arrowhead
from trundle.drawing.sheet import Drawing
from trundle.elevation.inked import PENS, Frame, ground, inked
from trundle.elevation.outline import Seen, seen
from trundle.elevation.page import A3, EDGE_MM, TEXT_MM, TITLE_HIGH, TITLE_WIDE, TitleBlock, frame_of, title_block
from trundle.elevation.pose import Pose
from trundle.elevation.scales import scale_for, scale_words
from trundle.elevation.subject import Subject
from trundle.elevation.view import Load
from trundle.elevation.words import broken, column

TITLE_MM = 3.0


def positions_page(subject: Subject, block: TitleBlock) -> Drawing:
    """The page, each view with the ground level."""
    sheet = Drawing(*A3, f"{block.name}: {block.what}")
    frame_of(sheet)
    views = [(p, seen(subject.vehicle, subject.parts, p.pose)) for p in subject.positions]
    extents = [level_extent(shapes, p.pose) for p, shapes in views]
    left, right = EDGE_MM + 6.0, A3[0] - EDGE_MM - TITLE_WIDE - 6.0
    top = A3[1] - EDGE_MM - 3.0
    each = (top - EDGE_MM - 2.0) / len(views)
    wide, tall = max(e[2] - e[0] for e in extents), max(e[3] - min(e[1], 0.0) for e in extents)
    scale = scale_for(wide, tall, (right - left - 8.0, each - 22.0))
    for k, ((position, shapes), e) in enumerate(zip(views, extents, strict=True)):
        foot = top - (k + 1) * each + 14.0
        frame = Frame(0.5 * (left + right) - 0.5 * scale * (e[0] + e[2]), foot, scale, position.pose, level=True)
        sheet.marks += [
            *ground(frame, e[0] - 5.0 / scale, e[2] + 5.0 / scale),
            *inked(shapes, frame, lambda s: "cut" if s.part == "hull" else PENS[s.part]),
            *load_marks(position.loads, frame),
            *height_marks(_belly_ends(subject), frame),
        ]
        x, high = right + 9.0, foot + scale * e[3]
        marks, low = column(x, high, [position.title], TITLE_MM, bold=True)
        sheet.marks += marks
        for line in position.lines:
            if low < EDGE_MM + TITLE_HIGH + 4.0 and k == len(views) - 1:
                break
            marks, low = column(x, low - 0.8, broken(line, TITLE_WIDE - 8.0, TEXT_MM), TEXT_MM)
            sheet.marks += marks
    title_block(sheet, _scaled(block, scale))
    return sheet


def _scaled(block: TitleBlock, scale: float) -> TitleBlock:
    return replace(block, scale=f"{scale_words(scale)} on A3")


def height_marks(places_mm: Sequence[tuple[float, float]], frame: Frame) -> list[Mark]:
    """From the level ground up to places in the hull [mm], with how high they are."""
    found: list[Mark] = []
    for place in places_mm:
        x, head = frame.at(*place)
        foot = frame.y
        found += [
            Line(x, foot, x, head, "dimension"),
            arrowhead(x, foot, -90.0, 2.2),
            arrowhead(x, head, 90.0, 2.2),
            Text(x, foot - 9.5, f"{(head - foot) / frame.scale:.0f}", TEXT_MM, "middle", bold=True),
        ]
    return found


def load_marks(loads: Sequence[Load], frame: Frame) -> list[Mark]:
    """Under the wheels."""
    return [
        Text(
            frame.at(load.x_mm, frame.pose.ground_at(load.x_mm))[0],
            frame.y - 5.5,
            load.words,
            TEXT_MM,
            "middle",
            halo=True,
        )
        for load in loads
    ]


def _belly_ends(subject: Subject) -> tuple[tuple[float, float], ...]:
    """The two ends of the lowest part of the belly [mm]."""
    belly = subject.vehicle.hull.belly_mm
    low = min(y for _, y in belly)
    flat = [p for p in belly if p[1] - low < 1.0]
    return (flat[0], flat[-1]) if len(flat) > 1 else (flat[0],)


def level_extent(shapes: Sequence[Seen], pose: Pose) -> tuple[float, float, float, float]:
    """Of what is seen with the ground level [mm]."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for s in shapes:
        points = np.array([pose.on_ground(float(x), float(y)) for x, y in s.shape.points])
        size = s.shape.size_mm if s.shape.form == "disc" else 0.5 * s.shape.size_mm
        low, high = np.minimum(low, points.min(axis=0) - size), np.maximum(high, points.max(axis=0) + size)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])
