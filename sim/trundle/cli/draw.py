"""`trundle draw`: the vehicle to scale with every dimension of its file; also of a file that is refused."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trundle.cli.inputs import check_not_its_own, set_option, vehicle_argument
from trundle.errors import InputError, Problem
from trundle.record.files import write_bytes
from trundle.spec.doubts import doubts
from trundle.spec.readable import Reading, read_anyhow
from trundle.spec.reader import parse_settings
from trundle.spec.shipped import find

if TYPE_CHECKING:
    from trundle.elevation.plan import Plan
    from trundle.elevation.subject import Subject

FORMATS = (".pdf", ".png", ".svg")


@click.command("draw")
@vehicle_argument
@set_option
@click.option("--out", metavar="FILE.pdf|.png|.svg", help="Where to draw it [results/NAME-drawing.pdf].")
@click.option("--page", metavar="N|all", help="Of .png and .svg: which page [1]; all: one file for each.")
@click.option("--window", is_flag=True, help="Show it in a window instead of writing a file.")
def draw(vehicle: str, settings: tuple[str, ...], out: str | None, page: str | None, window: bool) -> None:
    """Draw VEHICLE (a file, or the name of a shipped one) to scale, with the dimensions of its file.

    Page 1 is the side elevation as it stands, its bogies large; page 2 has it standing, at full bump and at full droop;
    the others are its tables one by one. A .pdf has all pages, on A3. A file that is refused is drawn from what can
    be read, its faults marked in red; the exit code is 2 then.
    """
    path = find("vehicles", vehicle)
    file = Path(out) if out is not None else Path("results") / f"{path.stem}-drawing.pdf"
    if window and (out is not None or page is not None):
        raise InputError(Problem("--window writes no file", field="--out" if out is not None else "--page"))
    _check_target(file, path, page)
    plan, subject = plan_of(path, settings)
    if window:
        _show(plan)
    else:
        _write(plan, file, page)
    if subject.reading.refused:
        _say_refused(plan, subject)
        raise subject.reading.error


def plan_of(path: Path, settings: tuple[str, ...] = ()) -> tuple[Plan, Subject]:
    """The pages of a vehicle's file, and what is on them. Raises InputError where there is nothing to draw."""
    reading = read_anyhow(path, parse_settings(settings))
    if not reading.refused:
        for doubt in doubts(reading.vehicle):
            click.echo(f"note: {path}: {doubt}", err=True)
        _tell_unfit(reading, path)
    subject = _subject(reading)
    # Only now: fonts and pictures take a fifth of a second to load.
    from trundle.elevation.plan import drawn_plan

    day = datetime.fromtimestamp(path.stat().st_mtime).date().isoformat()
    return drawn_plan(subject, path.name, day), subject


def _tell_unfit(reading: Reading, path: Path) -> None:
    """That what is drawn cannot be built as it is; a spring that cannot work is told by the drawing itself."""
    from trundle.making.fits import remarks

    try:
        found = remarks(reading.vehicle)
    except InputError:
        return
    if found:
        more = f"; and {len(found) - 1} more: trundle fits {path}" if len(found) > 1 else ""
        click.echo(f"note: {path}: {found[0].kind}: {found[0]}{more}", err=True)


def _check_target(file: Path, source: Path, page: str | None) -> None:
    """Before any work: raises InputError for a file that cannot be meant."""
    suffix = file.suffix.lower()
    if suffix not in FORMATS:
        raise InputError(Problem(f'cannot draw a "{file.suffix}" file', field="--out", allowed=".pdf, .png or .svg"))
    check_not_its_own(file, source, "--out")
    if page is not None:
        if suffix == ".pdf":
            raise InputError(Problem("a .pdf has all pages", field="--page", allowed="with .png or .svg"))
        if page != "all" and not (page.isdecimal() and len(page) <= 3 and int(page) > 0):
            raise InputError(Problem(f'"{page}" is no page', field="--page", allowed="a number from 1, or all"))


def _subject(reading: Reading) -> Subject:
    """The vehicle standing, or as if; what is found only when it is stood joins the faults of its file."""
    from trundle.elevation.anyhow import parts_anyhow
    from trundle.elevation.subject import as_if, standing_subject
    from trundle.engine.carry import check_carried
    from trundle.papers.ground import stand_level

    if not reading.refused:
        try:
            at = stand_level(reading.vehicle)
            check_carried(at.assembly, at.q)
            return standing_subject(reading, at)
        except InputError as e:
            reading = reading.with_problems(e)
    return as_if(reading, parts_anyhow(reading.vehicle))


def _write(plan: Plan, file: Path, page: str | None) -> None:
    suffix = file.suffix.lower()
    if suffix == ".pdf":
        write_bytes(file, plan.pdf(), "--out")
        click.echo(f"Drawn in {file}: {len(plan.pages)} pages of A3, the vehicle {plan.scale}.")
        return
    if page is not None and page != "all" and int(page) > len(plan.pages):
        raise InputError(Problem(f"there is no page {page}", field="--page", allowed=f"1 to {len(plan.pages)}"))
    numbers = range(1, len(plan.pages) + 1) if page == "all" else [int(page or 1)]
    for number in numbers:
        drawing = plan.pages[number - 1]
        made = drawing.png() if suffix == ".png" else drawing.svg().encode()
        target = file.with_stem(f"{file.stem}-{number}") if page == "all" else file
        write_bytes(target, made, "--out")
        scale = f", the vehicle {plan.scale}" if number == 1 else ""
        click.echo(f"Drawn in {target}: page {number} of {len(plan.pages)}{scale}.")
    if len(numbers) < len(plan.pages):
        click.echo(f"--page N or --page all draws the others, a .pdf has all {len(plan.pages)}.")


def _show(plan: Plan) -> None:
    # Only now: pygame takes half a second to load, and nothing else here needs it.
    from trundle_viewer.paper import show

    show(plan.pages)


def _say_refused(plan: Plan, subject: Subject) -> None:
    """What the drawing of a refused file is worth."""
    marked = sum(bool(f.at) for f in plan.faults)
    count = len(plan.faults)
    faults = f"{count} fault{'s' if count > 1 else ''}"
    where = "marked in it" if marked == count else f"in its list, {marked} of them marked at their place"
    click.echo(f"The file is refused: {faults}, {where}. Drawn from what can be read.")
