"""The course's surface to the lines and peaks that the force law reads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from trundle.model.arrays import BLOCK, CELL, GROUND, LINE, PEAK, SPEED, TASK, Floats, GroundArrays, Records, records
from trundle.terrain.ground import Ground
from trundle.terrain.instructions import Task

MARGIN_M = 8.0
"""Flat ground added before and after the course, so that no wheel ever looks past the end [m]."""

_STRAIGHT = 1e-9
"""Sine of a turn below which the surface goes straight on [-]."""

_AT = 1e-9
"""What lies closer to a grid point than this lies on it [m]."""


def course_arrays(ground: Ground) -> GroundArrays:
    """Those of a course as it is laid: its corners at their own places, its faces upright."""
    surface = ground.outline_x_m, ground.outline_y_m
    return ground_arrays(ground.height_m, ground.dx_m, ground.speed_from_m, ground.speed_m_s, ground.tasks, surface)


def ground_arrays(
    height_m: Floats,
    dx_m: float,
    speed_from_m: Floats,
    speed_m_s: Floats,
    tasks: Sequence[Task] = (),
    outline_m: tuple[Floats, Floats] | None = None,
) -> GroundArrays:
    """Lines, peaks and cells of an even grid of heights.

    height_m: shape (n,), starting at course position 0, dx_m apart [m].
    speed_from_m, speed_m_s: target speed from each position on, shape (k,). tasks: what the driver is told beside.
    outline_m: x, which never falls, and y of the surface's corners, from the first height to the last, shape (m,) each
    [m] (None: the heights, joined by straight lines).
    """
    pad = round(MARGIN_M / dx_m)
    height: Floats = np.concatenate([np.full(pad, height_m[0]), height_m, np.full(pad, height_m[-1])])
    n = len(height)
    x0 = -pad * dx_m
    grid: Floats = x0 + dx_m * np.arange(n, dtype=np.float64)
    x, y = (grid[pad : n - pad], height_m) if outline_m is None else outline_m
    x, y = _corners(np.concatenate([grid[:1], x, grid[-1:]]), np.concatenate([height[:1], y, height[-1:]]))

    along, up = np.diff(x), np.diff(y)
    length = np.hypot(along, up)
    tx, ty = along / length, up / length
    peak = 1 + np.flatnonzero(tx[:-1] * ty[1:] - ty[:-1] * tx[1:] < -_STRAIGHT)
    cells = records(CELL, n + 1)
    cells["height"] = np.append(height, height[-1])
    begins = np.append(grid, grid[-1] + dx_m) - _AT
    cells["line_from"] = np.maximum(np.searchsorted(x[:-1], begins) - 1, 0)
    cells["peak_from"] = np.searchsorted(x[peak], begins)
    return GroundArrays(
        head=_filled(GROUND, x0=[x0], dx=[dx_m]),
        cells=cells,
        lines=_filled(LINE, x=x[:-1], y=y[:-1], tx=tx, ty=ty, length=length),
        peaks=_filled(PEAK, x=x[peak], y=y[peak]),
        block_top=_block_tops(height, (x - x0) / dx_m, y),
        speeds=_filled(SPEED, x=speed_from_m, speed=speed_m_s),
        tasks=_filled(
            TASK,
            at=[t.at_m for t in tasks],
            wait_s=[t.wait_s for t in tasks],
            to=[t.to_m for t in tasks],
            speed=[t.speed_m_s for t in tasks],
        ),
    )


def _corners(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """The points of a line of straight pieces at which it turns, and its ends [m]."""
    apart = np.append(True, np.hypot(np.diff(x), np.diff(y)) > _AT)
    x, y = x[apart], y[apart]
    along, up = np.diff(x), np.diff(y)
    length = np.hypot(along, up)
    turn = (along[:-1] * up[1:] - up[:-1] * along[1:]) / (length[:-1] * length[1:])
    back = along[:-1] * along[1:] + up[:-1] * up[1:] < 0.0
    kept = np.concatenate([[True], (np.abs(turn) > _STRAIGHT) | back, [True]])
    return x[kept], y[kept]


def _filled(kind: np.dtype[Any], **columns: ArrayLike) -> Records:
    """Records with these columns."""
    arrays = {name: np.asarray(values) for name, values in columns.items()}
    rows = records(kind, len(next(iter(arrays.values()))))
    for name, values in arrays.items():
        rows[name] = values
    return rows


def _block_tops(height: Floats, corner_at: Floats, corner_y: Floats) -> Floats:
    """Highest of the grid points from the first to one past the last interval of each block, and of the corners there,
    shape (k,). corner_at: in grid intervals."""
    starts = np.arange(0, len(height), BLOCK)
    inner = np.maximum.reduceat(height, starts)
    follow = height[np.minimum(starts + BLOCK, len(height) - 1)]
    tops: Floats = np.append(np.maximum(inner, follow), -np.inf)
    # A corner on the border of two blocks belongs to both.
    for shift in (-1e-6, 1e-6):
        block = np.clip((corner_at + shift) // BLOCK, 0, len(starts) - 1).astype(np.int64)
        np.maximum.at(tops, block, corner_y)
    return tops
