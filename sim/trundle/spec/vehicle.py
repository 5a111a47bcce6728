"""The vehicle file: hull, wheels, bogies, track, drive."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from trundle.bogies import BogieKind
from trundle.errors import InputError, Problem
from trundle.fields.base import PLAIN, Name, Spec
from trundle.spec.checks import check_vehicle
from trundle.spec.drive import Drive
from trundle.spec.hull import Hull
from trundle.spec.lines import line_numbers
from trundle.spec.reader import located, matching_paths, parse_toml, read_text, set_values, validate
from trundle.spec.track import Track
from trundle.spec.wheel import Wheel
from trundle.units import MM

MOST_BOGIES = 12
"""Bogies that a vehicle may have; the model keeps room for as many (model.arrays)."""


class Vehicle(Spec):
    """Everything the builder says of one vehicle."""

    name: Annotated[str, Field(min_length=1, max_length=60), PLAIN]
    note: Annotated[str, Field(max_length=2_000), PLAIN] = ""
    hull: Hull
    wheel: Annotated[dict[Name, Wheel], Field(min_length=1, max_length=20)]
    """Road wheels by name: [wheel.road]."""

    bogie: Annotated[dict[Name, BogieKind], Field(min_length=1, max_length=MOST_BOGIES)]
    """Bogies by name: [bogie.front]."""

    drive: Drive
    track: Track | None = None
    """Left out: the wheels themselves drive and run on the ground."""

    @property
    def drive_radius_m(self) -> float:
        """Radius that turns torque at the sprocket, or at the axles, into push at the track, or at the ground [m].

        Without a track that of the largest wheel: of wheels of several sizes it is the one that makes least of a
        torque.
        """
        if self.track is not None:
            return self.track.sprocket_radius_m
        return max(w.radius_mm for w in self.wheel.values()) * MM


def load_vehicle(path: str | Path, settings: Mapping[str, Any] | None = None, text: str | None = None) -> Vehicle:
    """Read and check a vehicle file, with each `path: value` of `settings` put in.

    text: what stands in the file, if it has been read before. Raises InputError naming file, line and field of every
    problem found.
    """
    file = Path(path)
    text = read_text(file) if text is None else text
    data = parse_toml(text, str(file))
    if "hull" not in data and "obstacle" in data:
        raise InputError(Problem("is a course; a vehicle is wanted here", file=str(file)))
    return vehicle_from(data, settings, str(file), line_numbers(text))


def vehicle_from(
    data: dict[str, Any],
    settings: Mapping[str, Any] | None = None,
    file: str = "",
    lines: dict[tuple[str | int, ...], int] | None = None,
) -> Vehicle:
    """The same from tables already read. Raises InputError."""
    lines = dict(lines or {})
    if settings:
        data = set_values(data, dict(settings))
        # What was set by option is not on any line of the file.
        lines |= {at: 0 for path in settings for at in matching_paths(data, path)}
    vehicle = validate(Vehicle, data, file, lines)
    if problems := check_vehicle(vehicle):
        raise located(InputError(problems), file, lines)
    return vehicle
