"""What is possible but looks like a slip of the pen: a wrong datum, sign or unit, a diameter for a radius, both sides
for one. Said, not refused. Each check sees the same thing in two ways and names the field that looks wrong.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.spec.doubts import arms, drive, hull, springs, track, wheels
from trundle.spec.doubts.loads import Loads
from trundle.spec.reader import alike_once

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


def doubts(vehicle: Vehicle) -> list[str]:
    """In plain words, `field: why`; what several bogies have in common once."""
    loads = Loads.of(vehicle)
    found = [
        *hull.doubts(vehicle, loads),
        *wheels.doubts(vehicle, loads),
        *arms.doubts(vehicle, loads),
        *springs.doubts(vehicle, loads),
        *track.doubts(vehicle, loads),
        *drive.doubts(vehicle, loads),
    ]
    return [str(p) for p in alike_once(found)]
