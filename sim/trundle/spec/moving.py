"""The moving parts of a whole vehicle, as its bogies give them."""

from __future__ import annotations

from trundle.bogies.parts import Parts
from trundle.spec.vehicle import Vehicle


def parts_of(vehicle: Vehicle) -> Parts:
    """The moving parts of a vehicle. Raises InputError where a spring or stop cannot work."""
    parts = Parts()
    for name, bogie in vehicle.bogie.items():
        bogie.add_parts(name, parts)
    return parts
