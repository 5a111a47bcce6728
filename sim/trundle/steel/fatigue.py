"""A rough guide to endurance. Nothing here is a life prediction: surface, rust and nicks decide."""

from __future__ import annotations

import math

from trundle.steel.materials import Steel

SHEAR_SHARE = 1.0 / math.sqrt(3.0)
"""Endurance in shear over that in bending (distortion-energy rule)."""


def allowed_alternating(steel: Steel, mean_Pa: float, shear: bool = False) -> float:
    """Alternating stress that the steel may carry for ever at this mean [Pa], never below 0.

    A Goodman line (Shigley) through the steel's un-peened guide point (mean, alternating) and its tensile
    strength at no alternation; left of the guide point the alternating part is not raised. In shear all
    stresses are taken down by sqrt(3).
    """
    scale = SHEAR_SHARE if shear else 1.0
    tensile, mean0, alternating = (s * scale for s in (steel.tensile_Pa, steel.mean_Pa, steel.alternating_Pa))
    if mean_Pa <= mean0:
        return alternating
    return max(0.0, alternating * (tensile - mean_Pa) / (tensile - mean0))


def endurance_margin(steel: Steel, low_Pa: float, high_Pa: float, shear: bool = False, steady_Pa: float = 0.0) -> float:
    """Allowed over actual alternating stress, for a stress that swings from low to high; inf if it does not swing.

    steady_Pa: a stress that the piece carries for ever right beside the swing, as a clamp's edge has it. The mean is
    taken as that where it is higher: on the safe side, as within a thickness of the edge one goes over into the other.
    """
    alternating = abs(high_Pa - low_Pa) / 2.0
    if alternating == 0.0:
        return math.inf
    return allowed_alternating(steel, max((high_Pa + low_Pa) / 2.0, steady_Pa), shear) / alternating


def pin_alternating(tensile_Pa: float, diameter_m: float, threads: bool) -> float:
    """Alternating bending stress that a bolt's shank or thread may carry for ever [Pa]. A rough guide.

    Shank: 0.5 Rm of a polished bar times 0.7 for a bolt's surface. Thread rolled before heat treatment:
    0.85 (150 mm/d + 45) MPa whatever the class (VDI 2230-1; both from memory).
    """
    if threads:
        return 0.85 * (0.150 / diameter_m + 45.0) * 1e6
    return 0.35 * tensile_Pa


def pin_endurance(tensile_Pa: float, diameter_m: float, threads: bool, low_Pa: float, high_Pa: float) -> float:
    """Allowed over actual alternating stress of a bolt bent from low to high over and over; inf if it does not swing.

    Goodman line for the shank; a thread's figure holds at any mean below yield.
    """
    swing, mean = abs(high_Pa - low_Pa) / 2.0, (high_Pa + low_Pa) / 2.0
    if swing == 0.0:
        return math.inf
    allowed = pin_alternating(tensile_Pa, diameter_m, threads)
    if not threads:
        allowed *= max(0.0, 1.0 - mean / tensile_Pa)
    return allowed / swing
