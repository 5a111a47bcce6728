"""Level ground fine enough that a tyre's stiffness does not depend on where the grid points fall."""

from __future__ import annotations

from functools import cache

import numpy as np

from trundle.engine.standing import Standing, stand
from trundle.model.arrays import GroundArrays
from trundle.model.ground import ground_arrays
from trundle.spec.vehicle import Vehicle

GRID_M = 0.0005
"""Half a millimetre: some 80 points under a tyre [m]."""

FINE_M = 0.00005
"""For small motion: a wheel feels the nearest ground point, and as it rolls from one to the next the bend of
the track over it jumps by grid over radius. At 0.5 mm that is 1 % of a pitch frequency, here 0.1 % [m]."""

_ROOM_M = 1.0


@cache
def level(grid_m: float = GRID_M) -> GroundArrays:
    """Flat ground at height 0, with the model's own margin on both sides. Made once: do not change it."""
    return ground_arrays(np.zeros(round(_ROOM_M / grid_m)), grid_m, np.zeros(1), np.array([np.nan]))


def stand_level(vehicle: Vehicle, ground: GroundArrays | None = None) -> Standing:
    """The vehicle at rest on level ground, track set as its file says. Raises InputError as `stand`."""
    return stand(vehicle, level() if ground is None else ground, 0.0)
