"""`trundle mend`: what to change about the worst finding of a run."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.cli.inputs import course_argument, course_file, set_option, vehicle_argument, vehicle_file
from trundle.cli.stopping import if_stopped

CAUTION = (
    "One thing changed at a time, by one to four of a builder's steps. What leaves, bars and bolts weigh is not in it. "
    "Try it with --set, look at the whole verdict and at trundle sheet before you cut."
)


@click.command("mend")
@vehicle_argument
@course_argument
@set_option
@click.option("--speed", type=float, metavar="M_S", help="Target speed, m/s, instead of the files' own.")
@click.option(
    "--for", "figure", metavar="FIGURE", help="Figure to make better, e.g. peak_seat_g; else the worst finding's."
)
@click.option("--near", type=int, metavar="N", help="Near runs from which a help is told; default 8.")
@click.option("--workers", type=click.IntRange(1), metavar="N", help="Worker processes; default one per core.")
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Where the page with its picture goes.")
@click.option("--yes", is_flag=True, help="Start however long the runs are.")
def mend(
    vehicle: str,
    course: str,
    settings: tuple[str, ...],
    speed: float | None,
    figure: str | None,
    near: int | None,
    workers: int | None,
    out: Path | None,
    yes: bool,
) -> None:
    """What to change about the worst finding of VEHICLE over COURSE.

    Changes one thing at a time by what a builder would change it: the next stock size of leaf, bar, tube or bolt, an
    arm 10 mm longer, a hole moved by 5 mm, a stop by 5 degrees, a turn of the adjuster, the track's sag, a pad half as
    stiff, the next damper, the battery's place, the speed. Lists the three that help most, what each costs elsewhere,
    and the line to write into the file. What breaks something else, does not stand or does not get over is not listed.
    """
    given, over = vehicle_file(vehicle, settings), course_file(course)
    from trundle.cli.size import ask_about_study, check_numbers
    from trundle.cli.waiting import busy
    from trundle.engine.cores import core_count
    from trundle.engine.length import GROUND_MM
    from trundle.fields.near import NEAR
    from trundle.report.terminal import screen, watched
    from trundle.result.ready import make_ready
    from trundle.spec.reader import parse_settings
    from trundle.study.mend.page import check_folder
    from trundle.study.mend.printed import print_mended
    from trundle.study.mend.search import mend as mend_it

    fast = [] if speed is None else [speed]
    check_numbers(speeds_m_s=fast)
    at_once = workers or core_count()
    ask_about_study(vehicle, [course], parse_settings(settings), None, GROUND_MM, fast, at_once, yes)
    folder = out or Path("results") / f"mend-{given.stem}-{over.stem}"[:80]
    check_folder(folder)
    make_ready()  # in one process: workers that start together would each compile all of it
    with if_stopped("nothing of it is kept"):
        with watched() as tell:
            found = mend_it(
                given, over, figure=figure, speed_m_s=speed, near=NEAR if near is None else near, workers=workers,
                on_progress=tell,
            )  # fmt: skip
        with busy("drawing and writing"):
            page = found.save(folder)
    console = screen()
    print_mended(found, console)
    console.print()
    console.print(f"Page with pictures: {page}", soft_wrap=True)
    console.print()
    console.print(CAUTION, style="dim")
