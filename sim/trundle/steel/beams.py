"""A cantilever bent far from its free shape, which may be straight or curved."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from trundle.roots import newton


@dataclass(frozen=True)
class Elastica:
    """A cantilever of any initial curvature with a force that stays vertical at its end.

    load_N: at the end, up [N]. across_m: end from the root, horizontally [m]. up_m: end over the root [m].
    slope_rad: at the end. root_moment_Nm: at the root [N.m].
    """

    load_N: float
    across_m: float
    up_m: float
    slope_rad: float
    root_moment_Nm: float


def _shape(
    load: float, across: float, length: float, ei: float, curve: float, held: float, root: float
) -> tuple[float, float, float]:
    """End (x, y, slope) of the beam whose root moment is load x across, by Runge-Kutta over its length.

    curve: initial curvature, positive bends up [1/m]. held: length behind the root that bends under the same
    moment before it is held level (half the distance of a pair of seats) [m]. root: slope that it is held at [rad].
    """
    steps = 24
    h = length / steps
    pull = load / ei
    x = y = 0.0
    slope = root + held * (curve + pull * across)

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
    """Root of `off` near `start`, whose last entry is the end's distance over the length. Raises
    ArithmeticError if there is none between 0 and 1."""
    try:
        found = newton(lambda u: np.array(off(u)), np.array(start))
        rest = max(abs(v) for v in off(found))
    except (ValueError, OverflowError):
        # The cosine of an overflown slope.
        raise ArithmeticError(f"no bent shape found at {at}") from None
    if not rest < 1e-9 or not 0.0 < found[-1] <= 1.0 + 1e-9:
        raise ArithmeticError(f"no bent shape found at {at}")
    return [float(x) for x in found]


def elastica_at_lift(
    lift_m: float,
    length_m: float,
    ei_Nm2: float,
    curvature_per_m: float = 0.0,
    held_m: float = 0.0,
    root_rad: float = 0.0,
) -> Elastica:
    """The bent shape whose end is `lift_m` above its free place. Raises ArithmeticError if none is found.

    curvature_per_m: of the free beam, positive bends up. held_m: length that bends behind the root before it is held
    level. root_rad: slope up that the root is held at.
    """
    _, free, _ = _shape(0.0, length_m, length_m, ei_Nm2, curvature_per_m, held_m, root_rad)
    unit = ei_Nm2 / length_m**2

    def off(u: np.ndarray) -> list[float]:
        load, across = float(u[0]) * unit, float(u[1]) * length_m
        x, y, _ = _shape(load, across, length_m, ei_Nm2, curvature_per_m, held_m, root_rad)
        return [x / length_m - float(u[1]), (y - free - lift_m) / length_m]

    soft = length_m**2 * (length_m + 3.0 * held_m)
    start = [3.0 * lift_m / soft * length_m**2, 0.95]
    units, share = _solved(off, start, f"a lift of {lift_m / length_m:.3g} of the length")
    load, across = units * unit, share * length_m
    x, y, slope = _shape(load, across, length_m, ei_Nm2, curvature_per_m, held_m, root_rad)
    return Elastica(load, x, y, slope, load * across)


def beam_theory_error(
    lift_m: float,
    length_m: float,
    ei_Nm2: float,
    curvature_per_m: float = 0.0,
    held_m: float = 0.0,
    root_rad: float = 0.0,
) -> float:
    """By what share straight-beam theory misjudges the end load at this lift: (theory - exact)/exact.

    Report it to the builder above 0.03. Raises ArithmeticError as `elastica_at_lift`.
    """
    if lift_m == 0.0:
        return 0.0
    theory = 3.0 * ei_Nm2 * lift_m / (length_m**2 * (length_m + 3.0 * held_m))
    return theory / elastica_at_lift(lift_m, length_m, ei_Nm2, curvature_per_m, held_m, root_rad).load_N - 1.0
