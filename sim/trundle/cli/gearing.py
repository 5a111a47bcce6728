"""`trundle gearing`: which ratio suits the motor on a course."""

from __future__ import annotations

import click

from trundle.cli.inputs import course_argument, course_file, set_option, vehicle_argument, vehicle_file


@click.command("gearing")
@vehicle_argument
@course_argument
@set_option
@click.option("--speed", type=float, metavar="M_S", help="Target speed, m/s, instead of the files' own.")
@click.option("--ratio", "ratios", type=float, multiple=True, metavar="R", help="Try this ratio; may be repeated.")
def gearing(
    vehicle: str, course: str, settings: tuple[str, ...], speed: float | None, ratios: tuple[float, ...]
) -> None:
    """Try other gear ratios of VEHICLE's motor over COURSE, and say which to take, and why.

    A run for each; the best and the vehicle's own are rolled again close by. Told are time, torque r.m.s. against what
    a motor may give for ever, top speed on the level, steepest slopes, battery. VEHICLE needs a table [drive.motor].
    """
    given, over = vehicle_file(vehicle, settings), course_file(course)
    from trundle.report.gearing import print_gearing
    from trundle.report.terminal import watched
    from trundle.result.gearing import gearing as gearing_of
    from trundle.result.ready import make_ready

    make_ready()
    with watched() as tell:
        found = gearing_of(given, over, ratios=ratios or None, speed_m_s=speed, on_progress=tell)
    print_gearing(found)
