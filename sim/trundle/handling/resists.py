"""What resists turning, and what that takes at the tracks: plain formulas, SI.

Wong, Theory of Ground Vehicles, chapter 6 (simplified theory of steering a tracked vehicle on firm ground): every piece
of track under a wheel is dragged sideways, away from the point that it turns about; the motor has to beat that by
pulling on one side and holding, or pulling back, on the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def turned_about_m(x_m: ArrayLike, load_N: ArrayLike) -> Floats:
    """Where along the hull the side forces balance [m], so that it turns about that place: as much load ahead of it as
    behind. x_m, load_N: of each station, shape (..., stations)."""
    x, load = _in_order(x_m, load_N)
    sums = np.cumsum(load, axis=-1)
    first = np.argmax(sums >= 0.5 * sums[..., -1:] * (1.0 - 1e-12), axis=-1)
    found: Floats = np.take_along_axis(x, first[..., None], axis=-1)[..., 0]
    return found


def resisting_Nm(side: float, x_m: ArrayLike, load_N: ArrayLike) -> Floats:
    """Moment that resists turning on the spot [N.m], sum of side x load x distance from where it turns about.

    side: friction sideways [-]; x_m, load_N: of each station along the hull, both sides, shape (..., stations).
    """
    x, load = np.broadcast_arrays(np.asarray(x_m, dtype=np.float64), np.asarray(load_N, dtype=np.float64))
    about = turned_about_m(x, load)
    found: Floats = side * np.sum(load * np.abs(x - about[..., None]), axis=-1)
    return found


def even_resisting_Nm(side: float, weight_N: float, length_m: float) -> float:
    """The same as if the weight were spread evenly over a length [N.m]: side W l / 4 (Wong, chapter 6)."""
    return side * weight_N * length_m / 4.0


def share_at_radius(radius_m: float, gauge_m: float) -> float:
    """How much of the side friction is left in a turn of this radius, to the vehicle's middle [-]: 1 up to half the
    gauge (turning about the inner track), then 1 / (0.925 + 0.15 R/B).

    Nikitin's formula, of full-size tracked vehicles (Zabavnikov, theory of tracked vehicles, 1975; from memory): the
    wider the turn, the less a shoe is dragged sideways while it lies on the ground.
    """
    return min(1.0, 1.0 / (0.925 + 0.15 * radius_m / gauge_m))


def track_forces_N(weight_N: float, drag: float, moment_Nm: float, gauge_m: float) -> tuple[float, float]:
    """What the outer and the inner track have to pull in a slow steady turn [N]: f W / 2 +- M / B; below 0 it has to
    be braked (Wong, chapter 6). drag: f, what rolling takes as a share of the weight."""
    rolls, turns = 0.5 * drag * weight_N, moment_Nm / gauge_m
    return rolls + turns, rolls - turns


@dataclass(frozen=True)
class Slender:
    """Length on the ground over gauge, and the most with which grip can still turn it."""

    ratio: float
    most: float

    @property
    def steers(self) -> bool:
        """Whether grip can turn it at all."""
        return self.ratio <= self.most


def slender(length_m: float, gauge_m: float, grip: float, drag: float, side: float) -> Slender:
    """Whether it steers at all: l / B <= 2 (mu - f) / mu_t (Wong, chapter 6)."""
    return Slender(length_m / gauge_m, 2.0 * (grip - drag) / side)


def _in_order(x_m: ArrayLike, load_N: ArrayLike) -> tuple[Floats, Floats]:
    x, load = np.broadcast_arrays(np.asarray(x_m, dtype=np.float64), np.asarray(load_N, dtype=np.float64))
    order = np.argsort(x, axis=-1)
    return np.take_along_axis(x, order, axis=-1), np.take_along_axis(load, order, axis=-1)
