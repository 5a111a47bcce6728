"""Level ground to stand a vehicle on."""

from __future__ import annotations

from functools import cache

import numpy as np

from trundle.engine.length import GROUND_MM
from trundle.engine.standing import Standing, stand
from trundle.model.arrays import GroundArrays
from trundle.model.ground import ground_arrays
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

_ROOM_M = 1.0


@cache
def level() -> GroundArrays:
    """Flat ground at height 0, with the model's own margin on both sides. Made once: do not change it."""
    grid_m = GROUND_MM * MM
    return ground_arrays(np.zeros(round(_ROOM_M / grid_m)), grid_m, np.zeros(1), np.array([np.nan]))


def stand_level(vehicle: Vehicle, ground: GroundArrays | None = None) -> Standing:
    """The vehicle at rest on level ground, track set as its file says. Raises InputError as `stand`."""
    return stand(vehicle, level() if ground is None else ground, 0.0)
