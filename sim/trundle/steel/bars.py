"""Torsion bars: twist rate, stress, and the wheel rate of an arm sprung by one."""

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


def arm_load(rate_Nm_per_rad: float, arm_m: float, angle_rad: float, free_rad: float) -> float:
    """Vertical load at the axle of an arm on a bar, k (free - angle)/(r cos angle) [N] (statics).

    Angles are below horizontal, positive down.
    """
    return rate_Nm_per_rad * (free_rad - angle_rad) / (arm_m * math.cos(angle_rad))


def arm_rate(rate_Nm_per_rad: float, arm_m: float, angle_rad: float, free_rad: float) -> float:
    """Load per vertical travel of the axle, k (1 - (free - angle) tan angle)/(r cos angle)^2 [N/m]."""
    lever = arm_m * math.cos(angle_rad)
    return rate_Nm_per_rad * (1.0 - (free_rad - angle_rad) * math.tan(angle_rad)) / lever**2
