"""Means over a short time."""

from __future__ import annotations

import numpy as np

from trundle.model.arrays import Floats


def worst_mean(values: Floats, dt_s: float, window_s: float) -> float:
    """Highest mean of a series over any `window_s` [s], or over all of it if it is shorter."""
    n = min(max(round(window_s / dt_s), 1), len(values))
    sums = np.concatenate(([0.0], np.cumsum(values)))
    return float((sums[n:] - sums[:-n]).max() / n)
