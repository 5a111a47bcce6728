"""`trundle course`: draws a course and lists its obstacles."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.cli.new_file import write_new
from trundle.errors import InputError, Problem
from trundle.record.files import write_bytes
from trundle.spec.course import Course, load_course
from trundle.spec.reader import parse_settings
from trundle.spec.shipped import find
from trundle.terrain.base import Obstacle
from trundle.terrain.ground import Ground, lay

FORMATS = ("png", "svg", "pdf")


@click.command("course")
@click.argument("course", metavar="COURSE", required=False)
@click.option("--out", type=str, metavar="FILE.png", help="Where to put the picture.")
@click.option("--set", "settings", multiple=True, metavar="PATH=VALUE", help="Change a field: obstacle.1.height_mm=120")
@click.option("--new", type=click.Path(path_type=Path), metavar="FILE.toml", help="Write a course file to change.")
@click.option(
    "--with", "wanted", multiple=True, metavar="KIND", help="What --new holds, once for each: all kinds if none."
)
@click.option("--kinds", is_flag=True, help="List the kinds of obstacle, and what a driver can be told.")
def course(
    course: str | None,
    out: str | None,
    settings: tuple[str, ...],
    new: Path | None,
    wanted: tuple[str, ...],
    kinds: bool,
) -> None:
    """Draw COURSE (a file, or the name of a shipped one), and list its obstacles and what its driver is told.

    \b
    trundle course yard                                      draw a course
    trundle course --kinds                                   what a course can hold
    trundle course --new mine.toml                           a file with one of each kind
    trundle course --new mine.toml --with "kerb up" --with trench
    """
    if wanted and new is None:
        raise InputError(Problem("names what a new file holds", field="--with", allowed="with --new FILE.toml"))
    if kinds or new is not None:
        if course is not None or out is not None or settings or (kinds and new is not None):
            given = "--kinds" if kinds else "--new"
            raise InputError(Problem("draws nothing, and stands alone", field=given))
        if new is not None:
            _write(new, wanted)
        else:
            _list_kinds()
        return
    if course is None:
        raise click.MissingParameter(param_hint="'COURSE'", param_type="argument")
    _draw(course, out, settings)


def _write(new: Path, wanted: tuple[str, ...]) -> None:
    # Only now: the guide's words are read from the source.
    from trundle.cli.course_file import course_text, kinds_called

    chosen = kinds_called(wanted)
    write_new(new, course_text(chosen, new.stem.replace("-", " ").replace("_", " ").strip().capitalize()), "--new")
    click.echo(f"Wrote {new}, with one of each of {len(chosen)} kinds. Change it, then")
    click.echo(f"  trundle course {new}")
    click.echo(f"  trundle run VEHICLE {new}")


def _list_kinds() -> None:
    from trundle.cli.course_file import kinds_listed

    click.echo("\n".join(kinds_listed()))
    click.echo('\nEach with its sizes and a picture: trundle explain "kerb up"')
    click.echo('A file to start from: trundle course --new mine.toml --with "kerb up" --with trench')


def _draw(course: str, out: str | None, settings: tuple[str, ...]) -> None:
    path = find("courses", course)
    spec = load_course(path, parse_settings(settings))
    file = Path(out) if out else Path("results") / f"course-{path.stem}.png"
    _format(file)
    title = spec.name.strip() or path.stem
    # Only now: matplotlib takes half a second to load.
    from trundle.cli.course_drawing import draw
    from trundle.cli.waiting import busy

    with busy(f"drawing {title}"):
        ground = lay(spec)
        picture, times = draw(ground, title, spec.note, _format(file))
    # Before anything is printed: whoever reads may leave early (| head), and the picture is wanted all the same.
    write_bytes(file, picture, "--out")
    click.echo("\n".join(listing(spec, ground, title)))
    scale = "to one scale" if times == 1 else f"heights {times} times larger than lengths"
    click.echo(f"\nDrawn in {file} ({scale}).")


def listing(spec: Course, ground: Ground, title: str) -> list[str]:
    """The course in lines: its length, a table of the obstacles with places and sizes, what the driver is told."""
    rows = [("", "obstacle", "from m", "to m", "size")]
    for i, (part, (name, start, end)) in enumerate(zip(spec.obstacle, ground.spans, strict=True), 1):
        rows.append((str(i), name, f"{start:.3f}", f"{end:.3f}", sizes(part)))
    wide = [max(len(r[c]) for r in rows) for c in range(4)]
    many = f"{len(spec.obstacle)} obstacle{'s' if len(spec.obstacle) > 1 else ''}"
    lines = [f"{title}: {ground.length_m:.1f} m, {many}", ""]
    for number, name, at, to, size in rows:
        lines.append(f"{number:>{wide[0]}}  {name:<{wide[1]}}  {at:>{wide[2]}}  {to:>{wide[3]}}  {size}".rstrip())
    if ground.tasks:
        lines += ["", "the driver, by the hull's centre of mass:"]
        lines += [f"{i}  at {task.at_m:.3f} m: {task.words}" for i, task in enumerate(ground.tasks, 1)]
    return lines


def sizes(part: Obstacle) -> str:
    """`height 100 mm, stone 125 mm`, and the target speed from there on."""
    speed = () if part.speed_m_s is None else (f"from its gap on at {part.speed_m_s:g} m/s",)
    return ", ".join([*part.sizes(), *speed])


def _format(file: Path) -> str:
    kind = file.suffix.lower().removeprefix(".")
    if kind not in FORMATS:
        raise InputError(Problem(f'cannot draw a "{file.suffix}" file', field="--out", allowed=".png, .svg or .pdf"))
    return kind
