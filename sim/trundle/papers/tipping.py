"""Tipping as a paper of its own: `trundle tip`, `trundle.tipping`."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.handling.tip import Shift, Slopes, Tipping, check_shift, tipping_of
from trundle.papers import tipping_parts as show
from trundle.papers.ground import stand_level
from trundle.papers.parts import Document
from trundle.papers.screen import as_text
from trundle.result.inputs import GivenVehicle, vehicle_input
from trundle.spec.vehicle import Vehicle


@dataclass(frozen=True, repr=False)
class TippingSheet:
    """The figures and the text made from them. slopes: at which it tips, with what was moved."""

    tipping: Tipping
    slopes: Slopes
    document: Document

    def __str__(self) -> str:
        """All of it, as `trundle tip` prints it."""
        return as_text(self.document)

    def __repr__(self) -> str:
        first = self.document.parts[0]
        return f"{self.document.title}: {(*first.loud, *first.lines)[0]}\nprint() it for all; .slopes has the figures"


def tipping(vehicle: GivenVehicle, *, aside_mm: float = 0.0, ahead_mm: float = 0.0, up_mm: float = 0.0) -> TippingSheet:
    """On which slopes a vehicle tips over, slides, or is held by its brake; `print` shows it.

    vehicle: a file, the name of a shipped one, or an object. aside_mm, ahead_mm, up_mm: by how much what is at the seat
    is moved, to the downhill side, forward, up (each -2000 to 2000 mm). Raises InputError for an argument or a file
    that is wrong, or if the vehicle cannot stand.
    """
    shift = Shift(aside_mm, ahead_mm, up_mm)
    check(shift)
    ours = vehicle_input(vehicle)
    source = str(ours.path) if ours.path is not None else f"{ours.stem}.toml"
    with ours.blamed():
        return whole_tipping(ours.vehicle, source, shift)


def check(shift: Shift) -> None:
    """Raises InputError on what nobody leans or lifts by."""
    for value, argument in ((shift.aside_mm, "aside_mm"), (shift.ahead_mm, "ahead_mm"), (shift.up_mm, "up_mm")):
        check_shift(value, argument)


def whole_tipping(vehicle: Vehicle, source: str, shift: Shift) -> TippingSheet:
    """The same. source: its file, named in what to do next. Raises InputError for something moved that nobody knows
    the mass of."""
    at = stand_level(vehicle)
    found = tipping_of(at)
    show.check_seated(found, shift)
    slopes = found.slopes(shift)
    parts = (
        show.answer(found, slopes, shift),
        show.where(found, slopes),
        show.brake(found, slopes),
        show.moved(found),
        show.raised(found),
        show.in_turns(found, slopes),
        show.what_next(source),
        show.care(),
    )
    title = f"{vehicle.name}: tipping"
    subtitle = "Standing on an even, hard slope" + show.shifted(found, shift)
    return TippingSheet(found, slopes, Document(title, subtitle, tuple(p for p in parts if p is not None)))
