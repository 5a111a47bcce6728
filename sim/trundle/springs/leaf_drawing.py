"""A leaf across two arms from the side: as the bent beam it is."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Points, Shape, area, ribbon
from trundle.springs.answers import Pose
from trundle.springs.bearing import bearing_height, bearing_lever
from trundle.units import MM

if TYPE_CHECKING:
    from trundle.springs.leaf_across import LeafAcross

_ALONG = np.linspace(0.0, 1.0, 13)
_BENDING = (3.0 * _ALONG**2 - _ALONG**3) / 2.0


def across_shapes(leaf: LeafAcross, pose: Pose) -> tuple[Shape, ...]:
    """The seat (or two) and the stack: the torques spread along the bending line of a cantilever with an end load,
    (3 s2 - s3)/2 of its end's deflection (any handbook of beams)."""
    held, reach, span = leaf.held_m / MM, leaf.half_chord_m / MM, leaf.overhang_m / MM
    height = leaf.stack.height_m / MM
    under = leaf.seat_above_pivots_mm - leaf.adjuster_mm - height
    out = held + (reach - held) * _ALONG
    flat, arc = 0.5 * leaf.flat_m / MM, leaf.free_radius_mm
    curved = leaf.clamp_fit == "curved"
    face = 0.0 if curved else held - flat  # where the seat's height is given
    free = under + np.sqrt(np.maximum(arc**2 - (out - flat) ** 2, 0.0)) - math.sqrt(arc**2 - face**2)
    bend, slope = _bent_mm(leaf, pose, span, reach - 0.5 * pose.pivots_apart_mm)
    fore, aft = (
        np.stack([sign * out, free + slope[k] * span * _ALONG + bend[k] * _BENDING], axis=1)
        for k, sign in ((0, 1.0), (1, -1.0))
    )
    # Between the seats or the clamp's edges it is straight, but for plates with the leaf's curve; points as far apart
    # as outside, for the shorter leaves are cut to their share of them.
    across = np.linspace(-held, held, round(24.0 * held / (reach - held)) + 2)
    bow = np.stack([across, np.sqrt(arc**2 - across**2) - arc if curved else 0.0 * across], axis=1)
    line = np.concatenate([aft[::-1], bow[1:-1] + np.array([0.0, under]), fore])
    stack = ribbon(line, height, leaf.leaves, leaf.full_leaves)
    top = under + height
    if leaf.seat == "clamp":
        return _post(bow + np.array([0.0, top]), top), stack
    posts = (-held, held) if leaf.seat == "pair" else (0.0,)
    return *(_post(np.array([[x - 7.0, top], [x + 7.0, top]]), top) for x in posts), stack


def _post(face: Points, top_mm: float) -> Shape:
    """A seat that bears with `face`, from aft to fore."""
    up = top_mm + 26.0
    return area("steel", np.concatenate([face, [[face[-1, 0] + 5.0, up], [face[0, 0] - 5.0, up]]]))


def _bent_mm(leaf: LeafAcross, pose: Pose, span_mm: float, bears_mm: float) -> tuple[list[float], list[float]]:
    """(deflection of each end against its root [mm], slope of each side) as the arms' torques have it."""
    at, top = bears_mm * MM, leaf.arm_top_mm * MM
    angles, torque = np.array(pose.angles_rad), pose.torques_Nm
    lever, height = bearing_lever(angles, at, top), bearing_height(angles, at, top) / MM
    per_N = (span_mm * MM) ** 3 / (3.0 * leaf.end_stiffness_Nm2) / MM
    bend, slope = [0.0, 0.0], [0.0, 0.0]
    for k in range(2):
        bend[k] = max(torque[k], 0.0) / max(float(lever[k]), 1e-3) * per_N
        slope[k] = (float(height[k]) - leaf.free_tip_m / MM - bend[k]) / span_mm
    # An arm that has dropped clear of the leaf says nothing of its end: a point seat lets that side
    # follow the other, a clamp holds it straight.
    for k in range(2):
        if torque[k] <= 0.0:
            slope[k] = -slope[1 - k] if leaf.seat != "clamp" and torque[1 - k] > 0.0 else 0.0
    return bend, slope
