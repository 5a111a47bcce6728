"""Ground heights to the points and peaks that the force law reads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from trundle.model.arrays import BLOCK, CELL, GROUND, PEAK, POINT, SPEED, TASK, Floats, GroundArrays, Records, records
from trundle.terrain.instructions import Task

MARGIN_M = 8.0
"""Flat ground added before and after the course, so that no wheel ever looks past the end [m]."""

_FLAT = 1e-9
"""Slope change below which a grid point counts as straight [-]."""


def ground_arrays(
    height_m: Floats, dx_m: float, speed_from_m: Floats, speed_m_s: Floats, tasks: Sequence[Task] = ()
) -> GroundArrays:
    """Points, weights and peaks of an even grid of heights.

    height_m: shape (n,), starting at course position 0, dx_m apart [m].
    speed_from_m, speed_m_s: target speed from each position on, shape (k,). tasks: what the driver is told beside.
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
    cells = records(CELL, n + 1)
    cells["height"] = np.append(height, height[-1])
    cells["point_from"] = np.append(first, first[-1] + 1)
    cells["peak_from"] = np.searchsorted(peak, np.arange(n + 1))
    return GroundArrays(
        head=_filled(GROUND, x0=[x0], dx=[dx_m]),
        cells=cells,
        points=_filled(POINT, x=point_x, y=point_y, w=weight),
        peaks=_filled(PEAK, x=x[peak], y=height[peak]),
        block_top=_block_tops(height),
        speeds=_filled(SPEED, x=speed_from_m, speed=speed_m_s),
        tasks=_filled(
            TASK,
            at=[t.at_m for t in tasks],
            wait_s=[t.wait_s for t in tasks],
            to=[t.to_m for t in tasks],
            speed=[t.speed_m_s for t in tasks],
        ),
    )


def _filled(kind: np.dtype[Any], **columns: ArrayLike) -> Records:
    """Records with these columns."""
    arrays = {name: np.asarray(values) for name, values in columns.items()}
    rows = records(kind, len(next(iter(arrays.values()))))
    for name, values in arrays.items():
        rows[name] = values
    return rows


def _block_tops(height: Floats) -> Floats:
    """Highest of the grid points from the first to one past the last interval of each block, shape (k,)."""
    starts = np.arange(0, len(height), BLOCK)
    inner = np.maximum.reduceat(height, starts)
    follow = height[np.minimum(starts + BLOCK, len(height) - 1)]
    tops: Floats = np.append(np.maximum(inner, follow), -np.inf)
    return tops
