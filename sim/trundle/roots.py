"""Roots of equations, of one unknown and of several.

Own code where scipy.optimize would do: loading that takes 0.45 s of processor time, a third of a whole `trundle sheet`,
and every run and every sheet needs these few roots. Tests hold them to scipy's.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAST_CHANGE = 1e-13
"""Newton's steps end when the next is this small, as a share of 1 and of the unknowns."""


def bracketed(off: Callable[[float], float], low: float, high: float) -> float:
    """The root of `off` between `low` and `high`, where it has opposite signs, by halving to the last bit.

    Raises ValueError if the signs are not opposite.
    """
    at_low, at_high = off(low), off(high)
    if at_low == 0.0:
        return low
    if at_high == 0.0:
        return high
    if not at_low * at_high < 0.0:
        raise ValueError(f"no change of sign between {low:g} and {high:g}")
    rising = at_high > 0.0
    while True:
        middle = 0.5 * (low + high)
        if not min(low, high) < middle < max(low, high):
            return middle
        if (off(middle) > 0.0) == rising:
            high = middle
        else:
            low = middle


def newton(off: Callable[[Floats], Floats], start: Floats, tries: int = 60) -> Floats:
    """Where `off` (n,) of n unknowns is as near to zero as steps downhill from `start` get; look at `off` there.

    Newton's method with slopes by forward differences; a step that does not bring it nearer is halved.
    """
    x = np.array(start, dtype=np.float64)
    left = np.asarray(off(x), dtype=np.float64)
    size = float(np.linalg.norm(left))
    for _ in range(tries):
        if not math.isfinite(size) or size == 0.0:
            break
        step = _step(off, x, left, [(1.5e-8 * max(abs(v), 0.01), 0.0) for v in x])
        if step is None:
            break
        share = 1.0
        while share > 1e-6:
            tried = x + share * step
            rest = np.asarray(off(tried), dtype=np.float64)
            if float(np.linalg.norm(rest)) < size:
                break
            share *= 0.5
        else:
            break
        x, left, size = tried, rest, float(np.linalg.norm(rest))
        if np.abs(share * step).max() <= LEAST_CHANGE * (1.0 + np.abs(x).max()):
            break
    return x


def over_kinks(
    off: Callable[[Floats], Floats], start: Floats, across: float, longest: float, tries: int = 12
) -> Floats:
    """The nearest to zero that so many of Newton's steps come by, with slopes taken `across` to both sides.

    Over a kink, where the slopes on the two sides differ, that is their mean. Steps are no longer than `longest` in any
    unknown; one that leads away is taken all the same: downhill there may be no way over.
    """
    x = np.array(start, dtype=np.float64)
    left = np.asarray(off(x), dtype=np.float64)
    best, least = x, float(np.linalg.norm(left))
    for _ in range(tries):
        step = _step(off, x, left, [(across, across)] * len(x))
        if step is None or not np.isfinite(step).all():
            break
        x = x + step * min(1.0, longest / max(float(np.abs(step).max()), longest))
        left = np.asarray(off(x), dtype=np.float64)
        size = float(np.linalg.norm(left))
        if size < least:
            best, least = x, size
    return best


def _step(off: Callable[[Floats], Floats], x: Floats, left: Floats, widths: list[tuple[float, float]]) -> Floats | None:
    """Newton's step from x, where `off` is `left`; widths: how far each slope is taken above and below x (0: not
    below). None where the slopes lead nowhere."""
    slopes = np.empty((len(left), len(x)))
    for k, (up, down) in enumerate(widths):
        high, low, under = x.copy(), x.copy(), left
        high[k] += up
        if down:
            low[k] -= down
            under = np.asarray(off(low))
        slopes[:, k] = (np.asarray(off(high)) - under) / (high[k] - low[k])
    try:
        return np.asarray(np.linalg.solve(slopes, -left), dtype=np.float64)
    except np.linalg.LinAlgError:
        return None
