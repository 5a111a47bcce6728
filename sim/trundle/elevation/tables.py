"""Every table of a vehicle with its path, what lies about it, and which tables say the same."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trundle.bogies.parts import Parts
from trundle.elevation.anyhow import BROKEN
from trundle.elevation.pose import Pose
from trundle.fields.base import Spec
from trundle.fields.sketch import Around, Sketch
from trundle.spec.vehicle import Vehicle

PLACE = "at_mm"
"""The field in which tables may differ that are alike otherwise."""


@dataclass(frozen=True)
class Table:
    """A table, where it stands, and its views, drawn with what lies about it. alike: paths of the tables that say the
    same in all but their place, in the order of the file."""

    path: str
    table: Spec
    sketches: tuple[Sketch, ...]
    alike: tuple[str, ...]

    @property
    def first(self) -> bool:
        """Whether it is the one of its like that is drawn with all of its dimensions."""
        return self.path == self.alike[0]


def tables(vehicle: Vehicle, parts: Parts, pose: Pose, refused: bool = False) -> list[Table]:
    """All of them below the vehicle, each before those that stand in it. refused: their file is; tables that contradict
    themselves have no views then."""
    found = [
        row for path, table in _inside("", vehicle) for row in _below(path, table, _around(vehicle, parts, pose, path))
    ]
    by_content: dict[tuple[type, str], list[str]] = {}
    for path, table, _ in found:
        by_content.setdefault(_content(table), []).append(path)
    return [
        Table(path, table, _views(table, around, refused), tuple(by_content[_content(table)]))
        for path, table, around in found
    ]


def _views(table: Spec, around: Around, refused: bool) -> tuple[Sketch, ...]:
    try:
        return table.sketches(around)
    except BROKEN:
        if not refused:
            raise
        return ()


def _content(table: Spec) -> tuple[type, str]:
    placeless = table.model_copy(update={PLACE: None}) if PLACE in type(table).model_fields else table
    return type(table), repr(placeless)


def _below(path: str, table: Spec, around: Around) -> Iterator[tuple[str, Spec, Around]]:
    yield path, table, around
    for at, inner in _inside(path, table):
        name = at[len(path) + 1 :].partition("[")[0].partition(".")[0]
        yield from _below(at, inner, table.inside(around, name))


def _inside(path: str, table: Spec) -> Iterator[tuple[str, Spec]]:
    """The tables that stand in one, with their paths."""
    for name in type(table).model_fields:
        value = getattr(table, name, None)
        at = f"{path}.{name}" if path else name
        if isinstance(value, Spec):
            yield at, value
        elif isinstance(value, Mapping):
            yield from ((f"{at}.{key}", entry) for key, entry in value.items() if isinstance(entry, Spec))
        elif isinstance(value, tuple):
            yield from ((f"{at}[{i}]", entry) for i, entry in enumerate(value, 1) if isinstance(entry, Spec))


def _around(vehicle: Vehicle, parts: Parts, pose: Pose, path: str) -> Around:
    """What lies about a table of the vehicle's own, with the vehicle as it is put."""
    first, _, name = path.partition(".")
    bogie = vehicle.bogie.get(name) if first == "bogie" else None
    kind = bogie.wheel if bogie is not None else name if first == "wheel" else next(iter(vehicle.wheel))
    wheel = vehicle.wheel.get(kind, next(iter(vehicle.wheel.values())))
    track = vehicle.track
    return Around(
        name=name,
        at_mm=bogie.at_mm if bogie is not None else (0.0, 0.0),
        arms_deg={p.name: math.degrees(a) for p, a in zip(parts.swings, pose.arms_rad, strict=True)},
        wheel_radius_mm=wheel.radius_mm,
        wheel_width_mm=wheel.width_mm,
        wheels_abreast=wheel.abreast,
        track_thickness_mm=track.thickness_mm if track is not None else 0.0,
        track_width_mm=track.width_mm if track is not None else wheel.width_mm,
        pitch_mm=track.pitch_mm if track is not None else 60.0,
        axles_mm=tuple((w.x, w.y) for w in pose.wheels),
        hull_length_mm=vehicle.hull.length_mm,
        hull_height_mm=vehicle.hull.height_mm,
    )
