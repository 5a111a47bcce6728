"""Turning as a paper of its own: `trundle turn`, `trundle.turning`."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from trundle.handling.grounds import ground
from trundle.handling.stations import on_rubber
from trundle.handling.turn import check_radius
from trundle.papers import turning_parts as show
from trundle.papers.ground import stand_level
from trundle.papers.loads import check_same_vehicle, run_folder
from trundle.papers.parts import Document
from trundle.papers.screen import as_text
from trundle.papers.turned import USUAL, Turned, turned
from trundle.papers.turning_words import answer
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True, repr=False)
class TurningSheet:
    """The figures and the text made from them."""

    turned: Turned
    document: Document

    def __str__(self) -> str:
        """All of it, as `trundle turn` prints it."""
        return as_text(self.document)

    def __repr__(self) -> str:
        loud = [line for part in self.document.parts for line in part.loud]
        first = loud[0] if loud else self.document.parts[0].lines[0]
        return f"{self.document.title}: {first}\nprint() it for all; .turned has the figures"


def turning(
    vehicle: GivenVehicle, *, run: str | Path | None = None, radius_m: float = 0.0, on: str = USUAL
) -> TurningSheet:
    """What it takes to turn a vehicle, and whether its parts hold it; `print` shows it.

    vehicle: a file, the name of a shipped one, or an object. run: folder of a run whose wheel loads count too.
    radius_m: of the turn, to the vehicle's middle; 0: on the spot, or about its braked inner side. on: a ground, or a
    friction as text ("0.6"). Raises InputError for an argument or a file that is wrong, or if the vehicle cannot stand.
    """
    check_radius(radius_m)
    ours = vehicle_input(vehicle)
    ground(on, rubber=on_rubber(ours.vehicle))
    source = str(ours.path) if ours.path is not None else f"{ours.stem}.toml"
    with ours.blamed():
        return whole_turning(ours.vehicle, source, None if run is None else Path(run), radius_m, on)


def whole_turning(vehicle: Vehicle, source: str, run: Path | None, radius_m: float, on: str) -> TurningSheet:
    """The same. source: its file, named in what to do next."""
    changed = check_same_vehicle(vehicle, run_folder(run)) if run is not None else ()
    found = turned(stand_level(vehicle), radius_m, on, run, changed)
    parts = (
        answer(found),
        show.everywhere(found),
        show.wider(found),
        show.wheels(found),
        show.parts_part(found),
        show.tooth(found),
        show.what_next(found, source),
        show.care(),
    )
    subtitle = "Slowly, on level ground: from how it stands" + (f", and from the run in {found.run}" if run else "")
    return TurningSheet(found, Document(f"{vehicle.name}: turning", subtitle, tuple(p for p in parts if p is not None)))
