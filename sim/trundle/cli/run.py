"""`trundle run`: one vehicle over one course."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from trundle.cli.inputs import course_argument, course_file, set_option, vehicle_argument, vehicle_file
from trundle.cli.near import near_option
from trundle.cli.size import ask_first, check_numbers, size_of
from trundle.cli.stopping import if_stopped
from trundle.cli.waiting import busy, progress
from trundle.engine.length import GROUND_MM
from trundle.fields.near import check_near

RESULTS = Path("results")


@click.command()
@vehicle_argument
@course_argument
@set_option
@click.option("--speed", type=float, metavar="M_S", help="One target speed for the whole course, m/s.")
@click.option("--dt-ms", type=float, metavar="MS", help="Time step, ms [1; 0.5 with beams on arms or no track].")
@click.option("--ground-mm", type=float, default=GROUND_MM, show_default=True, metavar="MM", help="Ground grid, mm.")
@near_option
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Run folder [results/VEHICLE-COURSE].")
@click.option("--watch", is_flag=True, help="Open the viewer on the finished run.")
@click.option(
    "--how-sure",
    is_flag=True,
    help="Repeat at half the step, half the grid, and both ends of what blows hang on; show the difference.",
)
@click.option("--yes", is_flag=True, help="Start it however long it is.")
@click.pass_context
def run(
    ctx: click.Context,
    vehicle: str,
    course: str,
    settings: tuple[str, ...],
    speed: float | None,
    dt_ms: float | None,
    ground_mm: float,
    near: int | None,
    out: Path | None,
    watch: bool,
    how_sure: bool,
    yes: bool,
) -> None:
    """Roll VEHICLE over COURSE: does it get over, how hard is it hit, does the belly touch.

    Prints a verdict and keeps the whole run in a folder, with a report to read or print.
    """
    check_numbers(dt_ms, ground_mm, [] if speed is None else [speed])
    check_near(near)
    if how_sure:
        from trundle.cli.how_sure import check_halves

        check_halves(dt_ms, ground_mm)
    rolled, over = vehicle_file(vehicle, settings), course_file(course)
    if out is not None:
        from trundle.record.store import check_place

        check_place(out)
    with rolled.blamed():
        size = size_of(rolled.vehicle, over.course, dt_ms, ground_mm, speed, how_sure, near)
        name = f"{rolled.stem}-{over.stem}"
        ask_first(size, yes, folder=out or RESULTS / name)

    from trundle.report.terminal import print_said
    from trundle.result.run import run as run_it

    with if_stopped("nothing of this run is kept"):
        with progress(f"{rolled.vehicle.name} over {over.stem}") as tell:
            result = run_it(
                rolled, over, dt_ms=dt_ms, ground_mm=ground_mm, speed_m_s=speed, near=near, on_progress=tell
            )
        # A folder that Trundle names is a new one: no earlier run is written over.
        with busy("keeping the run, its report and its pictures"):
            folder = result.save(out or RESULTS / name, replace=out is not None)
    with if_stopped(f"the run is kept in {folder}"):
        print_said(result.verdict)
        if how_sure:
            from trundle.cli.how_sure import print_how_sure

            print_how_sure(result, rolled, over, speed)
        click.echo(f"\nKept in {folder}")
        click.echo(f"  read    {folder / 'report.html'}")
        click.echo(f"  watch   trundle watch {folder}")
        if result.verdict.findings:
            sets = "".join(f" --set {shlex.quote(one)}" for one in settings)
            click.echo(f"  change  trundle mend {shlex.quote(vehicle)} {shlex.quote(course)}{sets}")
        if watch:
            from trundle_viewer.app import watch_result

            watch_result(result)
    if not result.completed:
        ctx.exit(3)
