"""Level ground fine enough that a tyre's stiffness does not depend on where the grid points fall."""

from __future__ import annotations

import numpy as np

from sim.engine.standing import Standing, stand
from sim.model.arrays import GroundArrays
from sim.model.ground import ground_arrays
from sim.spec.vehicle import Vehicle

GRID_M = 0.0005
"""Half a millimetre: some 80 points under a tyre [m]."""

_ROOM_M = 1.0


def level() -> GroundArrays:
    """Flat ground at height 0 (with the model's own margin before and after)."""
    return ground_arrays(np.zeros(round(_ROOM_M / GRID_M)), GRID_M, np.zeros(1), np.array([np.nan]))


def stand_level(vehicle: Vehicle, ground: GroundArrays | None = None) -> Standing:
    """The vehicle at rest on level ground, track set as its file says. Raises InputError as `stand`."""
    return stand(vehicle, level() if ground is None else ground, 0.0)
