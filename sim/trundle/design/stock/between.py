"""What stock has in common that pushes between a seat on the arm and one on the hull: where its two seats go."""

from __future__ import annotations

import math

from trundle.design.stock.base import Place

NEAREST, FURTHEST = 0.22, 0.92
"""Where along the arm a lower seat may be, as shares of pivot to axle."""


def seat_for(rate_N_per_mm: float, place: Place) -> float:
    """Pivot to lower seat [mm] at which a spring of this rate has the wanted one at the axle: rate x (a/r)^2."""
    lever = math.sqrt(place.rate_N_per_mm / rate_N_per_mm)
    return round(min(max(lever, NEAREST), FURTHEST) * place.arm_mm)


def anchor(on_arm_mm: float, above_mm: float, long_mm: float, stands_rad: float) -> tuple[float, float]:
    """Upper seat from the pivot [towards the axle, up, mm]: square to the standing arm, `long_mm` over the lower."""
    c, s = math.cos(stands_rad), math.sin(stands_rad)
    up = above_mm + long_mm
    return round(on_arm_mm * c + up * s, 1), round(-on_arm_mm * s + up * c, 1)


def above(place: Place) -> float:
    """Height of a lower seat over the line from pivot to axle [mm]."""
    return place.top_mm
