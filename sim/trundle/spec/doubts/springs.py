"""Of the springs: each kind says itself what looks wrong about it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads, held
from trundle.springs.doubtful import On

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Of each bogie that has a spring."""
    wide = vehicle.hull.belly_width_mm or 0.7 * vehicle.hull.length_mm
    for one in held(vehicle):
        name = one.path.split(".")[1]
        sprung = vehicle.bogie[name].sprung(name)
        if sprung is None:
            continue
        on = On(one.arm.arm_mm, loads.station_N * one.stations, sprung.mount.pivots_apart_m * 1e3, wide)
        for field, why in sprung.spring.doubtful(on):
            yield Problem(why, f"{sprung.path}.spring.{field}")
