"""`trundle watch`: see a run move, live or kept; pictures and movies of it without a window."""

from __future__ import annotations

import re
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trundle.cli.designs import split
from trundle.cli.inputs import set_option, vehicle_file
from trundle.cli.waiting import busy
from trundle.errors import InputError, Problem
from trundle.spec.shipped import find

if TYPE_CHECKING:
    from trundle_viewer.film import Film
    from trundle_viewer.live import LiveRun


@click.command("watch")
@click.argument("given", metavar="VEHICLE [[VEHICLE] COURSE] | RUN [RUN]", nargs=-1, required=True)
@set_option
@click.option("--movie", metavar="FILE.mp4|.gif", help="Write a movie instead of opening a window.")
@click.option("--frame", nargs=2, metavar="SECONDS FILE.png", help="Write one picture instead of opening a window.")
@click.option("--from", "from_s", type=float, metavar="SECONDS", help="Where the movie begins.")
@click.option("--to", "to_s", type=float, metavar="SECONDS", help="Where the movie ends.")
@click.option("--slow", type=float, default=1.0, metavar="TIMES", help="How many times slower than real (default 1).")
@click.option("--size", metavar="WIDTHxHEIGHT", help="Size of window, picture or movie, such as 1920x1080.")
@click.option("--show", multiple=True, metavar="LAYER", help="Show a layer (L in the window lists them), repeatable.")
@click.option("--hide", multiple=True, metavar="LAYER", help="Hide a layer, repeatable.")
@click.option("--light", is_flag=True, help="Light picture or movie instead of a dark one.")
def watch(
    given: tuple[str, ...],
    settings: tuple[str, ...],
    movie: str | None,
    frame: tuple[str, str] | None,
    from_s: float | None,
    to_s: float | None,
    slow: float,
    size: str | None,
    show: tuple[str, ...],
    hide: tuple[str, ...],
    light: bool,
) -> None:
    """Watch VEHICLE go over COURSE as it is worked out, or a kept RUN, or two vehicles or RUNs over each other.

    VEHICLE alone stands on the bench: its parts are moved with the mouse, and its figures follow. VEHICLE and COURSE
    are .toml files or names of shipped ones; a RUN is a folder that `trundle run` kept. Of two, the second is drawn
    dashed, the fields in which it differs are named, and D shows what is better and worse of it. H shows the keys.
    """
    if len(given) > 3:
        raise InputError(Problem(f"{len(given)} names are too many", field="watch", allowed=WHAT))
    first = given[0]
    if movie is not None and frame is not None:
        raise InputError(Problem("give --movie or --frame, not both", field="--movie"))
    if movie is None and (from_s is not None or to_s is not None or slow != 1.0):
        raise InputError(Problem("--from, --to and --slow go with --movie", field="--movie"))
    pixels = _pixels(size)
    if settings and Path(first).is_dir():
        raise InputError(Problem("a kept run is as it is: --set goes with a VEHICLE", field="--set"))
    if len(given) == 1 and not Path(first).is_dir():
        if movie is not None:
            raise InputError(Problem("nothing moves on the bench; name a course too", field="--movie"))
        if show or hide:
            raise InputError(
                Problem("the bench has no layers; name a course too", field="--show" if show else "--hide")
            )
        _bench(first, settings, frame, pixels, "light" if light else "dark")
        return
    # Only now: pygame and numba take most of a second to load, and nothing else of trundle needs the viewer.
    from trundle_viewer import app, export
    from trundle_viewer.layers import chosen, shown_at_first
    from trundle_viewer.movie import check_target

    theme = "light" if light else "dark"
    layers = chosen(export.frame_layers() if frame is not None else shown_at_first(), show, hide)
    if movie is not None:
        check_target(Path(movie))
    with busy("reading the run") if Path(first).is_dir() else nullcontext():
        film, ghost, live = _films(given, settings)
    if ghost is not None:
        from trundle_viewer import pair

        click.echo(pair.words(film, ghost))
        layers = chosen(layers | {pair.COMPARED}, (), hide)
    if movie is None and frame is None:
        app.watch(film, ghost, live, pixels, layers)
        return
    with busy("working out how they went") if live else nullcontext():
        for run in live:
            run.finish()
            if run.trouble is not None:
                raise InputError(Problem(f"the run broke off: {run.trouble}"))
    if frame is not None:
        out = Path(frame[1])
        export.export_frame(film, ghost, _seconds(frame[0]), out, pixels or (1280, 720), theme, layers)
        click.echo(f"Drawn in {out}.")
    elif movie is not None:
        out = Path(movie)
        with click.progressbar(length=100, label="Drawing") as bar:
            done = 0

            def tell(share: float) -> None:
                nonlocal done
                now = int(100 * share)
                bar.update(now - done)
                done = now

            count = export.export_movie(
                film, ghost, out, pixels or (1280, 720), from_s, to_s, slow, theme, tell, layers
            )
        click.echo(f"{count} frames in {out}.")


def _pixels(size: str | None) -> tuple[int, int] | None:
    if size is None:
        return None
    found = re.fullmatch(r"([0-9]{1,5})[xX]([0-9]{1,5})", size.strip())
    if found is None:
        raise InputError(Problem(f'"{size}" is no size', field="--size", allowed="WIDTHxHEIGHT, such as 1920x1080"))
    # Only now: it brings pygame.
    from trundle_viewer.export import check_size

    return check_size((int(found.group(1)), int(found.group(2))))


def _seconds(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise InputError(Problem(f'"{text}" is no time', field="--frame", allowed="seconds, such as 2.76")) from None


def _bench(
    name: str, settings: tuple[str, ...], frame: tuple[str, str] | None, size: tuple[int, int] | None, theme: str
) -> None:
    """The vehicle on the bench, in a window or as a picture; what was changed there is printed as options."""
    from trundle.result.ready import make_ready
    from trundle_viewer.bench.open import export_bench, open_bench

    given = vehicle_file(name, settings)
    make_ready()  # with a line to see; the window that opens next would stand still
    with given.blamed():
        if frame is not None:
            if _seconds(frame[0]) != 0.0:
                raise InputError(Problem("no time passes on the bench", field="--frame", allowed="0"))
            export_bench(given, Path(frame[1]), size or (1280, 720), theme)
            click.echo(f"Drawn in {frame[1]}.")
            return
        bench = open_bench(given, size, theme)
    if bench.design.now:
        click.echo(f"Changed: {bench.design.options()}")
    if bench.saved is not None:
        click.echo(f"Saved in {bench.saved}.")


WHAT = "watch VEHICLE, watch VEHICLE COURSE, watch VEHICLE VEHICLE COURSE, watch RUN, watch RUN RUN"


def _films(given: tuple[str, ...], settings: tuple[str, ...]) -> tuple[Film, Film | None, tuple[LiveRun, ...]]:
    """What to watch: folders are runs, anything else one vehicle or two that go over a course."""
    from trundle_viewer.film import check_same_course, film_of_folder

    if Path(given[0]).is_dir():
        if len(given) > 2:
            raise InputError(Problem("of kept runs two at most are laid over each other", field="RUN", allowed=WHAT))
        film = film_of_folder(given[0])
        if len(given) == 1:
            return film, None, ()
        ghost = film_of_folder(given[1])
        check_same_course(film, ghost)
        return film, ghost, ()
    vehicles, courses = split(given)
    if len(courses) > 1:
        raise InputError(Problem("one course is watched at a time", field="COURSE", allowed=WHAT))
    from trundle.engine.length import GROUND_MM
    from trundle.result.ready import make_ready
    from trundle.spec.course import load_course
    from trundle.terrain.ground import lay
    from trundle.units import MM
    from trundle_viewer.live import start

    found, course = [vehicle_file(name, settings) for name in vehicles], load_course(find("courses", courses[0]))
    make_ready()  # with a line to see; the window that opens next would stand still
    runs: list[LiveRun] = []
    try:
        for one in found:
            runs.append(start(one.vehicle, course, lay(course, GROUND_MM * MM)))
            runs[-1].film.vehicle_file = one.path if not settings else None
            runs[-1].film.source = one.path.name if one.path is not None else ""
    except InputError:
        for run in runs:
            run.stop()
        raise
    return runs[0].film, runs[1].film if len(runs) > 1 else None, tuple(runs)
