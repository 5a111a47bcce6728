"""The whole vehicle on paper, put together from the sketches of its tables; what lies about each of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Mark, Note, Sketch

if TYPE_CHECKING:
    from trundle.fields.base import Spec
    from trundle.spec.vehicle import Vehicle


def around_vehicle(vehicle: Vehicle, around: Around) -> Around:
    """What lies about a vehicle's tables: its hull, its track, the axles of its road wheels with arms at mid-travel."""
    axles = tuple((s.x_mm, s.y_mm) for name, bogie in vehicle.bogie.items() for s in bogie.stations_at(name))
    wheel = next(iter(vehicle.wheel.values()))
    found = replace(
        around,
        axles_mm=axles,
        wheel_radius_mm=wheel.radius_mm,
        wheel_width_mm=wheel.width_mm,
        wheels_abreast=wheel.abreast,
        hull_length_mm=vehicle.hull.length_mm,
        hull_height_mm=vehicle.hull.height_mm,
    )
    return found if vehicle.track is None else vehicle.track.inside(found)


def around_bogie(vehicle: Vehicle, name: str) -> Around:
    """The same for one of its bogies, which has a name and a wheel of its own."""
    wheel = vehicle.wheel[vehicle.bogie[name].wheel]
    return replace(
        around_vehicle(vehicle, Around()),
        name=name,
        wheel_radius_mm=wheel.radius_mm,
        wheel_width_mm=wheel.width_mm,
        wheels_abreast=wheel.abreast,
    )


def vehicle_sketches(vehicle: Vehicle, around: Around) -> tuple[Sketch, ...]:
    """From the side, arms in the middle of their travel."""
    hull, inside = vehicle.hull, around_vehicle(vehicle, around)
    first = next(iter(vehicle.bogie))
    shapes: list[Shape] = [*_in_hull(hull, inside)]
    if vehicle.track is not None:
        shapes += _in_hull(vehicle.track, inside)
    for name, bogie in vehicle.bogie.items():
        shapes += _in_hull(bogie, around_bogie(vehicle, name))
    (x, y), low = vehicle.bogie[first].at_mm, min(p[1] for p in inside.axles_mm)
    axle = inside.axles_mm[-1]
    nose, tail = hull.belly_mm[-1], hull.belly_mm[0]
    drive = vehicle.track.sprocket.at_mm if vehicle.track is not None else axle
    marks: tuple[Mark, ...] = (
        Note("name", (0.5 * (nose[0] + tail[0]), hull.height_mm)),
        Note("note", (0.35 * (nose[0] + tail[0]), hull.height_mm)),
        Note("hull", (0.8 * nose[0], 0.8 * hull.height_mm)),
        Note("wheel", axle),
        Note("bogie", (x, y)),
        Note("drive", drive),
        Note("track", (0.5 * (nose[0] + tail[0]), low - inside.wheel_radius_mm)),
    )
    return (Sketch("vehicle", "side", tuple(shapes), marks, in_hull=True),)


def _in_hull(table: Spec, around: Around) -> tuple[Shape, ...]:
    return tuple(s for sketch in table.sketches(around) if sketch.in_hull for s in sketch.shapes)
