"""What a spring is asked for its doubts, and those that kinds share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True)
class On:
    """What it is on: arm [mm], load at one arm's axle [N], a pair's pivots apart [mm], the hull's width [mm]."""

    arm_mm: float
    load_N: float
    apart_mm: float
    hull_wide_mm: float


Doubts = Iterator[tuple[str, str]]
"""Field, and what looks wrong about it."""

FIRM_MM, LIMP_MM = 3.0, 300.0
"""Axle travel by which the load alone presses a spring of constant rate: sqrt(g / x) / 2 pi is 9 Hz and 0.9 Hz."""


def rate(field: str, axle_N_per_mm: float, on: On) -> Doubts:
    """Of a rate felt at the axle."""
    gives = on.load_N / axle_N_per_mm
    if not FIRM_MM < gives < LIMP_MM:
        yield (
            field,
            f"about {on.load_N:.0f} N on one arm press it by {gives:.3g} mm at the axle, where 15 to 80 is usual: the "
            "field's own unit, and one side's spring?",
        )


def leaf(width_mm: float, thickness_mm: float) -> Doubts:
    """Of one leaf of a stack."""
    if width_mm < 2.0 * thickness_mm:
        yield "width_mm", f"a leaf {width_mm:g} mm wide and {thickness_mm:g} mm thick: thickness_mm is that of one leaf"
    if width_mm < 2.0 * thickness_mm or thickness_mm > 12.0 or thickness_mm < 0.5:
        yield "thickness_mm", f"a leaf {thickness_mm:g} mm thick: that of one leaf, not of the stack, and mm?"
