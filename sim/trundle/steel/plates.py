"""Flat plates held at their edges: how far they give under a load, and when they dent for good.

Small deflections (Kirchhoff plates). Once a plate has given by more than about half its thickness it also pulls as a
membrane where its edges cannot move in, and is stiffer than this.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from trundle.steel.materials import E_STEEL

POISSON = 0.3
"""Of steel."""

Edge = Literal["clamped", "supported"]
"""clamped: cannot turn at its edges, as welded to stiff ribs or carried on past them. supported: free to turn."""

# Long over short side, and w D / (F a^2) under a single load F in the middle, a the short side. Timoshenko and
# Woinowsky-Krieger, Theory of Plates and Shells, tables for a concentrated load (from memory); held by a finite
# difference solution and Navier's series.
_CENTRE_LOAD: dict[Edge, tuple[tuple[float, float], ...]] = {
    "clamped": ((1.0, 0.00560), (1.2, 0.00647), (1.4, 0.00691), (1.6, 0.00712), (1.8, 0.00720), (2.0, 0.00722),
                (3.0, 0.00725)),
    "supported": ((1.0, 0.01160), (1.1, 0.01265), (1.2, 0.01353), (1.4, 0.01484), (1.6, 0.01570), (1.8, 0.01620),
                  (2.0, 0.01651), (3.0, 0.01690)),
}  # fmt: skip


def plate_stiffness(thickness_m: float, young_Pa: float = E_STEEL) -> float:
    """Bending stiffness D = E t^3 / 12 (1 - nu^2) of a plate [N.m] (Timoshenko and Woinowsky-Krieger, chapter 1)."""
    return young_Pa * thickness_m**3 / (12.0 * (1.0 - POISSON**2))


def centre_load_rate(side_m: float, other_m: float, thickness_m: float, edge: Edge) -> float:
    """Load per deflection of a rectangular plate under a single load in its middle, as on a stone [N/m].

    D / (alpha a^2), a the shorter side, alpha by the ratio of the sides, constant beyond three to one.
    """
    short, long = sorted((side_m, other_m))
    ratios, alphas = np.array(_CENTRE_LOAD[edge]).T
    alpha = float(np.interp(long / short, ratios, alphas))
    return plate_stiffness(thickness_m) / (alpha * short**2)


def edge_across_rate(span_m: float, width_m: float, thickness_m: float, edge: Edge) -> float:
    """Load per deflection of a strip `width_m` wide between two ribs `span_m` apart, an edge of the ground right across
    its middle, as a kerb lies [N/m].

    That of a beam, 192 or 48 E I / L^3, with a plate's D for E I per width (cylindrical bending, Timoshenko and
    Woinowsky-Krieger, chapter 1).
    """
    times = 192.0 if edge == "clamped" else 48.0
    return times * plate_stiffness(thickness_m) * width_m / span_m**3


def dent_load(span_m: float, width_m: float, thickness_m: float, yield_Pa: float) -> float:
    """Load at which a clamped plate goes on bending for good [N]: a single load in its middle, or an edge right across
    it, whichever is less.

    Plastic hinges of m = yield t^2 / 4 per length: 4 pi m round a single load (yield lines, Johansen), 8 m w / L for
    the strip (plastic hinge method; both in any handbook of limit design, from memory). The membrane's pull, which
    makes a deep dent dearer, is left out.
    """
    moment = yield_Pa * thickness_m**2 / 4.0
    return min(4.0 * math.pi * moment, 8.0 * moment * width_m / span_m)
