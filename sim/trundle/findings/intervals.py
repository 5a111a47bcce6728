"""Stretches of a time series during which something holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def stretches(holds: NDArray[np.bool_], join: int = 0) -> list[tuple[int, int]]:
    """(first, end) of each run of True in `holds` (n,), end exclusive; gaps of up to `join` are bridged."""
    if not holds.any():
        return []
    edge = np.diff(np.concatenate([[0], holds.astype(np.int8), [0]]))
    first, end = np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)
    found: list[tuple[int, int]] = []
    for a, b in zip(first.tolist(), end.tolist(), strict=True):
        if found and a - found[-1][1] <= join:
            found[-1] = (found[-1][0], b)
        else:
            found.append((a, b))
    return found
