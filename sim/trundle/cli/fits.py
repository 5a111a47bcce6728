"""`trundle fits`: whether every part can be made, bought and put together."""

from __future__ import annotations

import sys

import click

from trundle.cli.inputs import set_option, vehicle_argument
from trundle.result.inputs import vehicle_input
from trundle.spec.reader import parse_settings

UNFIT = 1


@click.command("fits")
@vehicle_argument
@set_option
def fits(vehicle: str, settings: tuple[str, ...]) -> None:
    """Check that VEHICLE (a file, or the name of a shipped one) can be made: sleeves, bolts, nuts, washers, welds,
    holes, everything through its swing; each fault with the field to change.

    Exit code 1 where anything was found.
    """
    from trundle.making.fits import remarks
    from trundle.papers.fit_parts import fits_part
    from trundle.papers.parts import Document
    from trundle.papers.screen import print_document

    file = vehicle_input(vehicle, parse_settings(settings))
    with file.blamed():
        part, found = fits_part(file.vehicle), remarks(file.vehicle)
    print_document(Document(file.vehicle.name, "", (part,)))
    if found:
        sys.exit(UNFIT)
