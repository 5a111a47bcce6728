"""Calibrates the compliant contacts: from what a builder can measure to the constants of the force law.

Setting the track assembles a vehicle half a dozen times, each with the same few wheels: results are remembered.
"""

from __future__ import annotations

import math
from functools import lru_cache

from trundle.roots import bracketed

BOUNCE_M_S = 0.5
"""Closing speed at which a loss is stated: a drop of 13 mm [m/s]."""


def ring_load(radius_m: float, press_m: float) -> float:
    """Load of a ring pressed `press_m` into flat ground, for a bedding of 1 N/m2 [N].

    Integral of the radial depth over the contact: F = h (2 R asinh(a/h) - 2 a), h = R - press,
    a = sqrt(R2 - h2); for small press it is (4/3) sqrt(2 R) press^1.5 (Winkler bedding, Johnson, Contact
    Mechanics, section 4.3).
    """
    h = radius_m - press_m
    a = math.sqrt(max(radius_m**2 - h**2, 0.0))
    return h * (2.0 * radius_m * math.asinh(a / h) - 2.0 * a)


def ring_energy(radius_m: float, press_m: float) -> float:
    """Energy of that ring [J]: integral of half the radial depth squared over the contact,
    a^3 / 3 + a h^2 - R h^2 asinh(a/h); the derivative by press is `ring_load`."""
    h = radius_m - press_m
    a = math.sqrt(max(radius_m**2 - h**2, 0.0))
    return a**3 / 3.0 + a * h**2 - radius_m * h**2 * math.asinh(a / h)


@lru_cache(maxsize=1024)
def ring_bedding(radius_m: float, load_N: float, rate_N_per_m: float) -> float:
    """Bedding [N/m2] of one ring whose rate is `rate_N_per_m` at `load_N` on flat ground.

    Raises ValueError if the ring would have to be pressed in by more than half its radius.
    """

    def short(press: float) -> float:
        eps = 1e-6 * press
        slope = (ring_load(radius_m, press + eps) - ring_load(radius_m, press - eps)) / (2.0 * eps)
        return ring_load(radius_m, press) / slope - load_N / rate_N_per_m

    deepest = 0.5 * radius_m
    if short(deepest) < 0.0:
        raise ValueError("the tyre is so soft that it would be squeezed to half its radius")
    press = bracketed(short, 1e-9 * radius_m, deepest)
    return load_N / ring_load(radius_m, press)


@lru_cache(maxsize=1024)
def bounce_damp(loss: float) -> float:
    """Damping factor [s/m] of force = f(d) (1 + damp d') that loses `loss` of the energy at BOUNCE_M_S.

    With p = damp v, the speed before (p > 0) and after (p < 0) satisfy p - ln(1 + p) equal on both sides,
    whatever f (Hunt and Crossley 1975; separate variables of m v dv / (1 + damp v) = -f dd).
    """
    if loss <= 0.0:
        return 0.0
    back = math.sqrt(1.0 - loss)

    def differ(p: float) -> float:
        return (p - math.log1p(p)) - (-back * p - math.log1p(-back * p))

    # differ falls from + to - as damping grows; the rebound can never reach p = 1.
    top = (1.0 - 1e-12) / back
    return bracketed(differ, 1e-6, top) / BOUNCE_M_S
