"""Overall dimensions of a vehicle as it stands, from its file and its pose: closed forms, in the hull's axes.

Lengths in mm, angles in degrees. ISO 612 has the terms for road vehicles: here the track's ground face stands in the
place of the tyre's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.elevation.pose import Pose
from trundle.fields.sketch import XY
from trundle.spec.vehicle import Vehicle

Ring = tuple[float, float, float]
"""x, y, radius to the ground face [mm, hull axes]; of a point 0."""


@dataclass(frozen=True)
class Ramp:
    """A line from the outermost wheel's ring up to what would strike first ahead of it (or behind). deg: over the
    ground; foot: where it begins, at touch: where it ends, both in the hull's axes [mm]; corner: where it meets the
    ground; what: what it meets."""

    deg: float
    foot: XY
    touch: XY
    corner: XY
    what: str


@dataclass(frozen=True)
class Measures:
    """left, right: rearmost and foremost place along the hull; highest: the highest place over the ground, its foot on
    the ground, and how far that is; clearance: the same of the belly's lowest; wheelbase: first to last axle, along the
    hull; front, rear: approach and departure."""

    left: XY
    right: XY
    highest: tuple[XY, XY, float]
    clearance: tuple[XY, XY, float]
    first_axle: XY
    last_axle: XY
    front: Ramp
    rear: Ramp

    @property
    def length_mm(self) -> float:
        """Overall, along the hull."""
        return self.right[0] - self.left[0]

    @property
    def wheelbase_mm(self) -> float:
        """First to last axle, along the hull."""
        return self.first_axle[0] - self.last_axle[0]


def measures(vehicle: Vehicle, pose: Pose) -> Measures:
    """Of the vehicle in this pose."""
    hull = vehicle.hull
    thick = vehicle.track.thickness_mm if vehicle.track is not None else 0.0
    wheels = [(w.x, w.y, w.radius + thick) for w in pose.wheels]
    ends = [(e.name, (e.x, e.y, e.radius + thick)) for e in pose.ends]
    belly = hull.belly_mm
    corners = [(belly[0][0], hull.height_mm), (belly[-1][0], hull.height_mm)]
    rings = [*wheels, *(r for _, r in ends)]
    points = [*belly, *corners]
    left = min([(x - r, y) for x, y, r in rings] + points)
    right = max([(x + r, y) for x, y, r in rings] + points)
    top = max([*corners, *((e[1][0], e[1][1] + e[1][2]) for e in ends)], key=lambda p: pose.on_ground(*p)[1])
    low = min(belly, key=lambda p: pose.on_ground(*p)[1])
    first, last = wheels[0], wheels[-1]
    named: list[tuple[str, Ring]] = [*((f"the track at the {n}", r) for n, r in ends)]
    named += [("the hull", (x, y, 0.0)) for x, y in points]
    return Measures(
        left,
        right,
        (top, _foot(pose, top), pose.on_ground(*top)[1]),
        (low, _foot(pose, low), pose.on_ground(*low)[1]),
        (first[0], first[1]),
        (last[0], last[1]),
        _ramp(pose, first, [(n, r) for n, r in named if r[0] > first[0]], 1.0),
        _ramp(pose, last, [(n, r) for n, r in named if r[0] < last[0]], -1.0),
    )


def _foot(pose: Pose, at: XY) -> XY:
    """Where a line square to the ground from a place meets it."""
    return off_ground(pose, pose.on_ground(*at)[0], 0.0)


def off_ground(pose: Pose, along_mm: float, up_mm: float) -> XY:
    """The place in the hull of one that is so far along the level ground and so high over it."""
    c, s = math.cos(pose.pitch_rad), math.sin(pose.pitch_rad)
    y = up_mm - pose.ground_mm
    return c * along_mm + s * y, -s * along_mm + c * y


def _ramp(pose: Pose, wheel: Ring, ahead: list[tuple[str, Ring]], sign: float) -> Ramp:
    """The flattest common tangent under the wheel's ring and anything beyond it, seen with the ground level."""
    best: Ramp | None = None
    wx, wy = pose.on_ground(wheel[0], wheel[1])
    wx, wr = sign * wx, wheel[2]
    for what, (hx, hy, r) in ahead:
        x, y = pose.on_ground(hx, hy)
        dx, dy = sign * x - wx, y - wy
        gap = math.hypot(dx, dy)
        if gap <= abs(r - wr):
            continue
        slope = math.atan2(dy, dx) - math.asin((r - wr) / gap)
        nx, ny = math.sin(slope), -math.cos(slope)
        foot = wx + wr * nx, wy + wr * ny
        touch = sign * x + r * nx, y + r * ny
        if best is None or math.degrees(slope) < best.deg:
            corner = foot[0] - foot[1] / math.tan(slope) if abs(slope) > 1e-9 else foot[0]
            a, b, c = (off_ground(pose, sign * px, py) for px, py in (foot, touch, (corner, 0.0)))
            best = Ramp(math.degrees(slope), a, b, c, what)
    if best is None:  # nothing lies ahead of the wheel
        at = off_ground(pose, sign * (wx + wr), wy)
        base = off_ground(pose, sign * wx, 0.0)
        return Ramp(90.0, at, at, base, "nothing")
    return best
