"""Vehicle and course as the command line names them."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
import tomlkit

from trundle.errors import InputError
from trundle.spec.checks import doubts
from trundle.spec.course import Course, load_course
from trundle.spec.reader import line_numbers, located, matching_paths, node_at, parse_settings, read_text
from trundle.spec.shipped import find
from trundle.spec.vehicle import Vehicle, load_vehicle

_HEAD = re.compile(r"[.\[]")

vehicle_argument = click.argument("vehicle", metavar="VEHICLE")
course_argument = click.argument("course", metavar="COURSE")
set_option = click.option(
    "settings", "--set", multiple=True, metavar="PATH=VALUE",
    help="Change one field, e.g. hull.mass_kg=300 or bogie.front.spring.thickness_mm=7; * is any name. Repeatable.",
)  # fmt: skip


@dataclass(frozen=True)
class InputFile:
    """A file the builder named. settings: what was set by option."""

    path: Path
    settings: dict[str, Any]

    @property
    def stem(self) -> str:
        return self.path.stem

    def text_as_used(self) -> str:
        """The file's text with the settings put in, comments kept."""
        return _with_settings(read_text(self.path), self.settings)


@dataclass(frozen=True)
class VehicleFile(InputFile):
    """A vehicle and where it came from."""

    vehicle: Vehicle

    @contextmanager
    def blamed(self) -> Iterator[None]:
        """Problems found later (the track does not fit) are told this file and the field's line."""
        try:
            yield
        except InputError as e:
            # A problem with an option (--speed) is none of the file's.
            if not all(_HEAD.split(p.field)[0] in Vehicle.model_fields for p in e.problems):
                raise
            raise located(e, str(self.path), line_numbers(read_text(self.path))) from None


@dataclass(frozen=True)
class CourseFile(InputFile):
    """A course and where it came from."""

    course: Course

    def copy_surveys(self, folder: Path) -> None:
        """Put the files that the course's obstacles name beside its copy."""
        for source in (file for obstacle in self.course.obstacle for file in obstacle.files()):
            if source.is_file():
                inside = not source.is_absolute() or self.path.parent in source.parents
                target = folder / (source.relative_to(self.path.parent) if inside else source.name)
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(source, target)


def vehicle_file(name: str, settings: tuple[str, ...] = ()) -> VehicleFile:
    """The vehicle at a path or of a shipped name; what looks like a slip of the pen is said on stderr.

    Raises InputError.
    """
    path = find("vehicles", name)
    chosen = parse_settings(settings)
    vehicle = load_vehicle(path, chosen)
    for doubt in doubts(vehicle):
        click.echo(f"note: {path}: {doubt}", err=True)
    return VehicleFile(path, chosen, vehicle)


def course_file(name: str, settings: tuple[str, ...] = ()) -> CourseFile:
    """The course at a path or of a shipped name. Raises InputError."""
    path = find("courses", name)
    chosen = parse_settings(settings)
    return CourseFile(path, chosen, load_course(path, chosen))


def _with_settings(text: str, settings: dict[str, Any]) -> str:
    if not settings:
        return text
    document = tomlkit.parse(text)
    for path, value in settings.items():
        for at in matching_paths(document.unwrap(), path):
            node_at(document, at[:-1])[at[-1]] = value
    return tomlkit.dumps(document)
