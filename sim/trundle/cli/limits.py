"""`trundle limits`: what a vehicle can do at most, and what stops it there."""

from __future__ import annotations

import click

from trundle.cli.inputs import set_option, vehicle_argument, vehicle_file

CAUTION = (
    "Found in the side view on hard ground, with one grip, the driver never easing off. Not a promise: keep "
    "well below, try low first, at walking pace, with a kill switch and nobody near."
)


@click.command("limits")
@vehicle_argument
@set_option
@click.option("--speed", type=float, metavar="M_S", help="Target speed, m/s, instead of the vehicle's own.")
def limits(vehicle: str, settings: tuple[str, ...], speed: float | None) -> None:
    """Search for the highest kerb, widest ditch and steepest ramp that VEHICLE manages, and say why no more.

    Takes some thirty runs. Change the grip with --set drive.grip=0.4.
    """
    given = vehicle_file(vehicle, settings)
    from trundle.report.terminal import print_limits, watched
    from trundle.result.limits import limits as limits_of
    from trundle.result.ready import make_ready

    # Before the line that tells of the search.
    make_ready()
    with watched() as tell:
        found = limits_of(given, speed_m_s=speed, on_progress=tell)
    print_limits(found, CAUTION)
