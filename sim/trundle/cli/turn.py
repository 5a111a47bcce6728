"""`trundle turn`: what it takes to turn, and whether parts and motor hold it."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.cli.inputs import set_option, vehicle_argument, vehicle_file


@click.command("turn")
@vehicle_argument
@set_option
@click.option("--run", "run", metavar="RUN", help="Folder of a run: with its wheel loads too.")
@click.option("--radius-m", type=float, default=0.0, metavar="R", help="Radius of the turn, m [as tight as it can].")
@click.option("--on", default="tarmac", metavar="GROUND", help="tarmac, wet-tarmac, concrete, grass ...; or 0.6.")
def turn(vehicle: str, settings: tuple[str, ...], run: str | None, radius_m: float, on: str) -> None:
    """What resists VEHICLE as it turns, and whether motor, grip, brake and its parts can do it.

    Moment, force and torque at each side, speed and power, on tarmac, concrete, grass, wet and dry; side force on each
    wheel, what axle bolts, arms and brackets have left; how near a tyre is to climbing the guide tooth.
    """
    given = vehicle_file(vehicle, settings)
    from trundle.handling.grounds import ground
    from trundle.handling.stations import on_rubber
    from trundle.handling.turn import check_radius
    from trundle.papers.screen import print_document
    from trundle.papers.turning import whole_turning

    check_radius(radius_m)
    ground(on, on_rubber(given.vehicle))
    with given.blamed():
        found = whole_turning(given.vehicle, vehicle, Path(run) if run is not None else None, radius_m, on)
    print_document(found.document)
