"""Bending a leaf to a new radius cold: how far to overbend, what it does to the steel, a template."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from trundle.errors import InputError, Problem
from trundle.roots import bracketed
from trundle.steel.materials import E_STEEL, Steel
from trundle.units import MM

Floats = NDArray[np.float64]

HEAT_CAUTION = (
    "Bend cold, a little at a time, in a press with a guard. Red heat takes the temper out of spring steel: "
    "the leaf then stays where a load bends it, until it is hardened and tempered again. Never weld on it."
)
"""What a builder must know before heating a leaf."""


def springback_curvature(
    bent_per_m: float, thickness_m: float, yield_Pa: float, start_per_m: float = 0.0, E_Pa: float = E_STEEL
) -> float:
    """Curvature left after letting go of a flat strip bent from `start` to `bent` [1/m].

    Elastic, then perfectly plastic (no hardening): with D the change and X = Y/(E t D), the moment gives
    back D (3X - 4X^3), all of D while X >= 1/2. From flat this is Ri/Rf = 4X^3 - 3X + 1 with X = Ri Y/(E t)
    (sheet-forming handbooks). Radii are at the middle of the thickness; stress left from earlier
    bending is not known and taken as nil.
    """
    change = bent_per_m - start_per_m
    if change == 0.0:
        return bent_per_m
    x = yield_Pa / (E_Pa * thickness_m * abs(change))
    if x >= 0.5:
        return start_per_m
    return bent_per_m - change * (3.0 * x - 4.0 * x**3)


def former_radius(
    wanted_m: float, thickness_m: float, yield_Pa: float, start_m: float = math.inf, E_Pa: float = E_STEEL
) -> float:
    """Radius to bend to, so that the leaf springs back to `wanted_m` [m], at the middle of its thickness.

    start_m: radius it has now (inf: flat). A negative result means bending it the other way, past flat,
    as opening a leaf out can need. The former's own radius is half a thickness less.
    Raises InputError if a radius is not larger than half the thickness, or nothing is to be done.
    """
    for name, radius in (("wanted radius", wanted_m), ("present radius", start_m)):
        if not radius > thickness_m / 2.0:
            raise InputError(
                Problem(
                    f"a {name} of {radius / MM:g} mm is too tight for {thickness_m / MM:g} mm",
                    "free_radius_mm",
                    f"above {thickness_m / 2.0 / MM:g} mm",
                )
            )
    start, wanted = 1.0 / start_m, 1.0 / wanted_m
    change = abs(wanted - start)
    if change < 1e-12:
        raise InputError(Problem("the leaf has the wanted radius already", "free_radius_mm"))
    side = math.copysign(1.0, wanted - start)
    first_yield = 2.0 * yield_Pa / (E_Pa * thickness_m)

    def off(bend: float) -> float:
        return springback_curvature(side * bend, thickness_m, yield_Pa, 0.0, E_Pa) * side - change

    # The moment gives back at most 3Y/(E t) of curvature, so the root lies below wanted change + that.
    bend = bracketed(off, first_yield, change + 1.5 * first_yield + 1e-9)
    bent = start + side * bend
    return math.inf if bent == 0.0 else 1.0 / bent


def surface_strain(bent_m: float, thickness_m: float, start_m: float = math.inf) -> float:
    """Largest strain of the outer skin while bent, t/2 x change of curvature (1)."""
    return thickness_m / 2.0 * abs(1.0 / bent_m - 1.0 / start_m)


def minimum_radius(thickness_m: float, steel: Steel) -> float:
    """Radius below which cold bending risks a crack [m], at the middle of the thickness.

    Skin strain t/2R of half the elongation at break: a caution with a factor of two for nicks, rust pits
    and temper that is not known (rule of thumb, from memory), not a limit from a standard.
    """
    return thickness_m / steel.elongation


def template(length_m: float, radius_m: float, flat_m: float = 0.0, every_m: float = 0.05) -> Floats:
    """Ordinates of the wanted curve: rows (x, y) [m], shape (n, 2).

    flat_m: length in the middle that stays flat. x from the middle of the chord outwards at every `every_m` and, last,
    its end; y square to the chord, up to the middle of the leaf's thickness. Both halves are alike. Raises InputError
    if the curve closes on itself (over a half circle).
    """
    half = (length_m - flat_m) / (2.0 * radius_m)
    if half > math.pi / 2.0:
        raise InputError(
            Problem(
                f"a {length_m / MM:g} mm leaf at a radius of {radius_m / MM:g} mm is more than a half circle",
                "free_radius_mm",
                f"{length_m / math.pi / MM:.0f} mm or more",
            )
        )
    end = 0.5 * flat_m + radius_m * math.sin(half)
    x = np.arange(0.0, end, every_m)
    if end - x[-1] > 1e-9:
        x = np.append(x, end)
    out = np.maximum(x - 0.5 * flat_m, 0.0)
    return np.column_stack([x, np.sqrt(np.maximum(radius_m**2 - out**2, 0.0)) - radius_m * math.cos(half)])
