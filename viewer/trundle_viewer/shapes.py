"""Outlines of springs and brackets: a leaf as the bent beam it is, a coil as a coil. Hull mm in and out.

Shapes only: the loads come from the record, the bending line of a cantilever with an end load,
(3 s2 - s3)/2 of its end's deflection (any handbook of beams), only spreads them along the leaf.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trundle.model.parts import SwingPart
from trundle.spec.bogie import PairedArms
from trundle.spec.vehicle import Vehicle
from trundle.springs import Coil, Leaf, LeafAcross, RubberBlock, TorsionBar
from trundle.springs.bearing import bearing_height, bearing_lever
from trundle.units import DEG, MM

Points = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Shape:
    """Part of a drawing. what: "leaf", "coil", "bar", "block", "plain", "seat"; points (n, 2) [mm]; a leaf is
    a closed outline with `lines` between its leaves; a bar has its radius in `size`, its twist in `turn`."""

    what: str
    points: Points
    lines: tuple[Points, ...] = ()
    size: float = 0.0
    turn: float = 0.0
    load_N: float = 0.0


def _ribbon(under: Points, height: float, leaves: int, full: int) -> tuple[Points, tuple[Points, ...]]:
    """Outline of a stack of leaves on its underside, and the lines between them; shorter ones lie on top."""
    each = height / leaves
    lines, top = [], under
    for k in range(1, leaves + 1):
        layer = under + np.array([0.0, k * each])
        if k > full:
            cut = int((k - full) / (leaves - full + 1) * len(under) / 2.0)
            layer = layer[cut : len(layer) - cut]
        lines.append(layer)
        top = layer
    return np.concatenate([under, top[::-1]]), tuple(lines[:-1])


_ALONG = np.linspace(0.0, 1.0, 13)
_BENDING = (3.0 * _ALONG**2 - _ALONG**3) / 2.0


class LeafOverArms:
    """The leaf over both arms of one bogie, at any angles."""

    def __init__(self, spring: LeafAcross, bogie: PairedArms) -> None:
        self.spring = spring
        self.x0, self.y0 = bogie.at_mm
        held, reach = spring._held_m / MM, spring.half_chord_m / MM
        self.span = spring.overhang_m / MM
        self.under = spring.seat_above_pivots_mm - spring.adjuster_mm - spring.stack.height_m / MM
        self.at_mm = reach - 0.5 * bogie.pivots_apart_mm
        self.tip_mm = spring.free_tip_m / MM
        self.per_N = (self.span * MM) ** 3 / (3.0 * spring.stack.bending_stiffness_Nm2) / MM
        self.height = spring.stack.height_m / MM
        self.out = held + (reach - held) * _ALONG
        flat, arc = (held if spring.seat == "clamp" else 0.0), spring.free_radius_mm
        fall = np.sqrt(np.maximum(arc**2 - (self.out - flat) ** 2, 0.0)) - math.sqrt(arc**2 - (held - flat) ** 2)
        self.free = self.under + fall
        top = self.under + self.height
        posts = [(-held, 7.0), (held, 7.0)] if spring.seat == "pair" else [(0.0, max(held, 7.0))]
        self.seats = [
            Shape("seat", np.array([
                [self.x0 + at - w, self.y0 + top], [self.x0 + at + w, self.y0 + top],
                [self.x0 + at + w + 5.0, self.y0 + top + 26.0],
                [self.x0 + at - w - 5.0, self.y0 + top + 26.0],
            ]))
            for at, w in posts
        ]  # fmt: skip

    def shapes(self, angle: tuple[float, float], torque: tuple[float, float]) -> list[Shape]:
        """angle (fore, aft) [rad]; torque: what the leaf puts on each arm, one side [N.m]. Hull frame, mm."""
        spring, at, top = self.spring, self.at_mm * MM, self.spring.arm_top_mm * MM
        a = np.array(angle)
        lever, height = bearing_lever(a, at, top), bearing_height(a, at, top) / MM
        bend, slope = [0.0, 0.0], [0.0, 0.0]
        for k in range(2):
            bend[k] = max(torque[k], 0.0) / max(float(lever[k]), 1e-3) * self.per_N
            slope[k] = (float(height[k]) - self.tip_mm - bend[k]) / self.span
        # An arm that has dropped clear of the leaf says nothing of its end: a point seat lets that side
        # follow the other, a clamp holds it straight.
        for k in range(2):
            if torque[k] <= 0.0:
                slope[k] = -slope[1 - k] if spring.seat != "clamp" and torque[1 - k] > 0.0 else 0.0
        sides = [
            np.stack(
                [
                    self.x0 + sign * self.out,
                    self.y0 + self.free + slope[k] * self.span * _ALONG + bend[k] * _BENDING,
                ],
                axis=1,
            )
            for k, sign in ((0, 1.0), (1, -1.0))
        ]
        line = np.concatenate([sides[1][::-1], sides[0]])
        leaves = spring.full_leaves + spring.graduated_leaves
        outline, lines = _ribbon(line, self.height, leaves, spring.full_leaves)
        return [*self.seats, Shape("leaf", outline, lines, load_N=max(torque))]


def own_spring(spring: object, part: SwingPart, angle: float, torque: float) -> list[Shape]:
    """The spring of one arm, its pivot at the origin, hull axes [mm]. angle [rad], torque [N.m]."""
    sign = part.sign
    arm = part.radius / MM
    c, s = math.cos(angle), math.sin(angle)
    ahead, up = np.array([sign * c, -s]), np.array([sign * s, c])
    if isinstance(spring, TorsionBar):
        turn = sign * (angle - spring.free_angle_deg * DEG)
        return [Shape("bar", np.zeros((1, 2)), size=max(0.5 * spring.diameter_mm, 8.0), turn=turn, load_N=torque)]
    if isinstance(spring, Coil):
        low = ahead * spring.on_arm_mm + up * spring.above_arm_mm
        high = np.array([sign * spring.anchor_mm[0], spring.anchor_mm[1]])
        length = float(np.hypot(*(high - low)))
        # A loose coil is shorter than the room it has: it stands on the arm.
        high = low + (high - low) / max(length, 1e-6) * min(length, spring.free_length_mm)
        along = (high - low) / max(float(np.hypot(*(high - low))), 1e-6)
        across = np.array([-along[1], along[0]]) * 0.5 * spring.mean_diameter_mm
        n = max(2, round(2.0 * (spring.coils + spring.end_coils)))
        t = np.linspace(0.0, 1.0, n + 1)
        swing = np.where(np.arange(n + 1) % 2 == 0, -1.0, 1.0)
        points = low + t[:, None] * (high - low) + swing[:, None] * across
        return [Shape("coil", points, size=spring.wire_mm, load_N=torque)]
    if isinstance(spring, Leaf):
        at, long = spring.bears_at_mm, spring.length_mm
        clear = float(bearing_height(np.array([spring.free_angle_deg * DEG]), at * MM, spring.arm_top_mm * MM)[0]) / MM
        lever = float(bearing_lever(np.array([angle]), at * MM, spring.arm_top_mm * MM)[0])
        lift = max(torque, 0.0) / max(lever, 1e-3) / spring.rate_N_per_m / MM
        t = np.linspace(0.0, 1.0, 15)
        line = np.stack([sign * (at - long * (1.0 - t)), clear + lift * (3.0 * t**2 - t**3) / 2.0], axis=1)
        height = spring.stack.height_m / MM
        outline, lines = _ribbon(line, height, spring.full_leaves + spring.graduated_leaves, spring.full_leaves)
        root = line[0]
        clamp = root + np.array([[-14.0, -6.0], [14.0, -6.0], [14.0, height + 6.0], [-14.0, height + 6.0]])
        return [Shape("leaf", outline, lines, load_N=torque), Shape("seat", clamp)]
    if isinstance(spring, RubberBlock):
        lower = ahead * spring.lever_mm
        along = 0.5 * spring.length_mm * ahead
        rest = spring.free_angle_deg * DEG
        upper = spring.lever_mm * np.array([sign * math.cos(rest), -math.sin(rest)])
        upper += (0.0, spring.thickness_mm)
        across = np.array([sign * 0.5 * spring.length_mm, 0.0])
        block = np.array([lower - along, lower + along, upper + across, upper - across])
        return [Shape("block", block, load_N=torque)]
    # A rate by itself has no shape: a spiral round the pivot stands for it.
    turns = np.linspace(0.0, 4.0 * math.pi, 40)
    r = 0.05 * arm + 0.19 * arm * turns / turns[-1]
    return [
        Shape(
            "plain",
            np.stack([r * np.cos(turns - sign * angle), r * np.sin(turns - sign * angle)], axis=1),
            load_N=torque,
        )
    ]


def bracket(parts: list[SwingPart], belly_mm: float) -> Points:
    """A plate that holds a bogie's pivots to the hull [mm, hull frame]."""
    xs, y = [p.pivot_x / MM for p in parts], parts[0].pivot_y / MM
    low, high = min(xs), max(xs)
    up = max(belly_mm, y + 20.0) + 22.0
    return np.array([[low - 20.0, y - 16.0], [high + 20.0, y - 16.0], [high + 42.0, up], [low - 42.0, up]])


def hull_outline(vehicle: Vehicle) -> Points:
    """The hull box on its belly line, its upper corners cut off a little for looks [mm]."""
    hull = vehicle.hull
    belly = np.array(hull.belly_mm)
    top, cut = hull.height_mm, 0.16 * hull.height_mm
    left, right = min(0.0, belly[0, 0]), max(hull.length_mm, belly[-1, 0])
    roof = np.array(
        [[right, top - 2.2 * cut], [right - 1.6 * cut, top], [left + 0.6 * cut, top], [left, top - 0.8 * cut]]
    )
    low = max(belly[0, 1], belly[-1, 1])
    roof = roof[roof[:, 1] > low]
    return np.concatenate([belly, roof])


def cut_below(points: Points, y: float) -> Points:
    """The part of a polygon above height y (Sutherland and Hodgman's clip on one line)."""
    out: list[Points] = []
    for a, b in zip(points, np.roll(points, -1, axis=0), strict=True):
        if a[1] >= y:
            out.append(a)
        if (a[1] - y) * (b[1] - y) < 0.0:
            out.append(a + (b - a) * ((y - a[1]) / (b[1] - a[1])))
    return np.array(out).reshape(-1, 2)
