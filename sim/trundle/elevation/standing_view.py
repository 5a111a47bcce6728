"""The vehicle as it stands, with loads and heights in place of dimensions: a small drawing for its sheet."""

from __future__ import annotations

from trundle.drawing.marks import Mark, Text
from trundle.drawing.sheet import Drawing
from trundle.elevation.inked import PENS, Frame, ground, inked
from trundle.elevation.outline import seen
from trundle.elevation.pose import standing_pose
from trundle.elevation.positions import height_marks, level_extent, load_marks
from trundle.elevation.scales import scale_for, scale_words
from trundle.elevation.subject import heights, wheel_loads
from trundle.engine.standing import Standing

TEXT_MM = 2.0
NOTE = "Load of one wheel at each station; bold: height of the belly datum over the ground, mm. Front is right."
BELOW_MM, ABOVE_MM, BESIDE_MM = 18.0, 3.0, 4.0
"""Room for loads, heights and the note under the ground; for lines above and beside."""


def standing_view(at: Standing, width_mm: float, most_high_mm: float) -> Drawing:
    """So wide on paper, and no higher than that; at one of the usual scales, which is told."""
    vehicle, pose = at.assembly.vehicle, standing_pose(at)
    shapes = seen(vehicle, at.assembly.parts, pose)
    left, _, right, high = level_extent(shapes, pose)
    room = width_mm - 2.0 * BESIDE_MM, most_high_mm - BELOW_MM - ABOVE_MM
    scale = scale_for(right - left, high, room)
    x = 0.5 * width_mm - 0.5 * scale * (left + right)
    frame = Frame(x, BELOW_MM, scale, pose, level=True)
    com_x, com_y = frame.at(*vehicle.hull.com_mm)
    note = f"{scale_words(scale)}. {NOTE}"
    marks: list[Mark] = [
        *ground(frame, left - 3.0 / scale, right + 3.0 / scale),
        *inked(shapes, frame, lambda s: "cut" if s.part == "hull" else PENS[s.part]),
        *load_marks(wheel_loads(at, pose), frame),
        *height_marks([(h.x_mm, 0.0) for h in heights(vehicle, pose)], frame),
        Text(com_x + 3.5, com_y + 1.0, "centre of mass", TEXT_MM, halo=True),
        Text(BESIDE_MM, 1.5, note, 0.9 * TEXT_MM, pen="thin"),
    ]
    size = width_mm, BELOW_MM + scale * high + ABOVE_MM
    return Drawing(*size, f"{vehicle.name} standing, from the side", marks)
