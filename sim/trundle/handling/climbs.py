"""How near a tyre is to climbing the guide tooth: railway formulas for a flange on a rail, as an estimate."""

from __future__ import annotations

import math
from dataclasses import dataclass


def nadal(flank_rad: float, friction: float) -> float:
    """Sideways over upright load of one wheel at which it begins to climb a flank [-]: (tan d - mu) / (1 + mu tan d).

    Nadal 1908, of a flange on a rail: friction is taken to lift the wheel, as when it rolls towards the flank.
    flank_rad: above the level. 0 where friction alone carries it up.
    """
    return max(math.tan(flank_rad - math.atan(friction)), 0.0)


def flank_at_rad(flank_rad: float, tooth_m: float, edge_m: float) -> float:
    """Angle at which a tyre's rounded edge meets a tooth [rad]: the flank's, or less, where the tooth is lower than the
    rounding, which then meets its tip: cos d = 1 - h / r."""
    if tooth_m >= edge_m:
        return flank_rad
    return min(flank_rad, math.acos(1.0 - tooth_m / edge_m))


@dataclass(frozen=True)
class Climb:
    """One station: side_N, the side force that the tooth passes on; upright_N: load of the wheel that leans on it;
    ratio: one over the other; most: the ratio at which it climbs. flank_deg: at which they meet, friction: of the
    tyre's edge on it."""

    side_N: float
    upright_N: float
    most: float
    flank_deg: float
    friction: float

    @property
    def ratio(self) -> float:
        """Sideways over upright [-]."""
        return self.side_N / self.upright_N if self.upright_N > 0.0 else math.inf

    @property
    def margin(self) -> float:
        """The most over what there is [-]: below 1 it may climb."""
        return self.most / self.ratio if self.ratio > 0.0 else math.inf


def climb(
    side_N: float, upright_N: float, others: int, flank_rad: float, friction: float, tooth_m: float, edge_m: float
) -> Climb:
    """One wheel of a station leans on the tooth, with `others` beside it that carry as much and stand on the track.

    The wheel on the flank by Nadal; what the others hold by their friction is added (Weinstock 1984, of the two wheels
    of one axle). upright_N: of one wheel.
    """
    meets = flank_at_rad(flank_rad, tooth_m, edge_m)
    most = nadal(meets, friction) + others * friction
    return Climb(side_N, upright_N, most, math.degrees(meets), friction)
