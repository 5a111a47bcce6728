"""An obstacle on paper: its surface from the side between flat ground, and the gap before it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trundle.fields.shape import Points, Shape, area, disc
from trundle.fields.sketch import XY, Around, Mark, Note, Sketch, Span, View
from trundle.fields.sketch_parts import thin
from trundle.terrain.outline import Surface, outline
from trundle.units import MM

FLAT_VIEW = 0.12
"""A surface that is less high than this share of its length is drawn higher than it is."""

STEPS = 200
"""Places along an obstacle from which its corners are sought."""


def surface_mm(part: Surface) -> Points:
    """Corners of an obstacle's surface from its start to the level behind it [mm], above the ground before it, shape
    (k, 2)."""
    x, y = outline(part, np.linspace(0.0, part.length_m(), STEPS))
    return np.stack([np.append(x, part.length_m()), np.append(y, part.rise_m())], axis=1) / MM


def ground(corners: Points, before_mm: float, behind_mm: float) -> Shape:
    """Filled ground under a surface that begins at the origin, with flat ground before and behind."""
    (x, y), low = corners[-1], min(float(corners[:, 1].min()), 0.0)
    relief = _relief(corners)
    floor = low - (0.3 * relief if relief > 0.0 else 0.02 * (x + before_mm + behind_mm))
    flat = np.array([[-before_mm, 0.0], [0.0, 0.0]])
    end = np.array([[x, y], [x + behind_mm, y], [x + behind_mm, floor], [-before_mm, floor]])
    return area("steel", np.concatenate([flat, corners, end]))


def _relief(corners: Points) -> float:
    """From the lowest to the highest, the ground before it counted [mm]."""
    return max(float(corners[:, 1].max()), 0.0) - min(float(corners[:, 1].min()), 0.0)


def _seen(relief_mm: float, long_mm: float) -> View:
    """From the side where there is something to see at one scale; else as a curve, heights larger than lengths."""
    return "curve" if 0.0 < relief_mm < FLAT_VIEW * long_mm else "side"


def obstacle_sketches(
    part: Surface, title: str, gap_mm: float, shapes: Sequence[Shape], marks: Sequence[Mark]
) -> tuple[Sketch, ...]:
    """The obstacle with its own marks, and with the gap before it. shapes: further ones, before the ground."""
    corners = surface_mm(part)
    long, relief = float(corners[-1, 0]), _relief(corners)
    room = max(0.25 * long, 1.2 * relief if _seen(relief, long) == "side" else 0.0, 40.0)
    itself = Sketch(title, _seen(relief, long), (ground(corners, room, room), *shapes), tuple(marks))
    return itself, _with_gap(corners, gap_mm)


def _with_gap(corners: Points, gap_mm: float) -> Sketch:
    """As it lies on the course: its name, the gap before it, and from where its speed counts."""
    long, relief = float(corners[-1, 0]), _relief(corners)
    start: XY = (-gap_mm, 0.0)
    top = corners[int(np.argmax(corners[:, 1]))]
    marks: tuple[Mark, ...] = (
        Span("gap_mm", start, (0.0, 0.0), "x") if gap_mm > 0.0 else Note("gap_mm", start),
        Note("speed_m_s", start),
        Note("name", (float(top[0]), float(top[1]))),
    )
    view = _seen(relief, long + gap_mm)
    room = 0.1 * (gap_mm + long) + 40.0
    up = 0.06 * (gap_mm + long) if view == "side" else 0.8 * relief
    shapes = (ground(corners, gap_mm + room, room), *heading(start[0] - 0.5 * room, up, 1.5 * room))
    return Sketch("with the gap before it", view, shapes, marks)


def heading(x_mm: float, up_mm: float, long_mm: float) -> tuple[Shape, ...]:
    """An arrow over the ground: which way the vehicle drives."""
    tip, wing = x_mm + long_mm, 0.2 * up_mm
    head = (tip - 0.25 * long_mm, up_mm + wing), (tip, up_mm), (tip - 0.25 * long_mm, up_mm - wing)
    return thin(((x_mm, up_mm), (tip, up_mm))), thin(head)


def vehicle(at_mm: float, around: Around, faint: bool = False) -> tuple[Shape, ...]:
    """A vehicle on the flat whose hull's centre of mass is at a place along the course; faint: its outline alone."""
    half, wheel = 0.5 * around.hull_length_mm, around.wheel_radius_mm
    low, high = wheel, wheel + 0.6 * around.hull_height_mm
    hull: list[XY] = [
        (at_mm - half, low),
        (at_mm + 0.8 * half, low),
        (at_mm + half, 0.5 * (low + high)),
        (at_mm + half, high),
        (at_mm - half, high),
    ]
    mass = (at_mm, 0.5 * (low + high))
    if faint:
        return (thin([*hull, hull[0]]), disc("mark", *mass, 0.03 * half))
    wheels = [disc("rubber", at_mm + share * half, wheel, wheel) for share in (-0.75, -0.25, 0.25, 0.75)]
    return (*wheels, area("steel", np.array(hull)), disc("hole", *mass, 0.05 * half), thin((mass, (at_mm, 0.0))))
