"""What the parts of a vehicle weigh, both sides together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trundle.fields.base import PlacedError
from trundle.spec.hull import LEAST_KG, Hull
from trundle.units import SIDES

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True)
class Weight:
    """Both sides together [kg]. wheels: how many there are."""

    arms_kg: float
    wheels: int
    wheels_kg: float
    tracks_kg: float

    @property
    def parts_kg(self) -> float:
        """All that the springs do not carry."""
        return self.arms_kg + self.wheels_kg + self.tracks_kg

    def __str__(self) -> str:
        tracks = f", tracks {self.tracks_kg:.4g}" if self.tracks_kg else ""
        return f"arms {self.arms_kg:.4g}, {self.wheels} wheels {self.wheels_kg:.4g}{tracks}"


def weight_of(vehicle: Vehicle) -> Weight:
    """Arms, wheels and tracks; a wheel that is not in the file weighs nothing (the file is refused for it)."""
    arms = count = wheels = 0.0
    for bogie in vehicle.bogie.values():
        arms += SIDES * bogie.swings_kg()
        wheel = vehicle.wheel.get(bogie.wheel)
        if wheel is not None:
            many = SIDES * bogie.stations * wheel.abreast
            count += many
            wheels += many * wheel.mass_kg
    track = vehicle.track
    tracks = SIDES * track.length_m * track.mass_kg_per_m if track is not None else 0.0
    return Weight(arms, round(count), wheels, tracks)


def hull_weighed(vehicle: Vehicle) -> Hull:
    """The hull with its own mass where the file has that of the whole vehicle. Raises PlacedError, with the field's
    path below the vehicle, where too little is left for it."""
    hull = vehicle.hull
    if hull.all_up_kg is None:
        return hull
    weight = weight_of(vehicle)
    if hull.all_up_kg - weight.parts_kg < LEAST_KG:
        raise PlacedError(
            f"all_up_kg is {hull.all_up_kg:g}, but {weight} kg leave {hull.all_up_kg - weight.parts_kg:.4g} kg for "
            "the hull",
            "hull",
            "all_up_kg",
            allowed=f"above {weight.parts_kg + LEAST_KG:.4g}",
        )
    try:
        return hull.without(weight.parts_kg)
    except PlacedError as e:
        raise PlacedError(e.text, "hull", *e.path, allowed=e.allowed) from None
