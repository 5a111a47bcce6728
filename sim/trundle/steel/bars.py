"""Torsion bars: twist rate and stress."""

from __future__ import annotations

import math

from trundle.steel.materials import G_STEEL


def polar_moment(diameter_m: float, bore_m: float = 0.0) -> float:
    """J of a round bar or tube, pi (d^4 - b^4)/32 [m4]."""
    return math.pi * (diameter_m**4 - bore_m**4) / 32.0


def twist_rate(diameter_m: float, length_m: float, bore_m: float = 0.0, G_Pa: float = G_STEEL) -> float:
    """Torque per twist G J / L [N.m/rad] (Shigley; SAE HS-796)."""
    return G_Pa * polar_moment(diameter_m, bore_m) / length_m


def twist_stress(diameter_m: float, length_m: float, twist_rad: float, G_Pa: float = G_STEEL) -> float:
    """Shear stress at the surface, G d theta / 2L [Pa] (as above)."""
    return G_Pa * diameter_m * abs(twist_rad) / (2.0 * length_m)
