"""Ground heights to the points and peaks that the force law reads."""

from __future__ import annotations

import numpy as np

from trundle.model.arrays import BLOCK, Floats, GroundArrays

MARGIN_M = 8.0
"""Flat ground added before and after the course, so that no wheel ever looks past the end [m]."""

_FLAT = 1e-9
"""Slope change below which a grid point counts as straight [-]."""


def ground_arrays(height_m: Floats, dx_m: float, speed_from_m: Floats, speed_m_s: Floats) -> GroundArrays:
    """Points, weights and peaks of an even grid of heights.

    height_m: shape (n,), starting at course position 0, dx_m apart [m].
    speed_from_m, speed_m_s: target speed from each position on, shape (k,).
    """
    pad = round(MARGIN_M / dx_m)
    height: Floats = np.concatenate([np.full(pad, height_m[0]), height_m, np.full(pad, height_m[-1])])
    n = len(height)
    x0 = -pad * dx_m
    x: Floats = x0 + dx_m * np.arange(n, dtype=np.float64)

    # A steep interval is cut into pieces no longer than the grid, so that a vertical face can push too.
    rise = np.diff(height)
    pieces = np.maximum(1, np.ceil(np.abs(rise) / dx_m - 1e-9)).astype(np.int64)
    first = np.concatenate([[0], np.cumsum(pieces)])
    owner = np.repeat(np.arange(n - 1), pieces)
    share = (np.arange(first[-1]) - first[owner]) / pieces[owner]
    point_x = np.append(x[owner] + share * dx_m, x[-1])
    point_y = np.append(height[owner] + share * rise[owner], height[-1])
    step = np.hypot(np.diff(point_x), np.diff(point_y))
    weight = np.zeros(len(point_x))
    weight[:-1] += 0.5 * step
    weight[1:] += 0.5 * step

    slope = rise / dx_m
    is_peak = np.zeros(n, dtype=bool)
    is_peak[1:-1] = slope[:-1] - slope[1:] > _FLAT
    peak = np.flatnonzero(is_peak)
    return GroundArrays(
        x0=float(x0),
        dx=float(dx_m),
        height=height,
        point_x=point_x,
        point_y=point_y,
        point_w=weight,
        point_from=np.concatenate([first, [first[-1] + 1]]).astype(np.int64),
        peak_x=np.array(x[peak], dtype=float),
        peak_y=height[peak],
        peak_from=np.searchsorted(peak, np.arange(n + 1)).astype(np.int64),
        block_top=_block_tops(height),
        speed_from=np.array(speed_from_m, dtype=float),
        speed=np.array(speed_m_s, dtype=float),
    )


def _block_tops(height: Floats) -> Floats:
    """Highest of the grid points from the first to one past the last interval of each block, shape (k,)."""
    starts = np.arange(0, len(height), BLOCK)
    inner = np.maximum.reduceat(height, starts)
    follow = height[np.minimum(starts + BLOCK, len(height) - 1)]
    tops: Floats = np.append(np.maximum(inner, follow), -np.inf)
    return tops
