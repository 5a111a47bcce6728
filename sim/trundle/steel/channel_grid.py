"""Points that cover a channel cut from rounded square tube, along and across its wall, for `warping`."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def channel_grid(side_m: float, thickness_m: float, depth_m: float, outer_radius_m: float, fine: int = 2) -> Floats:
    """Grid of nine-node elements from one toe round the web to the other, shape (2a + 1, 2b + 1, 2) [m].

    `fine` 2 (J converged to 0.1 %): 4 elements across the wall, 8 in each corner, 12 in each straight.
    """
    ro = outer_radius_m
    r = ro - thickness_m + np.linspace(0.0, 1.0, 4 * fine + 1) * thickness_m
    middle, upper = side_m / 2.0 - ro, side_m - ro
    bend = np.linspace(0.0, 1.0, 8 * fine + 1)[:, None]
    straight = np.linspace(0.0, 1.0, 12 * fine + 1)[:, None]

    def piece(x: Floats, y: Floats) -> Floats:
        return np.stack(np.broadcast_arrays(x, y), axis=-1)

    parts = []
    over = depth_m - upper
    if over > 0.0:
        # The level cut ends each line round the corner at its own angle.
        end = np.arcsin(np.minimum(over / r, 1.0))
        angle = (1.0 - bend) * end
        parts.append(piece(middle + r * np.cos(angle), upper + r * np.sin(angle)))
    top = min(depth_m, upper)
    parts.append(piece(middle + r, top + straight * (ro - top)))
    angle = -bend * np.pi / 2.0
    parts.append(piece(middle + r * np.cos(angle), ro + r * np.sin(angle)))
    right = np.concatenate([p if i == 0 else p[1:] for i, p in enumerate(parts)])
    web = piece(middle * (1.0 - 2.0 * straight), ro - r)
    left = right[::-1] * np.array([-1.0, 1.0])
    return np.concatenate([right, web[1:], left[1:]])
