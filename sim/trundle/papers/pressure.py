"""Ground pressure: even over the track's length, and as it peaks under the wheels."""

from __future__ import annotations

import math


def nominal_Pa(weight_N: float, width_m: float, length_m: float) -> float:
    """Weight over the area of both tracks, W / (2 b l) [Pa]. length_m: track on the ground."""
    return weight_N / (2.0 * width_m * length_m)


def mean_maximum_Pa(
    weight_N: float, wheels: int, width_m: float, pitch_m: float, diameter_m: float, link_share: float = 1.0
) -> float:
    """Mean of the peaks under the road wheels, 1.26 W / (2 n A b sqrt(p d)) [Pa] (Rowland 1972).

    wheels: stations on one track; link_share: share of a link's outline that is plate. An estimate by a
    formula fitted to heavy vehicles on soft ground; a light one is far outside what it was fitted to.
    """
    return 1.26 * weight_N / (2.0 * wheels * link_share * width_m * math.sqrt(pitch_m * diameter_m))
