"""A leaf across two arms on paper: on its arms, with the other seats, its main leaf before and after bending."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Shape, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Round, Sketch, Span
from trundle.fields.sketch_parts import arc, box, thin
from trundle.springs.answers import Pose
from trundle.springs.bearing import bearing_height, bearing_lever
from trundle.springs.on_arm import OnArm, in_hull
from trundle.units import DEG, MM

if TYPE_CHECKING:
    from trundle.springs.leaf_across import LeafAcross

SLEEVE_MM, ROOM_MM = 6.0, 12.0
"""Gap over the pivot sleeves and room at the ends as drawn where the file gives none, mm."""


def across_sketches(leaf: LeafAcross, around: Around) -> tuple[Sketch, ...]:
    """On its arms; with each of the two other seats; bent; flat; cut across; in a bend test."""
    seats = (_as_pair(leaf), _as_clamp(leaf))
    return (
        _on_arms(leaf, around),
        *(_seat_sketch(one, around) for one in seats),
        _bent(leaf),
        _flat(leaf),
        leaf.section_sketch(),
        leaf.bend_test_sketch(),
    )


def _as_pair(leaf: LeafAcross) -> LeafAcross:
    if leaf.seat == "pair":
        return leaf
    change = {"seat": "pair", "seat_apart_mm": 0.2 * leaf.length_mm, "clamp_mm": None, "clamp_fit": None}
    return leaf.model_copy(update=change)


def _as_clamp(leaf: LeafAcross) -> LeafAcross:
    if leaf.seat == "clamp":
        return leaf
    change = {"seat": "clamp", "clamp_mm": 0.2 * leaf.length_mm, "seat_apart_mm": None, "clamp_fit": "bent flat"}
    return leaf.model_copy(update=change)


def _just_touching(leaf: LeafAcross, bears_mm: float) -> float:
    """Angle of both arms at which the free leaf's ends lie on them, below level [deg]; as near as 60 deg allows."""
    angles = np.linspace(-60.0, 60.0, 2401)
    height = bearing_height(angles * DEG, bears_mm * MM, leaf.arm_top_mm * MM)
    return float(angles[int(np.argmin(np.abs(height - leaf.free_tip_m)))])


def _stood(leaf: LeafAcross, around: Around) -> tuple[tuple[Shape, ...], tuple[OnArm, OnArm], float]:
    """Both arms and the leaf on them, and the height of its ends' underside [mm]: as the arms are said to stand; with
    nothing said, just touching it."""
    apart = around.pivots_apart_mm
    bears = max(leaf.half_chord_m / MM - 0.5 * apart, 5.0)
    angle = _just_touching(leaf, bears) if around.arm_deg is None else around.arm_deg
    fore, aft = (OnArm(around.arm_mm, sign, angle, around.wheel_radius_mm, sign * 0.5 * apart) for sign in (1.0, -1.0))
    angles = (angle * DEG, angle * DEG)
    lift = float(bearing_height(np.array(angles[:1]), bears * MM, leaf.arm_top_mm * MM)[0]) - leaf.free_tip_m
    lift = max(lift, 0.0) if around.arm_deg is not None else 0.0
    lever = float(bearing_lever(np.array(angles[:1]), bears * MM, leaf.arm_top_mm * MM)[0])
    torque = lift * float(leaf.stiffness_N_per_m()[0].sum()) * lever
    pose = Pose(angles, (torque, torque), 1.0, around.arm_mm, apart)
    shapes = (*fore.shapes(leaf.arm_top_mm), *aft.shapes(leaf.arm_top_mm), *leaf.shapes(pose))
    return shapes, (fore, aft), (leaf.free_tip_m + lift) / MM


def _on_arms(leaf: LeafAcross, around: Around) -> Sketch:
    shapes, (fore, aft), tip = _stood(leaf, around)
    half, reach = 0.5 * around.pivots_apart_mm, leaf.half_chord_m / MM
    face, high = leaf.seat_above_pivots_mm, leaf.stack.height_m / MM
    now = face - leaf.adjuster_mm
    under = now - high
    extra: list[Shape] = [thin(((aft.along(around.arm_mm)[0], 0.0), (fore.along(around.arm_mm)[0], 0.0)))]
    marks: list[Mark] = [Span("seat_above_pivots_mm", (-0.25 * reach, 0.0), (-0.25 * reach, face), "y")]
    extra.append(thin(((-0.3 * reach, face), (0.0, face))))
    if leaf.adjuster_mm:
        marks.append(Span("adjuster_mm", (0.14 * reach, face), (0.14 * reach, now), "y"))
        extra.append(thin(((0.0, face), (0.18 * reach, face))))
    else:
        marks.append(Note("adjuster_mm", (0.0, now + 26.0)))
    at = 0.55 * around.arm_mm
    top: XY = aft.along(at, leaf.arm_top_mm)
    marks.append(Span("arm_top_mm", aft.along(at), top) if leaf.arm_top_mm else Note("arm_top_mm", top))
    extra.append(thin((aft.along(0.0), aft.along(around.arm_mm))))
    gap = SLEEVE_MM if leaf.sleeve_clearance_mm is None else leaf.sleeve_clearance_mm
    drop = _below_face(leaf, half)
    sleeve = (half, under - drop - gap)
    extra.append(line("steel", arc((half, 0.0), max(sleeve[1], 8.0), 0.0, 180.0), 1.5))
    if leaf.sleeve_clearance_mm is None or gap <= 0.0:
        marks.append(Note("sleeve_clearance_mm", sleeve))
    else:
        marks.append(Span("sleeve_clearance_mm", (half, under - drop), sleeve, "y"))
    room = ROOM_MM if leaf.end_room_mm is None else leaf.end_room_mm
    extra.append(thin(((reach + room, tip - 20.0), (reach + room, tip + 45.0))))
    if leaf.end_room_mm:
        marks.append(Span("end_room_mm", (reach, tip), (reach + room, tip), "x"))
    else:
        marks.append(Note("end_room_mm", (reach, tip)))
    marks += [Note("seat", (0.0, now)), Note("kind", (-0.5 * reach, under - _below_face(leaf, 0.5 * reach)))]
    title = "on its two arms" if around.arm_deg is not None else "on its arms, just touching"
    found = Sketch(title, "side", (*extra[:1], *shapes, *extra[1:]), tuple(marks))
    # Drawn about the middle of the two pivots; what lies about it tells the fore one.
    (x, y), placed = around.at_mm, around.at_mm != Around().at_mm
    return in_hull(found, replace(around, at_mm=(x - half, y))) if placed else found


def _below_face(leaf: LeafAcross, x_mm: float) -> float:
    """How much lower the free main leaf lies at x from its middle than where the seat's height is given [mm]."""
    radius, flat = leaf.free_radius_mm, 0.5 * leaf.flat_m / MM
    face = leaf.held_m / MM if leaf.seat == "pair" else 0.0
    out = max(x_mm - flat, 0.0)
    return math.sqrt(radius**2 - face**2) - math.sqrt(max(radius**2 - out**2, 0.0))


def _seat_sketch(leaf: LeafAcross, around: Around) -> Sketch:
    """A pair of seats, or a clamp."""
    shapes, _, _ = _stood(leaf, around)
    held, now = leaf.held_m / MM, leaf.seat_above_pivots_mm - leaf.adjuster_mm
    up = now + 26.0
    if leaf.seat == "pair":
        strap = tuple(
            thin(
                (
                    (x - 7.0, up),
                    (x - 7.0, now - leaf.stack.height_m / MM - 3.0),
                    (x + 7.0, now - leaf.stack.height_m / MM - 3.0),
                    (x + 7.0, up),
                )
            )
            for x in (-held, held)
        )
        marks: tuple[Mark, ...] = (Span("seat_apart_mm", (-held, now), (held, now), "x"), Note("seat", (held, now)))
        return Sketch('a "pair" of seats', "side", (*shapes, *strap), marks)
    low = now - leaf.stack.height_m / MM
    plate = box("steel", -held, low - 8.0, held, low)
    bolts = tuple(thin(((x, low - 14.0), (x, up))) for x in (-0.8 * held, 0.8 * held))
    clamp: tuple[Mark, ...] = (
        Span("clamp_mm", (-held, low), (held, low), "x"),
        Note("clamp_fit", (0.0, low)),
        Note("seat", (0.0, up)),
    )
    return Sketch('a "clamp"', "side", (*shapes, plate, *bolts), clamp)


def _bent(leaf: LeafAcross) -> Sketch:
    """The main leaf on the bench: an arc, with its chord and the rise that tell its radius."""
    radius, thick = leaf.free_radius_mm, leaf.thickness_mm
    half = leaf.length_mm / (2.0 * radius)
    turn = np.linspace(-half, half, 49)
    middle = radius * np.stack([np.sin(turn), np.cos(turn) - 1.0], axis=1)
    inner = radius - 0.5 * thick
    x, y = inner * math.sin(half), inner * math.cos(half) - radius
    chord, rise = thin(((-x, y), (x, y))), thin(((0.0, y), (0.0, -0.5 * thick)))
    marks = (Round("free_radius_mm", (0.0, -radius), radius, "radius", 90.0 - 0.5 * half / DEG),)
    return Sketch("main leaf, free", "side", (chord, rise, line("spring", middle, thick)), marks)


def _flat(leaf: LeafAcross) -> Sketch:
    """The main leaf before it is bent, from above: what is measured along its curve lies straight."""
    half, wide = 0.5 * leaf.length_mm, 0.5 * leaf.width_mm
    shapes = (box("spring", -half, -wide, half, wide), disc("hole", 0.0, 0.0, 0.12 * leaf.width_mm))
    marks = (
        Span("length_mm", (-half, -wide), (half, -wide), "x"),
        Span("width_mm", (half, -wide), (half, wide), "y"),
    )
    return Sketch("main leaf, not yet bent", "top", shapes, marks)
