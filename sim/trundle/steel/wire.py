"""Drawn wire for cold coiled springs: its strength falls with its diameter, so it is no row in the table of steels.

Tensile strength: the straight lines over log10(d) that the tables of EN 10270-1 are rounded from; allowed shear of a
cold coiled spring under a load that stands: 0.56 of it, EN 13906-1. Both from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.steel.materials import Steel
from trundle.units import MM, MPA

SHEAR_SHARE = 0.56
"""Allowed shear stress of a cold coiled spring over the wire's tensile strength (EN 13906-1, from memory)."""


@dataclass(frozen=True)
class _Grade:
    """Tensile strength at 1 mm, what a tenfold diameter takes off it [MPa], and the diameters that are drawn [mm]."""

    at_one_MPa: float
    less_MPa: float
    thinnest_mm: float
    thickest_mm: float


_GRADES = {
    "EN 10270-1 SL": _Grade(1720.0, 660.0, 1.0, 10.0),
    "EN 10270-1 SM": _Grade(1980.0, 740.0, 0.3, 20.0),
    "EN 10270-1 SH": _Grade(2220.0, 820.0, 0.3, 20.0),
}

WIRES = tuple(_GRADES)
"""Names of drawn wires, each stronger than the one before."""


def tensile_Pa(name: str, diameter_m: float) -> float:
    """Least tensile strength of a drawn wire [Pa]. Raises InputError on a diameter that is not drawn."""
    of, d = _GRADES[name], diameter_m / MM
    if not of.thinnest_mm <= d <= of.thickest_mm:
        raise InputError(
            Problem(
                f"{name} is not drawn to {d:g} mm",
                "wire_mm",
                f"{of.thinnest_mm:g} to {of.thickest_mm:g} mm, or another steel",
            )
        )
    return (of.at_one_MPa - of.less_MPa * math.log10(d)) * MPA


def drawn_wire(name: str, diameter_m: float) -> Steel:
    """A drawn wire of a diameter as a steel. Its yield is such that its shear yield is the allowed shear stress.

    Its endurance is that of the hardest spring steels here, un-peened: surface governs. Raises InputError.
    """
    strength = tensile_Pa(name, diameter_m)
    return Steel(
        name,
        "drawn, cold coiled",
        SHEAR_SHARE * strength * math.sqrt(3.0),
        strength,
        500e6,
        250e6,
        0.06,
        f"EN 10270-1: at least {strength / MPA:.0f} MPa at {diameter_m / MM:g} mm; allowed in shear 0.56 of it, "
        "EN 13906-1; both from memory",
    )
