"""Rubber blocks from hardness and size. Estimates: two batches of one hardness differ by 10 % and more."""

from __future__ import annotations

import math

import numpy as np

from trundle.errors import InputError, Problem

DENSITY = 1150.0
"""Density of filled natural rubber [kg/m3] (from memory: 1100 to 1200)."""

BULK_PA = 1200e6
"""Bulk modulus of filled rubber, middle of 1000 to 1300 MPa [Pa] (from memory)."""

# Hardness IRHD: Young's modulus E0 [MPa], shear modulus G [MPa], compression factor k.
# E0 and k at 65 and 75: Gent & Lindley (1959) as quoted in a public paper; the rest: Lindley's table,
# from memory.
_TABLE = np.array(
    [
        [30, 0.92, 0.30, 0.93],
        [40, 1.50, 0.45, 0.85],
        [50, 2.20, 0.64, 0.73],
        [60, 4.45, 1.06, 0.57],
        [65, 5.72, 1.37, 0.54],
        [70, 7.35, 1.73, 0.53],
        [75, 9.24, 2.22, 0.52],
    ]
)
HARDNESS_RANGE = (float(_TABLE[0, 0]), float(_TABLE[-1, 0]))
"""Hardness that the table covers, IRHD (about the same number as Shore A)."""


def moduli(hardness_irhd: float) -> tuple[float, float, float]:
    """(E0 [Pa], G [Pa], k) at this hardness, linear between rows. Raises InputError outside the table."""
    low, high = HARDNESS_RANGE
    if not low <= hardness_irhd <= high:
        raise InputError(Problem(f"hardness {hardness_irhd:g} is not tabled", "hardness_irhd", f"{low:g} to {high:g}"))
    e0, g, k = (float(np.interp(hardness_irhd, _TABLE[:, 0], _TABLE[:, i])) for i in (1, 2, 3))
    return e0 * 1e6, g * 1e6, k


def disc_shape(diameter_m: float, thickness_m: float) -> float:
    """Shape factor of a disc, loaded over free area: D/4t."""
    return diameter_m / (4.0 * thickness_m)


def block_shape(width_m: float, length_m: float, thickness_m: float) -> float:
    """Shape factor of a rectangular block, w l / 2 t (w + l)."""
    return width_m * length_m / (2.0 * thickness_m * (width_m + length_m))


def compression_modulus(e0_Pa: float, k: float, shape: float, bulk_Pa: float = math.inf) -> float:
    """Modulus of a bonded block, E0 (1 + 2 k S^2), with 1/E = 1/Ec + 1/B [Pa] (Gent & Lindley 1959)."""
    ec = e0_Pa * (1.0 + 2.0 * k * shape**2)
    return 1.0 / (1.0 / ec + 1.0 / bulk_Pa)


def compression_rate(modulus_Pa: float, area_m2: float, thickness_m: float) -> float:
    """Load per compression at small strain, Ec A / t [N/m]."""
    return modulus_Pa * area_m2 / thickness_m


def shear_rate(shear_Pa: float, area_m2: float, thickness_m: float) -> float:
    """Load per sideways shift of a bonded block, G A / t [N/m]; good to a shift of about t/2."""
    return shear_Pa * area_m2 / thickness_m
