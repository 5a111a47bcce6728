"""What a spring is asked about its place among arm, plates and wheels, and what kinds share of the answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.springs.laws import Mount

BESIDE_MM = 1.0
"""Room that a spring keeps on each side (common practice, no source)."""


@dataclass(frozen=True)
class Beside:
    """What stands about it; None: the file does not say. mount: its arms between their stops. arm_top_mm: the arm's
    upper face above the line of pivot and axle. arm_end_mm: axle to the arm's end. plates_mm: between a bracket's
    plates. tyres_mm: between the wheels of a station. tyre_radius_mm: of each."""

    mount: Mount
    arm_top_mm: float | None
    arm_end_mm: float | None
    plates_mm: float | None
    tyres_mm: float | None
    tyre_radius_mm: float


Misfits = Iterator[tuple[str, str, str]]
"""Field (of the spring, or "axle." and one of the axle's), what is wrong in mm, what would do."""


def between_tyres(what: str, wide_mm: float, beside: Beside) -> Misfits:
    """Of something so wide [mm] that comes down on an arm between its wheels."""
    if beside.tyres_mm is not None and wide_mm + 2.0 * BESIDE_MM > beside.tyres_mm + 0.05:
        need = wide_mm + 2.0 * BESIDE_MM
        yield (
            "axle.wheels_apart_mm",
            f"{what}, {wide_mm:g} wide, comes down between wheels {beside.tyres_mm:g} apart",
            f"{need:g} or more",
        )
