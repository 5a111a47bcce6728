"""Helical coil springs of round wire."""

from __future__ import annotations

import math

from trundle.steel.materials import G_STEEL

STEEL_DENSITY = 7850.0
"""Density of steel [kg/m3]."""


def rate(wire_m: float, mean_m: float, active: float, G_Pa: float = G_STEEL) -> float:
    """Load per compression, G d^4 / 8 D^3 n [N/m] (Wahl; Shigley)."""
    return G_Pa * wire_m**4 / (8.0 * mean_m**3 * active)


def wahl_factor(index: float) -> float:
    """Wahl's factor (4C - 1)/(4C - 4) + 0.615/C for index C = D/d: curvature and direct shear."""
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def stress(wire_m: float, mean_m: float, load_N: float) -> float:
    """Shear stress at the inside of the coil, Kw 8 F D / pi d^3 [Pa] (Wahl)."""
    return wahl_factor(mean_m / wire_m) * 8.0 * load_N * mean_m / (math.pi * wire_m**3)


def solid_length(wire_m: float, active: float, end_coils: float = 2.0) -> float:
    """Length with every coil touching, (active + end coils) d [m]: ends squared and ground."""
    return (active + end_coils) * wire_m


def mass_kg(wire_m: float, mean_m: float, turns: float, length_m: float) -> float:
    """Mass of a coil from the length of its wire, a helix of so many turns over its length [kg]."""
    wire = math.hypot(math.pi * mean_m * turns, length_m)
    return STEEL_DENSITY * math.pi / 4.0 * wire_m**2 * wire


def slender_limit(mean_m: float, end_factor: float = 0.707) -> float:
    """Free length above which a steel coil can buckle, 2.63 D / end_factor [m] (Shigley, from memory).

    end_factor: 0.5 both seats held flat, 0.707 one flat and one that tilts, 1 both tilt.
    """
    return 2.63 * mean_m / end_factor
