"""Vehicle and course as they are given: by name, by path, or as objects; and their text to keep beside a run."""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.exceptions import TOMLKitError

from trundle.errors import InputError
from trundle.result.kept_course import KeptCourse, kept_course
from trundle.spec.course import Course
from trundle.spec.course import load_course as course_at
from trundle.spec.lines import Path_, line_numbers
from trundle.spec.reader import located, parse_toml, put_settings, read_text, set_values
from trundle.spec.shipped import find
from trundle.spec.short import self_contained, tables_of
from trundle.spec.vehicle import Vehicle
from trundle.spec.vehicle import load_vehicle as vehicle_at

_HEAD = re.compile(r"[.\[]")
_NO_WORD = re.compile(r"\W+")


@dataclass(frozen=True)
class VehicleInput:
    """A vehicle and where it came from.

    path: its file, None for an object; settings: field paths set on top; text: the file's, as it was read: what is
    kept of a run is what was run, also if the builder has changed the file since.
    """

    vehicle: Vehicle
    path: Path | None = None
    settings: Mapping[str, Any] = field(default_factory=dict)
    text: str = ""

    @property
    def stem(self) -> str:
        """What a file or folder of it is called."""
        return _stem(self.path, self.vehicle.name, "vehicle")

    def text_as_used(self) -> str:
        """The file's text with the settings put in, comments kept; of an object what it was made of."""
        if self.path is None:
            return _dumped(self.vehicle)
        text = self_contained(self.text, str(self.path))
        return _as_used(self.vehicle, text, self.settings, lambda now: tables_of(now, "").data)

    @contextmanager
    def blamed(self) -> Iterator[None]:
        """Problems found later (the track does not fit) are told this file and the field's line."""
        with _blamed(self.path, lambda: tables_of(self.text, str(self.path)).lines, Vehicle.model_fields):
            yield


@dataclass(frozen=True)
class CourseInput:
    """A course and where it came from, as VehicleInput."""

    course: Course
    path: Path | None = None
    settings: Mapping[str, Any] = field(default_factory=dict)
    text: str = ""

    @property
    def stem(self) -> str:
        """What a file or folder of it is called."""
        return _stem(self.path, self.course.name, "course")

    @contextmanager
    def blamed(self) -> Iterator[None]:
        """As of a vehicle: a stop that this vehicle never gets to."""
        with _blamed(self.path, lambda: line_numbers(self.text), Course.model_fields):
            yield

    def kept(self) -> KeptCourse:
        """The text as of a vehicle, and the profiles that it names, as they were read."""
        dumped = _dumped(self.course)
        try:
            text = dumped if self.path is None else _as_used(self.course, self.text, self.settings, _parsed)
            return kept_course(text, self.course)
        except TOMLKitError:
            return kept_course(dumped, self.course)


GivenVehicle = Vehicle | VehicleInput | str | Path
GivenCourse = Course | CourseInput | str | Path
"""What a call may be given: an object, a path, the name of a shipped one."""


def vehicle_input(given: GivenVehicle, settings: Mapping[str, Any] | None = None) -> VehicleInput:
    """A vehicle given as object, path, or name of a shipped one.

    settings: field paths (`hull.mass_kg`) and values, for a path or name. Raises InputError.
    """
    if isinstance(given, VehicleInput):
        return given
    if isinstance(given, Vehicle):
        return VehicleInput(given)
    path = find("vehicles", given)
    text = read_text(path)
    return VehicleInput(vehicle_at(path, settings, text), path, dict(settings or {}), text)


def course_input(given: GivenCourse, settings: Mapping[str, Any] | None = None) -> CourseInput:
    """A course given as object, path, or name of a shipped one; settings as `vehicle_input`. Raises InputError."""
    if isinstance(given, CourseInput):
        return given
    if isinstance(given, Course):
        return CourseInput(given)
    path = find("courses", given)
    text = read_text(path)
    return CourseInput(course_at(path, settings, text), path, dict(settings or {}), text)


def load_vehicle(vehicle: str | Path, settings: Mapping[str, Any] | None = None) -> Vehicle:
    """The vehicle at a path, or the shipped one of that name (`teasel`).

    settings: fields to change and their values in the file's units, `{"hull.mass_kg": 300}`; `*` is any one name.
    Raises InputError with file, line and field of every problem found.
    """
    return vehicle_input(vehicle, settings).vehicle


def load_course(course: str | Path, settings: Mapping[str, Any] | None = None) -> Course:
    """The course at a path, or the shipped one of that name (`kerb-100`).

    settings: as for `load_vehicle`, `{"obstacle.1.height_mm": 120}`. A surveyed profile is looked for beside the
    course file. Raises InputError with file, line and field of every problem found.
    """
    return course_input(course, settings).course


@contextmanager
def _blamed(path: Path | None, lines: Callable[[], dict[Path_, int]], fields: Container[str]) -> Iterator[None]:
    """Problems with one of these fields, and with no others, are told the file and the field's line."""
    try:
        yield
    except InputError as e:
        # A problem with an argument (the speed) is none of the file's.
        if path is None or not all(_HEAD.split(p.field)[0] in fields and not p.file for p in e.problems):
            raise
        raise located(e, str(path), lines()) from None


def _stem(path: Path | None, name: str, otherwise: str) -> str:
    return path.stem if path is not None else _NO_WORD.sub("-", name.lower()).strip("-") or otherwise


def _as_used(made: BaseModel, text: str, settings: Mapping[str, Any], tables: Callable[[str], dict[str, Any]]) -> str:
    """tables: what a text says, spelled out."""
    try:
        return _with_settings(text, settings, tables)
    except TOMLKitError:  # it is stricter than Python's own reader: the values are kept then, the comments lost
        return _dumped(made)


def _dumped(made: BaseModel) -> str:
    """The file that gives an object back: what it was made of."""
    return tomlkit.dumps(_plain(made.model_dump(exclude_unset=True)))


def _plain(value: Any) -> Any:
    """What TOML can hold: tuples as lists, and no empty values."""
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items() if v is not None}
    return [_plain(v) for v in value] if isinstance(value, (list, tuple)) else value


def _with_settings(text: str, settings: Mapping[str, Any], tables: Callable[[str], dict[str, Any]]) -> str:
    if not settings:
        return text
    document = tomlkit.parse(text)
    put_settings(document, settings, lambda: tables(tomlkit.dumps(document)))
    made, meant = tomlkit.dumps(document), set_values(tables(text), dict(settings))
    # What is set of one bogie is not meant for another that is like it.
    return made if tables(made) == meant else tomlkit.dumps(meant)


def _parsed(text: str) -> dict[str, Any]:
    return parse_toml(text, "")
