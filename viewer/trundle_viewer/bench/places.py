"""Where in the hull a fault of the file lies, by its field."""

from __future__ import annotations

from trundle.fields.sketch import XY
from trundle.spec.vehicle import Vehicle


def place_of(vehicle: Vehicle, path: str) -> XY:
    """The place of the part that a field belongs to [mm]; the centre of mass for one that has none."""
    parts = path.replace("[", ".").replace("]", "").split(".")
    track = vehicle.track
    if parts[0] == "bogie" and len(parts) > 1 and parts[1] in vehicle.bogie:
        return vehicle.bogie[parts[1]].at_mm
    if parts[0] == "bogie":
        at = [bogie.at_mm for bogie in vehicle.bogie.values()]
        return sum(x for x, _ in at) / len(at), sum(y for _, y in at) / len(at)
    if parts[0] == "track" and track is not None:
        if parts[1:2] == ["sprocket"]:
            return track.sprocket.at_mm
        if parts[1:2] == ["roller"] and len(parts) > 2 and parts[2].isdigit() and int(parts[2]) <= len(track.roller):
            return track.roller[int(parts[2]) - 1].at_mm
        return track.idler.at_mm
    return vehicle.hull.com_mm
