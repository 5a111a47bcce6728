"""The sign of first angle projection (ISO 5456-2): a cone's frustum from the side, and what is seen from its left."""

from __future__ import annotations

from itertools import pairwise

from trundle.drawing.marks import Circle, Line, Mark
from trundle.plans.ink import chain_line

SYMBOL_MM = 9.0
"""Half of its width, with some air."""

SMALL_MM, LARGE_MM, LONG_MM = 2.6, 5.2, 5.2
"""Diameters of the frustum's ends, twice as large and as long as the small one is across."""


def first_angle(x: float, y: float) -> list[Mark]:
    """About a place on paper [mm]: the frustum on the left, small end outwards, its circles on the right."""
    apart = 1.6
    left = x - LONG_MM - 0.5 * apart
    right = x + 0.5 * apart + 0.5 * LARGE_MM
    small, large = 0.5 * SMALL_MM, 0.5 * LARGE_MM
    corners = [
        (left, y - small),
        (left + LONG_MM, y - large),
        (left + LONG_MM, y + large),
        (left, y + small),
        (left, y - small),
    ]
    found: list[Mark] = [Line(*a, *b, "cut") for a, b in pairwise(corners)]
    found += [Circle(right, y, r, "cut") for r in (small, large)]
    found += chain_line((left - 1.0, y), (left + LONG_MM + 0.6, y))
    found += chain_line((right - large - 0.8, y), (right + large + 0.8, y))
    found += chain_line((right, y - large - 0.8), (right, y + large + 0.8))
    return found
