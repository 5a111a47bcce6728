"""Where the wheels of a vehicle stand."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


class Place(NamedTuple):
    """A wheel station with its arms at mid-travel: axle, tyre's radius, lowest and highest place of the axle, mm."""

    name: str
    field: str
    x: float
    y: float
    radius: float
    low: float
    high: float
    wheel: str


def places(vehicle: Vehicle) -> list[Place]:
    """Every station whose wheel exists, its axle at mid-travel, from front to rear."""
    found: list[Place] = []
    for name, bogie in vehicle.bogie.items():
        wheel = vehicle.wheel.get(bogie.wheel)
        if wheel is not None:
            found += [
                Place(s.name, f"bogie.{name}", s.x_mm, s.y_mm, wheel.radius_mm, s.low_mm, s.high_mm, bogie.wheel)
                for s in bogie.stations_at(name)
            ]
    return sorted(found, key=lambda p: -p.x)
