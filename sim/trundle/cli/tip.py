"""`trundle tip`: the slopes on which a vehicle tips over, slides, or is held."""

from __future__ import annotations

import click

from trundle.cli.inputs import set_option, vehicle_argument, vehicle_file


@click.command("tip")
@vehicle_argument
@set_option
@click.option(
    "--aside-mm", type=float, default=0.0, metavar="MM", help="What is at the seat moved downhill, -: uphill."
)
@click.option("--ahead-mm", type=float, default=0.0, metavar="MM", help="Moved forward, -: back.")
@click.option("--up-mm", type=float, default=0.0, metavar="MM", help="Raised, -: lowered.")
def tip(vehicle: str, settings: tuple[str, ...], aside_mm: float, ahead_mm: float, up_mm: float) -> None:
    """On which slopes VEHICLE tips over: across, nose up, tail up, stiff and with the give of its springs.

    What its brake holds, what comes first, sliding or tipping; what leaning and a raised load do; how fast it may turn.
    """
    given = vehicle_file(vehicle, settings)
    from trundle.handling.tip import Shift
    from trundle.papers.screen import print_document
    from trundle.papers.tipping import check, whole_tipping

    shift = Shift(aside_mm, ahead_mm, up_mm)
    check(shift)
    with given.blamed():
        found = whole_tipping(given.vehicle, vehicle, shift)
    print_document(found.document)
