"""Turning with tracks that slip: one friction, shared between forwards and sideways.

Steeds, Tracked Vehicles (Automobile Engineer, 1950; from memory): where all of a track slides, the ground's push on
each piece of it points against its own slip, and has the same size whichever way that is. A track that is driven harder
than it gets along slips forwards too, and so resists less sideways: a motor that is strong enough turns any vehicle so,
at the price of its pads and of knowing where it goes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trundle.roots import bracketed

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Slipping:
    """In a turn on the spot, or about a held inner side: the moment that resists [N.m], and how much of its own speed
    the driven track slips [-]."""

    moment_Nm: float
    slip: float


def slipping(friction: float, x_m: ArrayLike, load_N: ArrayLike, gauge_m: float) -> Slipping:
    """x_m, load_N: of each station along the hull, one side's, shape (stations,).

    A piece of track at x slips sideways by x - x0 while it slips by a along: its push is shared as these are. Across
    they balance (x0); what both sides pull along, times half the gauge each, is what resists across (a).
    """
    x, load = np.asarray(x_m, dtype=np.float64), np.asarray(load_N, dtype=np.float64)
    if float(np.ptp(x)) == 0.0:
        return Slipping(0.0, 0.0)

    def away(along: float) -> Floats:
        """Of each station from where it turns about, if it slips so far along."""

        def across(about: float) -> float:
            off = x - about
            return float(np.sum(load * off / np.hypot(off, along)))

        found: Floats = x - bracketed(across, float(x.min()), float(x.max()))
        return found

    def off(along: float) -> float:
        at = away(along)
        size = np.hypot(at, along)
        return float(np.sum(load * (gauge_m * along - 2.0 * at**2) / size))

    most = float(np.ptp(x)) * max(float(np.ptp(x)) / gauge_m, 1.0) * 2.0
    along = bracketed(off, 1e-6 * gauge_m, most)
    at = away(along)
    moment = 2.0 * friction * float(np.sum(load * at**2 / np.hypot(at, along)))
    return Slipping(moment, along / (along + 0.5 * gauge_m))
