"""Fillet weld round a sleeve or stub: a first estimate of the throat."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trundle.steel.materials import Steel

GAMMA_M2 = 1.25
"""Partial factor of EN 1993-1-8 (recommended value)."""


def correlation_factor(steel: Steel) -> float:
    """beta_w of EN 1993-1-8 table 4.1 by tensile strength: S235 0.8, S275 0.85, S355 0.9 (from memory)."""
    tensile = steel.tensile_Pa / 1e6
    return 0.8 if tensile < 400 else 0.85 if tensile < 450 else 0.9


def weld_strength(steel: Steel) -> float:
    """Stress that a fillet's throat may carry in any direction, fu/(sqrt(3) beta_w gamma_M2) [Pa].

    EN 1993-1-8, 4.5.3.3, simplified method (from memory). steel: the weaker part joined.
    """
    return steel.tensile_Pa / (math.sqrt(3.0) * correlation_factor(steel) * GAMMA_M2)


@dataclass(frozen=True)
class RingWeld:
    """Force per length of a fillet all round a tube of `diameter_m`, and the throat it asks for.

    line_load_N_per_m: shear, bending and twist together at the worst point [N/m]. throat_m, leg_m: needed
    [m].
    """

    line_load_N_per_m: float
    throat_m: float
    leg_m: float


def ring_weld(
    diameter_m: float, shear_N: float, moment_Nm: float, twist_Nm: float, steel: Steel, factor: float = 1.0
) -> RingWeld:
    """Throat of a weld all round a tube, loads times `factor`, treated as a line (Blodgett; from memory).

    Line areas of a circle: length pi d, bending pi d^2/4, twist pi d^2/2 (polar pi d^3/4 over d/2). Worst
    cases are added as vectors although they need not meet at one point; heat effects, cracks at the toes
    and welds not closed all round are left out. Never for a weld on or near spring steel or a bolt of a
    property class.
    """
    d = diameter_m
    along = moment_Nm / (math.pi * d**2 / 4.0)
    across = 2.0 * shear_N / (math.pi * d) + twist_Nm / (math.pi * d**2 / 2.0)
    line = factor * math.hypot(along, across)
    throat = line / weld_strength(steel)
    return RingWeld(line, throat, throat * math.sqrt(2.0))


def ring_weld_share(
    diameter_m: float, throat_m: float, shear_N: float, moment_Nm: float, twist_Nm: float, steel: Steel
) -> float:
    """Share of a given throat's strength that is used (1: all of it)."""
    return ring_weld(diameter_m, shear_N, moment_Nm, twist_Nm, steel).throat_m / throat_m
