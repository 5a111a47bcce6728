"""Parked on a slope: what the brake, the grip and its own balance hold."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from trundle.handling.grounds import Ground

Gives = Literal["brake", "grip", "tips"]


@dataclass(frozen=True)
class Held:
    """The steepest slope that it is held on [rad], and what gives first."""

    slope_rad: float
    gives: Gives


def held(ground: Ground, brake_N: float, weight_N: float, tips_rad: float) -> Held:
    """Up or down a slope by its brake alone: least of asin(brake / weight), atan(grip) and where it tips (statics)."""
    angles: dict[Gives, float] = {
        "tips": tips_rad,
        "brake": math.asin(min(1.0, brake_N / weight_N)),
        "grip": slides_rad(ground.grip),
    }
    gives = min(angles, key=lambda k: angles[k])
    return Held(angles[gives], gives)


def slides_rad(friction: float) -> float:
    """Slope on which it slides, whatever holds its wheels [rad]: atan(friction)."""
    return math.atan(friction)


def turn_m_s(radius_m: float, share: float, g_m_s2: float) -> float:
    """Speed in a turn at which what throws it outwards comes to a share of its weight [m/s]: v^2 / R = share g; to tip
    that is the tangent of the side slope on which it tips, to slide the friction."""
    return math.sqrt(share * g_m_s2 * radius_m)
