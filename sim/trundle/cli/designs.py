"""Which of the names given are vehicles, and which courses: by what stands in the files, whatever they are called."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from trundle.errors import InputError, Problem
from trundle.spec.reader import parse_toml, read_text
from trundle.spec.shipped import find, names

OF_COURSE = {"obstacle", "run_out_mm", "run_up_mm", "speed_m_s"}
"""Tables and fields that only a course has."""

OF_VEHICLE = {"hull", "bogie", "bogies", "wheel", "track", "drive", "like"}
"""Tables and fields that only a vehicle has."""


def is_course(name: str) -> bool:
    """Whether a name is a course's: of a file that can be read by what stands in it, else of a shipped one.

    What is neither counts as no course: the vehicle's reader then says what is wrong with it.
    """
    path = Path(name)
    try:
        there = path.is_file()
    except (OSError, ValueError):
        there = False
    if not there:
        stem = name.removesuffix(".toml")
        return stem in names("courses") and stem not in names("vehicles")
    try:
        data = set(parse_toml(read_text(path), name))
    except InputError:
        return False
    return bool(data & OF_COURSE) and not data & OF_VEHICLE


def split(given: Sequence[str]) -> tuple[list[str], list[str]]:
    """The vehicles, which come first, and the courses.

    Raises InputError where no course is among them, or a vehicle stands behind one, or twice.
    """
    # Of two, the second is meant as a course unless it is a vehicle: its reader then says what is wrong with it.
    otherwise = 1 if len(given) == 2 and not _is_vehicle(given[1]) else len(given)
    first = next((k for k, name in enumerate(given) if k and is_course(name)), otherwise)
    vehicles, courses = list(given[:first]), list(given[first:])
    if not courses:
        # Whatever cannot be found at all is said first: it may have been meant as the course.
        for name in given[1:]:
            if name not in names("vehicles") and not Path(name).is_file():
                find("courses", name)
        raise InputError(Problem("a course is wanted too", field="COURSE", allowed="VEHICLE... COURSE..."))
    late = next((name for name in courses[1:] if not is_course(name) and _is_vehicle(name)), None)
    if late is not None:
        raise InputError(
            Problem(f'the vehicle "{late}" stands behind a course', field="VEHICLE", allowed="VEHICLE... COURSE...")
        )
    files = [find("vehicles", name).resolve() for name in vehicles]
    twice = next((name for k, name in enumerate(vehicles) if files[k] in files[:k]), None)
    if twice is not None:
        raise InputError(Problem(f'the vehicle "{twice}" is given twice', field="VEHICLE", allowed="files that differ"))
    return vehicles, courses


def _is_vehicle(name: str) -> bool:
    try:
        return bool(set(parse_toml(read_text(find("vehicles", name)), name)) & OF_VEHICLE)
    except InputError:
        return False
