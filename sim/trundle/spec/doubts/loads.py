"""What stands on what, roughly: the weight shared evenly by all wheels."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, cast

from trundle.bogies.base import ArmParts
from trundle.spec.weight import Weight, weight_of
from trundle.units import SIDES, G

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


class Held(NamedTuple):
    """A sprung arm, at its place in the file; stations: how many wheel stations it carries."""

    path: str
    arm: ArmParts
    stations: int


@dataclass(frozen=True)
class Loads:
    """weight_N: of the whole; station_N: on one wheel station, one side."""

    parts: Weight
    weight_N: float
    station_N: float

    @classmethod
    def of(cls, vehicle: Vehicle) -> Loads:
        """Even shares."""
        parts = weight_of(vehicle)
        weight = (vehicle.hull.mass_kg + parts.parts_kg) * G
        stations = sum(bogie.stations for bogie in vehicle.bogie.values())
        return cls(parts, weight, weight / (SIDES * stations))


def held(vehicle: Vehicle) -> Iterator[Held]:
    """Every kind of sprung arm, once for each bogie."""
    for name, bogie in vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is None:
            continue
        table: object = vehicle
        for part in sprung.path.split("."):
            table = table[part] if isinstance(table, Mapping) else getattr(table, part)
        arm = cast("ArmParts", table)  # what such a path leads to
        yield Held(sprung.path, arm, bogie.stations // (sprung.count * sprung.spring.arms))
