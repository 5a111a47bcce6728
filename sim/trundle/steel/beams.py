"""Straight and curved beams: Roark's cases, and the cantilever that bends far."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


def rectangle_inertia(width_m: float, thickness_m: float) -> float:
    """Second moment of a flat about its middle, b t^3/12 [m4]."""
    return width_m * thickness_m**3 / 12.0


def rectangle_modulus(width_m: float, thickness_m: float) -> float:
    """Section modulus of a flat, b t^2/6 [m3]."""
    return width_m * thickness_m**2 / 6.0


@dataclass(frozen=True)
class BeamCase:
    """Deflection [m] and bending moment [N.m] at their largest."""

    deflection_m: float
    moment_Nm: float


def supported_centre(load_N: float, span_m: float, ei_Nm2: float) -> BeamCase:
    """Two supports, load in the middle: P L^3/48EI, P L/4 (Roark table 8.1)."""
    return BeamCase(load_N * span_m**3 / (48.0 * ei_Nm2), load_N * span_m / 4.0)


def clamped_centre(load_N: float, span_m: float, ei_Nm2: float) -> BeamCase:
    """Both ends clamped, load in the middle: P L^3/192EI, P L/8 (Roark table 8.1)."""
    return BeamCase(load_N * span_m**3 / (192.0 * ei_Nm2), load_N * span_m / 8.0)


def cantilever(load_N: float, length_m: float, ei_Nm2: float) -> BeamCase:
    """Clamped at one end, load at the other: P L^3/3EI, P L (Roark table 8.1)."""
    return BeamCase(load_N * length_m**3 / (3.0 * ei_Nm2), load_N * length_m)


def two_loads(load_N: float, span_m: float, from_support_m: float, ei_Nm2: float) -> tuple[BeamCase, float]:
    """Two supports, `load_N` at the same distance a from each: (mid-span case, deflection under a load [m]).

    P a (3 L^2 - 4 a^2)/24EI, P a; under a load P a^2 (3 L - 4 a)/6EI (Roark table 8.1).
    """
    a = from_support_m
    mid = load_N * a * (3.0 * span_m**2 - 4.0 * a**2) / (24.0 * ei_Nm2)
    under = load_N * a * a * (3.0 * span_m - 4.0 * a) / (6.0 * ei_Nm2)
    return BeamCase(mid, load_N * a), under


@dataclass(frozen=True)
class Elastica:
    """A cantilever of any first curvature with a force that stays vertical at its end.

    load_N: at the end, up [N]. across_m: end from the root, horizontally [m]. up_m: end over the root [m].
    slope_rad: at the end. root_moment_Nm: at the root [N.m].
    """

    load_N: float
    across_m: float
    up_m: float
    slope_rad: float
    root_moment_Nm: float


def _shape(
    load: float, across: float, length: float, ei: float, curve: float, held: float
) -> tuple[float, float, float]:
    """End (x, y, slope) of the beam whose root moment is load x across, by Runge-Kutta over its length.

    curve: first curvature, positive bends up [1/m]. held: length behind the root that bends under the same
    moment before it is held level (half the distance of a pair of seats) [m].
    """
    steps = 24
    h = length / steps
    pull = load / ei
    x = y = 0.0
    slope = held * (curve + pull * across)

    def bend(x: float) -> float:
        return curve + pull * (across - x)

    for _ in range(steps):
        # Classic fourth-order step of slope' = bend(x), x' = cos(slope), y' = sin(slope).
        a1, c1, s1 = bend(x), math.cos(slope), math.sin(slope)
        t2 = slope + h / 2 * a1
        a2, c2, s2 = bend(x + h / 2 * c1), math.cos(t2), math.sin(t2)
        t3 = slope + h / 2 * a2
        a3, c3, s3 = bend(x + h / 2 * c2), math.cos(t3), math.sin(t3)
        t4 = slope + h * a3
        a4, c4, s4 = bend(x + h * c3), math.cos(t4), math.sin(t4)
        slope += h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
        x += h / 6 * (c1 + 2 * c2 + 2 * c3 + c4)
        y += h / 6 * (s1 + 2 * s2 + 2 * s3 + s4)
    return x, y, slope


def _solved(off: Callable[[np.ndarray], list[float]], start: list[float], at: str) -> list[float]:
    """Root of `off` near `start`, whose last entry is end distance over length and must be a fair one."""
    # Here, not above: it takes as long to load as all the rest, and every command loads this file.
    from scipy.optimize import root

    try:
        found = root(off, start)
    except ValueError:
        # The cosine of an overflown slope.
        raise ArithmeticError(f"no bent shape found at {at}") from None
    if not found.success or not 0.0 < found.x[-1] <= 1.0 + 1e-9:
        raise ArithmeticError(f"no bent shape found at {at}")
    return [float(x) for x in found.x]


def elastica_under_load(
    load_N: float, length_m: float, ei_Nm2: float, curvature_per_m: float = 0.0, held_m: float = 0.0
) -> Elastica:
    """The bent shape under a vertical end load, exact beam bending (Bisshopp & Drucker 1945 when straight).

    curvature_per_m: free curvature, negative for a leaf with its ends down. held_m: see `_shape`.
    Raises ArithmeticError if no shape is found (loads far past any use).
    """

    def off(u: np.ndarray) -> list[float]:
        x, _, _ = _shape(load_N, float(u[0]) * length_m, length_m, ei_Nm2, curvature_per_m, held_m)
        return [x / length_m - float(u[0])]

    alpha = abs(load_N) * length_m**2 / ei_Nm2
    (share,) = _solved(off, [1.0 / (1.0 + 0.05 * alpha)], f"a load of {alpha:.3g} EI/l^2")
    across = share * length_m
    x, y, slope = _shape(load_N, across, length_m, ei_Nm2, curvature_per_m, held_m)
    return Elastica(load_N, x, y, slope, load_N * across)


def elastica_at_lift(
    lift_m: float, length_m: float, ei_Nm2: float, curvature_per_m: float = 0.0, held_m: float = 0.0
) -> Elastica:
    """The bent shape whose end is `lift_m` above its free place. Raises ArithmeticError if none is found."""
    _, free, _ = _shape(0.0, length_m, length_m, ei_Nm2, curvature_per_m, held_m)
    unit = ei_Nm2 / length_m**2

    def off(u: np.ndarray) -> list[float]:
        load, across = float(u[0]) * unit, float(u[1]) * length_m
        x, y, _ = _shape(load, across, length_m, ei_Nm2, curvature_per_m, held_m)
        return [x / length_m - float(u[1]), (y - free - lift_m) / length_m]

    soft = length_m**2 * (length_m + 3.0 * held_m)
    start = [3.0 * lift_m / soft * length_m**2, 0.95]
    units, share = _solved(off, start, f"a lift of {lift_m / length_m:.3g} of the length")
    load, across = units * unit, share * length_m
    x, y, slope = _shape(load, across, length_m, ei_Nm2, curvature_per_m, held_m)
    return Elastica(load, x, y, slope, load * across)


def beam_theory_error(
    lift_m: float, length_m: float, ei_Nm2: float, curvature_per_m: float = 0.0, held_m: float = 0.0
) -> float:
    """By what share straight-beam theory misjudges the end load at this lift: (theory - exact)/exact.

    Report it to the builder above 0.03. Raises ArithmeticError as `elastica_at_lift`.
    """
    if lift_m == 0.0:
        return 0.0
    theory = 3.0 * ei_Nm2 * lift_m / (length_m**2 * (length_m + 3.0 * held_m))
    return theory / elastica_at_lift(lift_m, length_m, ei_Nm2, curvature_per_m, held_m).load_N - 1.0
