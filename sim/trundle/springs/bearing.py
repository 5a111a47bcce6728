"""Where a leaf bears on an arm, and small helpers shared by the spring kinds."""

from __future__ import annotations

import numpy as np

from trundle.errors import InputError, Problem
from trundle.springs.answers import Push
from trundle.springs.laws import Arm, Floats

SLIDES_OFF = "the arm's top is so high that the leaf's end would slide past the pivot"

STEEPEST_RAD = float(np.radians(80.0))
"""Geometry with the bearing at a constant horizontal distance is used up to this arm angle [rad]."""


def refuse(problem: str, field: str = "", allowed: str = "") -> InputError:
    """The error for a spring that cannot work on its arm."""
    return InputError(Problem(problem, field, allowed))


def check_swing(arm: Arm) -> None:
    """Raises InputError if the arm swings past 80 deg: a constant bearing distance makes no sense there."""
    worst = max(abs(arm.highest_rad), abs(arm.lowest_rad))
    if worst >= STEEPEST_RAD:
        raise refuse(
            f"the arm swings to {np.degrees(worst):.0f} deg; this spring kind works to 80 deg",
            allowed="stops closer to horizontal",
        )


def bearing_height(angle_rad: Floats, bearing_m: float, top_m: float) -> Floats:
    """Height over the pivot of the arm's top at a constant horizontal distance [m], shape of `angle_rad`.

    -b tan(angle) + e / cos(angle): the top lies e above the pivot-axle line.
    """
    return np.asarray(-bearing_m * np.tan(angle_rad) + top_m / np.cos(angle_rad))


def bearing_lever(angle_rad: Floats, bearing_m: float, top_m: float) -> Floats:
    """-d(bearing_height)/d(angle) [m/rad]: what a vertical force there has for a lever about the pivot."""
    cos = np.cos(angle_rad)
    return np.asarray((bearing_m - top_m * np.sin(angle_rad)) / cos**2)


def slides_on(angle_rad: Floats, bearing_m: float, top_m: float) -> Push:
    """How an end pushes that slides on the arm's top: square to it, b / cos(angle) - e tan(angle) along it."""
    at = np.asarray(bearing_m / np.cos(angle_rad) - top_m * np.tan(angle_rad))
    return Push(at, np.zeros_like(at), -1.0 / at)
