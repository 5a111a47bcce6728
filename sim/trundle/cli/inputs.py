"""Vehicle and course as the command line names them."""

from __future__ import annotations

from pathlib import Path

import click

from trundle.errors import InputError, Problem
from trundle.result.inputs import CourseInput, VehicleInput, course_input, vehicle_input
from trundle.spec.doubts import doubts
from trundle.spec.reader import parse_settings

vehicle_argument = click.argument("vehicle", metavar="VEHICLE")
course_argument = click.argument("course", metavar="COURSE")
set_option = click.option(
    "settings", "--set", multiple=True, metavar="PATH=VALUE",
    help="Change one field, e.g. hull.mass_kg=300 or bogie.front.spring.thickness_mm=7; * is any name. Repeatable.",
)  # fmt: skip


def vehicle_file(name: str, settings: tuple[str, ...] = ()) -> VehicleInput:
    """The vehicle at a path or of a shipped name; what looks like a slip of the pen is said on stderr.

    Raises InputError.
    """
    given = vehicle_input(name, parse_settings(settings))
    tell_doubts(given)
    return given


def tell_doubts(given: VehicleInput) -> None:
    """What looks like a slip of the pen, on stderr."""
    for doubt in doubts(given.vehicle):
        click.echo(f"note: {given.path}: {doubt}", err=True)


def check_not_its_own(file: str | Path, source: Path | None, option: str) -> None:
    """Raises InputError where a command would write over the vehicle that it reads."""
    if source is not None and Path(file).resolve() == source.resolve():
        raise InputError(Problem("is the vehicle's own file; another is wanted", option, file=str(file)))


def course_file(name: str, settings: tuple[str, ...] = ()) -> CourseInput:
    """The course at a path or of a shipped name. Raises InputError."""
    return course_input(name, parse_settings(settings))
