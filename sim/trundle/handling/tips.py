"""When a standing vehicle tips over: stiff, and with the give of its springs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from trundle.handling.support import Lift, Pose, Support
from trundle.model.arrays import Floats
from trundle.units import DEG

Towards = Literal["side", "tail", "nose"]
"""Over what it tips."""

MOST_DEG = 40.0
"""Its springs never let it pitch further than this on its slope."""

_STEP_DEG = 0.5

_NEAR_DEG = 0.3
"""The slope is known to this, where its sine and cosine are."""

_OVER_DEG = 0.5
"""Where the slope that holds it has fallen by so much again it goes over: what it may come to rest on after that, as on
the sprocket behind it, does not stop what has begun to turn."""


@dataclass(frozen=True)
class Masses:
    """Where the mass is, the vehicle standing on level ground.

    weight_N: of all of it; high_m: its centre over the ground; ahead_m: that along the hull, the tail at 0; first_m,
    last_m: foremost and hindmost wheel on the ground, the same; hull_kg: what the springs carry; low_kg, low_high_m:
    the rest, and its centre over the ground.
    """

    weight_N: float
    high_m: float
    ahead_m: float
    first_m: float
    last_m: float
    hull_kg: float
    low_kg: float
    low_high_m: float

    @property
    def mass_kg(self) -> float:
        """All of it [kg]."""
        return self.hull_kg + self.low_kg


@dataclass(frozen=True)
class Moved:
    """By how much the centre of all mass lies off its place [m]: to the downhill side, forward, up."""

    aside_m: float = 0.0
    ahead_m: float = 0.0
    up_m: float = 0.0


@dataclass(frozen=True)
class Tips:
    """A slope at which it tips [rad]: with springs and tyres that give, and as a stiff block; roll_rad: how far the
    hull has leaned over on its springs by then. edge_rad: of a side slope, with springs, about the outer edge of the
    track or tyre; nan for the others."""

    sprung_rad: float
    stiff_rad: float
    roll_rad: float
    edge_rad: float = math.nan


def stiff_rad(reach_m: float, high_m: float) -> float:
    """Slope at which a block tips [rad]: atan(reach / height), reach: level, from the centre of mass to the line that
    it tips about."""
    return math.atan2(reach_m, high_m)


def tips_sideways(masses: Masses, lift: Lift, gauge_m: float, wide_m: float, moved: Moved) -> Tips:
    """Across a slope, about the middle of the lower track. wide_m: of a track, or of a station's wheels.

    Both sides' springs as they are when both carry alike (their pitch kept); the hull leans about the line through both
    sides' middles on the ground, which the arms do not let it leave. From standing on, ever more of the weight is taken
    off the upper side: the slope at which that just balances rises until it tips; the steepest is told, and the rest is
    what springs have taken away. A side's springs push along the hull's own upright: what its ground presses with,
    turned by the lean, and on the lower side less what friction holds it on the slope with, all of it there (as it is
    when the other side lifts; the safe side).
    """
    half = 0.5 * gauge_m
    stiff = stiff_rad(half - moved.aside_m, masses.high_m + moved.up_m)
    share = np.linspace(0.5, 0.0, 101)
    slope, lean = np.full_like(share, stiff), np.zeros_like(share)
    for _ in range(40):
        pressed = masses.weight_N * np.cos(slope) * np.cos(lean)
        held = masses.weight_N * np.sin(slope) * np.sin(lean)
        upper, lower = lift.height_m(2.0 * share * pressed), lift.height_m(2.0 * ((1.0 - share) * pressed - held))
        back, high, apart = _leaned(masses, gauge_m, upper, lower, moved)
        after, lean = np.arctan2(back - share * apart, high), np.arctan2(upper - lower, gauge_m)
        if float(np.abs(after - slope).max()) < 1e-9:
            break
        slope = after
    worst = int(np.argmax(slope))
    edge = math.atan2(float(back[-1]) + 0.5 * wide_m, float(high[-1]))
    return Tips(float(slope[worst]), stiff, float(lean[worst]), edge)


def _leaned(
    masses: Masses, gauge_m: float, upper_m: Floats, lower_m: Floats, moved: Moved
) -> tuple[Floats, Floats, Floats]:
    """The centre of mass back from the lower side's middle, and over the ground's line, and how far both sides' middles
    are apart on it [m]. upper_m, lower_m: height of the hull's centre of mass over each side's ground, along the hull's
    own upright.

    In the hull's axes, its centre of mass the origin, x to the lower side: the sides stand at (-+B/2, -height).
    """
    half, lean = 0.5 * gauge_m, upper_m - lower_m
    apart = np.hypot(gauge_m, lean)
    cos, sin = gauge_m / apart, lean / apart
    # The masses: hull at the origin (raised by what was moved), half of what is below with each side.
    low, all_kg = masses.low_kg, masses.mass_kg
    x = moved.aside_m * np.ones_like(lean)
    y = moved.up_m + low * (masses.low_high_m - 0.5 * (upper_m + lower_m)) / all_kg
    along = (half - x) * cos - (y + lower_m) * sin
    over = (half - x) * sin + (y + lower_m) * cos
    return along, over, apart


@dataclass(frozen=True)
class Swept:
    """Poses pitched further and further from how it stands, towards its tail or its nose. pitch_rad: from there on."""

    towards: Towards
    pitch_rad: tuple[float, ...]
    poses: tuple[Pose, ...]


def swept(support: Support, weight_N: float, towards: Towards) -> Swept:
    """At each pitch it is as high as its springs, tyres and track carry what the slope leaves of its weight, until it
    goes over."""
    sign = 1.0 if towards == "tail" else -1.0
    support.again()
    pitches: list[float] = []
    poses: list[Pose] = []
    best, slope = -math.inf, 0.0
    for k in range(round(MOST_DEG / _STEP_DEG)):
        pitch = sign * k * _STEP_DEG * DEG
        pose = None
        for _ in range(4):  # what it carries and the slope follow from each other
            pose = support.carrying(weight_N * math.cos(slope), float(support.at.q[2]) + pitch)
            if pose is None:
                break
            before, slope = slope, sign * _slope_rad(pose, pitch, Moved())
            if abs(slope - before) < _NEAR_DEG * DEG:
                break
        if pose is None:
            break
        pitches.append(pitch)
        poses.append(pose)
        best = max(best, slope)
        if slope < best - _OVER_DEG * DEG:
            break
    return Swept(towards, tuple(pitches), tuple(poses))


def tips_lengthwise(masses: Masses, towards: Towards, moved: Moved, poses: Swept | None = None) -> Tips:
    """On a slope with its nose up (it tips over its tail) or its tail up; stiff: about its last, or first, wheel.

    poses: with springs: at each pitch the slope is the one on which its centre of mass stands over what bears it, and
    the steepest is told. Without them nan is. A mass moved is taken to move no spring.
    """
    reach = masses.ahead_m + moved.ahead_m - masses.last_m
    if towards == "nose":
        reach = masses.first_m - masses.ahead_m - moved.ahead_m
    stiff = stiff_rad(reach, masses.high_m + moved.up_m)
    if poses is None or not poses.poses:
        return Tips(math.nan, stiff, math.nan)
    sign = 1.0 if towards == "tail" else -1.0
    slopes = [sign * _slope_rad(p, at, moved) for p, at in zip(poses.poses, poses.pitch_rad, strict=True)]
    worst = int(np.argmax(slopes))
    return Tips(slopes[worst], stiff, abs(poses.pitch_rad[worst]))


def _slope_rad(pose: Pose, pitch_rad: float, moved: Moved) -> float:
    """Slope, nose up, on which a pose is at rest: its centre of mass over what bears it, upright [rad]."""
    cos, sin = math.cos(pitch_rad), math.sin(pitch_rad)
    x = pose.mass_m + moved.ahead_m * cos - moved.up_m * sin
    y = pose.high_m + moved.ahead_m * sin + moved.up_m * cos
    return math.atan2(x - pose.borne_m, y)
