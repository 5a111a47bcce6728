"""A rough guide to endurance. Nothing here is a life prediction: surface, rust and nicks decide."""

from __future__ import annotations

import math

from sim.steel.materials import Steel

SHEAR_SHARE = 1.0 / math.sqrt(3.0)
"""Endurance in shear over that in bending (distortion-energy rule)."""


def allowed_alternating(steel: Steel, mean_Pa: float, shear: bool = False) -> float:
    """Alternating stress that the steel may carry for long at this mean [Pa], never below 0.

    A Goodman line (Shigley) through the steel's un-peened guide point (mean, alternating) and its tensile
    strength at no alternation; left of the guide point the alternating part is not raised. In shear all
    stresses are taken down by sqrt(3).
    """
    scale = SHEAR_SHARE if shear else 1.0
    tensile, mean0, alternating = (s * scale for s in (steel.tensile_Pa, steel.mean_Pa, steel.alternating_Pa))
    if mean_Pa <= mean0:
        return alternating
    return max(0.0, alternating * (tensile - mean_Pa) / (tensile - mean0))


def endurance_margin(steel: Steel, low_Pa: float, high_Pa: float, shear: bool = False) -> float:
    """Allowed over actual alternating stress, for a stress that swings from low to high; inf if it stands."""
    alternating = abs(high_Pa - low_Pa) / 2.0
    if alternating == 0.0:
        return math.inf
    return allowed_alternating(steel, (high_Pa + low_Pa) / 2.0, shear) / alternating
