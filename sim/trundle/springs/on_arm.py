"""What the springs' sketches share: the arm that a spring works on, angles at its pivot, a law as a curve."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from trundle.fields.shape import Points, Shape, area, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Round, Sketch, Span, Turn
from trundle.fields.sketch_parts import arc, axle_direction_deg, polar, thin
from trundle.springs.answers import Pose
from trundle.springs.laws import Arm
from trundle.units import DEG, MM

STANDING_DEG = 20.0
"""An arm is drawn so far below level where nothing says how it stands."""

BAR_MM = 11.0
"""Half the height of an arm as drawn, mm."""

CURVE_MM = (160.0, 100.0)
"""Size of a law's curve on paper, mm."""


@dataclass(frozen=True)
class OnArm:
    """An arm from its pivot at the origin. sign: 1 if it points forward; angle_deg: below level."""

    arm_mm: float
    sign: float
    angle_deg: float
    wheel_mm: float
    pivot_mm: float = 0.0
    """Where its pivot lies, forward."""

    def along(self, at_mm: float, above_mm: float = 0.0) -> XY:
        """A place so far from the pivot towards the axle, and so far above that line, square to it."""
        foot = polar((self.pivot_mm, 0.0), at_mm, self.direction_deg(self.angle_deg))
        return polar(foot, above_mm, 90.0 - self.sign * self.angle_deg)

    def direction_deg(self, below_deg: float) -> float:
        """From the pivot towards an axle so far below level, anticlockwise from forward."""
        return axle_direction_deg(self.sign, below_deg)

    def shapes(self, top_mm: float = BAR_MM) -> tuple[Shape, ...]:
        """Bar, pivot, axle, and the wheel's outline. top_mm: its upper face above the line of pivot and axle."""
        low = min(-BAR_MM, top_mm - 2.0 * BAR_MM)
        ends = (-12.0, self.arm_mm + 12.0)
        bar = [self.along(ends[0], low), self.along(ends[1], low), self.along(ends[1], top_mm)]
        axle = self.along(self.arm_mm)
        return (
            area("steel", np.array([*bar, self.along(ends[0], top_mm)])),
            thin(arc(axle, self.wheel_mm, 0.0, 360.0).tolist()),
            disc("steel", self.pivot_mm, 0.0, 15.0),
            disc("hole", self.pivot_mm, 0.0, 7.0),
            disc("hole", *axle, 6.0),
        )

    def pose(self, torque_Nm: float = 0.0) -> Pose:
        """As a spring is asked how it looks."""
        return Pose((self.angle_deg * DEG,), (torque_Nm,), self.sign, self.arm_mm)

    @property
    def law_arm(self) -> Arm:
        """As a spring is asked for its figures."""
        angle = self.angle_deg * DEG
        return Arm(self.arm_mm * MM, angle - 0.5, angle + 0.5)

    def free(self, field: str, below_deg: float) -> tuple[tuple[Shape, ...], Turn]:
        """The angle at which a spring carries nothing: level, the arm's line there, and the turn between them."""
        pivot, level, there = (self.pivot_mm, 0.0), self.direction_deg(0.0), self.direction_deg(below_deg)
        lines = (
            thin((pivot, polar(pivot, 1.15 * self.arm_mm, level))),
            thin((pivot, polar(pivot, 1.3 * self.arm_mm, there))),
        )
        return lines, Turn(field, pivot, 1.1 * self.arm_mm, level, there)


def on_arm(around: Around, otherwise_deg: float = STANDING_DEG) -> OnArm:
    """The arm as it is said to stand; with nothing said, at `otherwise_deg` below level."""
    angle = otherwise_deg if around.arm_deg is None else around.arm_deg
    return OnArm(around.arm_mm, around.sign, angle, around.wheel_radius_mm)


def in_hull(sketch: Sketch, around: Around) -> Sketch:
    """A sketch that was drawn about the pivot (of two arms: the middle between them), where that lies in the hull; as
    it is where nothing says where that is."""
    if around.at_mm == Around().at_mm:
        return sketch
    return replace(
        sketch,
        shapes=tuple(s.moved(0.0, np.array(around.at_mm)) for s in sketch.shapes),
        marks=tuple(_moved(m, around.at_mm) for m in sketch.marks),
        in_hull=True,
    )


def _moved(mark: Mark, by: XY) -> Mark:
    def to(at: XY) -> XY:
        return at[0] + by[0], at[1] + by[1]

    match mark:
        case Span():
            return replace(mark, a=to(mark.a), b=to(mark.b))
        case Round() | Turn():
            return replace(mark, centre=to(mark.centre))
        case Note():
            return replace(mark, at=to(mark.at))


def above_free(free_deg: float) -> float:
    """An arm angle at which a spring that is loose at `free_deg` below level carries something."""
    return max(min(STANDING_DEG, free_deg - 15.0), -60.0)


@dataclass(frozen=True, eq=False)
class Curve:
    """A law drawn as a curve on axes through its zero: right, and up."""

    x: Points
    y: Points

    def at(self, x: float, y: float) -> XY:
        """A place on the paper."""
        return self._scaled(x, self.x, CURVE_MM[0]), self._scaled(y, self.y, CURVE_MM[1])

    def on(self, share: float) -> XY:
        """A place on the curve, at this share of its way along."""
        x = float(self.x[0] + share * (self.x[-1] - self.x[0]))
        return self.at(x, float(np.interp(x, self.x, self.y)))

    def shapes(self) -> tuple[Shape, ...]:
        """Both axes with their arrows, and the curve."""
        points = [self.at(float(x), float(y)) for x, y in zip(self.x, self.y, strict=True)]
        right, up = self._axis(self.x, CURVE_MM[0]), self._axis(self.y, CURVE_MM[1])
        return (
            thin(((right[0], 0.0), (right[1], 0.0))),
            thin(((right[1] - 5.0, 2.0), (right[1], 0.0), (right[1] - 5.0, -2.0))),
            thin(((0.0, up[0]), (0.0, up[1]))),
            thin(((-2.0, up[1] - 5.0), (0.0, up[1]), (2.0, up[1] - 5.0))),
            line("spring", np.array(points), 1.2),
        )

    @staticmethod
    def _scaled(value: float, of: Points, size: float) -> float:
        low, high = min(float(of.min()), 0.0), max(float(of.max()), 0.0)
        return size * value / (high - low) if high > low else 0.0

    def _axis(self, of: Points, size: float) -> XY:
        low, high = (self._scaled(v, of, size) for v in (min(float(of.min()), 0.0), max(float(of.max()), 0.0)))
        return low - 8.0, high + 10.0


def section(across_mm: float, high_mm: float, count: int = 1, gap_mm: float = 0.0) -> tuple[Shape, ...]:
    """Rectangles cut through, one on another from the origin's level up, about the middle."""
    half = 0.5 * across_mm
    corners = np.array([[-half, 0.0], [half, 0.0], [half, high_mm], [-half, high_mm]])
    return tuple(area("spring", corners + np.array([0.0, k * (high_mm + gap_mm)])) for k in range(count))
