"""The hull on paper: from the side, from behind, its belly plate, what is at the seat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Shape, area, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Sketch, Span
from trundle.fields.sketch_parts import arrow, box, placed, thin

if TYPE_CHECKING:
    from trundle.spec.hull import Hull

MOST_CORNERS = 6
"""Belly points that are given a place each; of a curve with more only the ends are."""


def hull_sketches(hull: Hull, around: Around) -> tuple[Sketch, ...]:
    """From the side, from behind, at the seat, and the belly plate between its stiff lines."""
    mast = () if hull.at_seat == "mast" else (_mast(hull),)
    return _side(hull), _behind(hull, around), _seat(hull), *mast, _plate(hull)


def outline(hull: Hull) -> tuple[XY, ...]:
    """The hull box from the side: the belly from tail to nose, and up to its height."""
    belly = hull.belly_mm
    return (*belly, (belly[-1][0], hull.height_mm), (belly[0][0], hull.height_mm))


def _side(hull: Hull) -> Sketch:
    (cx, cy), h, long = hull.com_mm, hull.height_mm, hull.length_mm
    size = 0.012 * long + 6.0
    com = (
        disc("hole", cx, cy, size),
        thin(((cx - 1.6 * size, cy), (cx + 1.6 * size, cy))),
        thin(((cx, cy - 1.6 * size), (cx, cy + 1.6 * size))),
    )
    lowest = min(hull.belly_mm, key=lambda p: p[1])
    flat = [p for p in hull.belly_mm if p[1] - lowest[1] < 1.0]
    middle = 0.5 * (flat[0][0] + flat[-1][0])
    marks: list[Mark] = [
        *placed("com_mm", hull.com_mm),
        Note("mass_kg", (cx, cy)),
        Note("all_up_kg", (cx, cy)),
        Note("pitch_inertia_kg_m2", (cx + size, cy)),
        Span("length_mm", (0.0, h), (long, h), "x"),
        Span("height_mm", (0.0, 0.0), (0.0, h), "y"),
        *_corners(hull),
        *placed("seat_mm", hull.seat_mm),
        Note("ring_Hz", hull.belly_mm[-1]),
        Note("belly_grip", (middle + 0.1 * long, lowest[1])),
        Note("belly_loss", (middle - 0.1 * long, lowest[1])),
        Note("blow_rates", hull.belly_mm[0]),
    ]
    size = 0.05 * long
    match hull.at_seat:
        case "rider":
            seat = _cushion(hull.seat_mm, size)
        case "load":
            x, y = hull.seat_mm
            seat = (box("rubber", x - size, y, x + size, y + 1.4 * size),)
        case "mast":
            seat = _pole(hull.seat_mm, hull.mast_mm if hull.mast_mm is not None else 4.0 * size, size)
    return Sketch("hull", "side", (area("steel", np.array(outline(hull))), *seat, *com), tuple(marks), in_hull=True)


def _behind(hull: Hull, around: Around) -> Sketch:
    """From behind: the hull between its two tracks, x across from the middle."""
    gauge = hull.gauge_mm if hull.gauge_mm is not None else 0.5 * hull.length_mm
    wide = hull.belly_width_mm if hull.belly_width_mm is not None else 0.4 * hull.length_mm
    road, thick, track = around.wheel_radius_mm, around.track_thickness_mm, around.track_width_mm
    half, tall = 0.5 * gauge, 2.0 * (road + thick)
    ground, wheels = -1.2 * road - thick, 0.35 * track
    shapes: list[Shape] = [box("steel", -0.5 * wide, 0.0, 0.5 * wide, hull.height_mm)]
    for x in (-half, half):
        shapes.append(box("rubber", x - 0.5 * track, ground, x + 0.5 * track, ground + tall))
        shapes.append(box("steel", x - wheels, ground + thick, x + wheels, ground + tall - thick))
        shapes.append(thin(((x, ground - 0.3 * road), (x, ground + 1.2 * tall))))
    shapes.append(thin(((-1.3 * half - track, ground), (1.3 * half + track, ground))))
    marks = (Span("gauge_mm", (-half, ground), (half, ground), "x"),)
    return Sketch("from behind", "front", tuple(shapes), marks)


def _corners(hull: Hull) -> list[Mark]:
    points = hull.belly_mm if len(hull.belly_mm) <= MOST_CORNERS else (hull.belly_mm[0], hull.belly_mm[-1])
    spans = [s for p in points for s in placed("belly_mm", p)]
    named = [s for s in spans if s.a != s.b]
    return [*named] if named else [Note("belly_mm", points[0])]


def _cushion(at: XY, size: float) -> tuple[Shape, ...]:
    x, y = at
    back = np.array([[x - 0.9 * size, y + 1.6 * size], [x - 0.7 * size, y], [x + size, y]])
    return (line("rubber", back, 0.22 * size),)


def _seat(hull: Hull) -> Sketch:
    """A rider, load or mast on its place, with what holds it."""
    (x, y), size = hull.seat_mm, 0.1 * hull.length_mm
    up = hull.mast_mm if hull.mast_mm is not None else 4.0 * size
    deck = box("steel", x - 3.0 * size, y - 0.3 * size, x + 3.0 * size, y)
    match hull.at_seat:
        case "rider":
            shapes = (*_cushion((x, y + 0.1 * size), size), *_rider((x, y), size))
            held, what = (x + 1.2 * size, y + 1.6 * size), (x - 0.2 * size, y + 2.7 * size)
        case "load":
            load = box("rubber", x - size, y, x + size, y + 1.6 * size)
            straps = [thin(((x + s * 1.5 * size, y), (x + s * size, y + 1.6 * size))) for s in (-1, 1)]
            shapes = (load, *straps)
            held, what = (x + 1.25 * size, y + 0.8 * size), (x, y + 1.4 * size)
        case "mast":
            shapes = _pole((x, y), up, size)
            held, what = (x + 0.5 * size, y), (x, y + up)
    marks: tuple[Mark, ...] = (
        Note("at_seat", what),
        Note("seat_kg", (x - 0.3 * size, y + 1.2 * size) if hull.at_seat == "rider" else what),
        Note("held_by", held),
    )
    if hull.at_seat == "mast":
        marks = (*marks, Span("mast_mm", (x, y), (x, y + up), "y"))
    return Sketch("at the seat", "side", (deck, *shapes), marks)


def _mast(hull: Hull) -> Sketch:
    """A camera mast in place of what is at the seat."""
    size = 0.1 * hull.length_mm
    deck = box("steel", -2.0 * size, -0.3 * size, 2.0 * size, 0.0)
    marks = (Span("mast_mm", (0.0, 0.0), (0.0, 4.0 * size), "y"),)
    return Sketch("a mast in its place", "side", (deck, *_pole((0.0, 0.0), 4.0 * size, size)), marks)


def _pole(foot: XY, up: float, size: float) -> tuple[Shape, ...]:
    """A mast on its foot, a camera at its centre of mass."""
    x, y = foot
    pole = box("steel", x - 0.12 * size, y, x + 0.12 * size, y + up)
    plate = box("steel", x - 0.6 * size, y, x + 0.6 * size, y + 0.15 * size)
    camera = box("rubber", x - 0.3 * size, y + up - 0.25 * size, x + 0.3 * size, y + up + 0.25 * size)
    return pole, plate, camera


def _rider(at: XY, size: float) -> tuple[Shape, ...]:
    """Sits on the seat, hands forward."""
    x, y = at
    body = np.array([[x - 0.4 * size, y + 0.5 * size], [x - 0.3 * size, y + 2.2 * size]])
    leg = np.array([[x - 0.4 * size, y + 0.45 * size], [x + 1.1 * size, y + 0.6 * size], [x + 1.5 * size, y]])
    hand = np.array(
        [[x - 0.3 * size, y + 1.9 * size], [x + 0.4 * size, y + 1.4 * size], [x + 1.2 * size, y + 1.6 * size]]
    )
    head = disc("rubber", x - 0.2 * size, y + 2.75 * size, 0.36 * size)
    limbs = (body, 0.5 * size), (leg, 0.3 * size), (hand, 0.16 * size)
    rounded = [disc("rubber", float(p[0]), float(p[1]), 0.5 * wide) for points, wide in limbs for p in points]
    return *rounded, *(line("rubber", points, wide) for points, wide in limbs), head


def _plate(hull: Hull) -> Sketch:
    """The belly plate from below, and its edge, on the frames and sides that it spans between."""
    span = hull.belly_span_mm if hull.belly_span_mm is not None else 0.25 * hull.length_mm
    wide = hull.belly_width_mm if hull.belly_width_mm is not None else 0.4 * hull.length_mm
    sheet = hull.belly_sheet_mm if hull.belly_sheet_mm is not None else 3.0
    rib = 0.04 * span
    edge = 0.45 * wide + wide
    frames = [box("steel", x - 0.5 * rib, 0.0, x + 0.5 * rib, wide) for x in (0.0, span)]
    sides = [box("steel", -0.3 * span, y - 0.5 * rib, 1.3 * span, y + 0.5 * rib) for y in (0.0, wide)]
    # Its edge above: plate below, frames standing on it.
    cut = [box("steel", x - 0.5 * rib, edge + sheet, x + 0.5 * rib, edge + sheet + 0.25 * wide) for x in (0.0, span)]
    plate = box("spring", -0.3 * span, edge, 1.3 * span, edge + sheet)
    struck = (0.5 * span, edge)
    marks = (
        Span("belly_span_mm", (0.0, 0.0), (span, 0.0), "x"),
        Span("belly_width_mm", (0.0, 0.0), (0.0, wide), "y"),
        Span("belly_sheet_mm", (1.3 * span, edge), (1.3 * span, edge + sheet), "y"),
        Note("belly_steel", (1.15 * span, edge + 0.5 * sheet)),
        Note("belly_rate_N_per_mm", struck),
    )
    shapes = (
        box("spring", -0.3 * span, 0.0, 1.3 * span, wide),
        *frames,
        *sides,
        plate,
        *cut,
        *arrow(struck, 90.0, 0.2 * wide),
    )
    return Sketch("belly plate from below, its edge above", "section", shapes, marks)
