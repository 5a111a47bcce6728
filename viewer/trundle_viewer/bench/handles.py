"""What of a vehicle can be taken hold of: each field that a table marks in the hull's axes, where its mark leads to.

Where a hand moves it, the value is sought that brings the mark's end there, by the table's own drawing: a kind that
draws its fields can be handled without a word of it here. Only a wheel has no place of its own in the hull: it is taken
at its rim, wherever it stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol, cast

import numpy as np

from trundle.fields.base import Spec
from trundle.fields.sketch import XY, Around, Mark, Round, Span, Turn
from trundle.spec.vehicle import Vehicle
from trundle_viewer.bench.fields import Value

STEPS = 4
"""Newton's steps from a field's value to where the hand is: a length gets there in one, an angle in three."""

LEAST_RIM_MM = 1.0
"""No circle is taken smaller [mm]."""


@dataclass(frozen=True)
class Handle:
    """One field that can be taken hold of. part: path of the table that is chosen with it; path: the field's; at: where
    its mark ends, in the hull [mm]; value: now; rim: of a circle its centre and radius, to be taken anywhere on it.

    reach: value to where its mark would end, towards a place (of a circle: on that side of it).
    """

    part: str
    path: str
    at: XY
    value: Value
    reach: Callable[[Value, XY], XY]
    rim: tuple[XY, float] | None = None

    def nearest(self, to: XY) -> XY:
        """The place of it that is nearest to another [mm]."""
        if self.rim is None:
            return self.at
        (cx, cy), radius = self.rim
        dx, dy = to[0] - cx, to[1] - cy
        size = math.hypot(dx, dy) or 1.0
        return cx + radius * dx / size, cy + radius * dy / size

    def value_for(self, to: XY) -> Value:
        """The value that brings it as near as it gets to a place in the hull [mm]."""
        start = self.value
        now = np.array(start if isinstance(start, tuple) else (start,), dtype=np.float64)

        def place(values: Any) -> Any:
            value = (float(values[0]), float(values[1])) if len(values) == 2 else float(values[0])
            return np.array(self.reach(value, to))

        for _ in range(STEPS):
            here = place(now)
            slopes = []
            for k in range(len(now)):
                step = np.zeros(len(now))
                step[k] = 1e-3 * max(abs(float(now[k])), 1.0)
                slopes.append((place(now + step) - here) / step[k])
            matrix = np.stack(slopes, axis=1)
            if not np.abs(matrix).max() > 1e-6:
                break
            move = np.linalg.lstsq(matrix, np.array(to) - here, rcond=None)[0]
            now = now + move
            if np.abs(move).max() < 1e-4:
                break
        return (float(now[0]), float(now[1])) if len(now) == 2 else float(now[0])


class _Inside(Protocol):
    """A table that says what lies about the tables in it."""

    def inside(self, around: Around) -> Around: ...


def handles(vehicle: Vehicle, arms_deg: Mapping[str, float], axles_mm: Mapping[str, XY]) -> list[Handle]:
    """Of all its tables. arms_deg: how its arms stand, by name; axles_mm: where its wheels' axles are in the hull, by
    the station's name. Those of small parts come first: they lie on top of the larger."""
    found = [h for table in _tables(vehicle, arms_deg) for h in _of_table(*table)]
    kinds = {station.name: bogie.wheel for name, bogie in vehicle.bogie.items() for station in bogie.stations_at(name)}
    rims = [_rim(vehicle, kinds[name], at) for name, at in axles_mm.items()]
    return [*sorted(found, key=lambda h: h.rim is not None), *rims]


def _rim(vehicle: Vehicle, kind: str, axle: XY) -> Handle:
    """A wheel's tyre where it stands."""

    def reach(value: Value, to: XY) -> XY:
        return _on_circle(axle, cast(float, value), to)

    radius = vehicle.wheel[kind].radius_mm
    part = f"wheel.{kind}"
    return Handle(part, f"{part}.radius_mm", (axle[0] + radius, axle[1]), radius, reach, (axle, radius))


def _on_circle(centre: XY, radius: float, to: XY) -> XY:
    dx, dy = to[0] - centre[0], to[1] - centre[1]
    size = math.hypot(dx, dy) or 1.0
    return centre[0] + radius * dx / size, centre[1] + radius * dy / size


Table = tuple[str, str, Spec, Around]
"""Path of the part that it belongs to, its own, the table, what lies about it."""


def _tables(vehicle: Vehicle, arms_deg: Mapping[str, float]) -> Iterator[Table]:
    hull, track = vehicle.hull, vehicle.track
    about = Around(arms_deg=dict(arms_deg), hull_length_mm=hull.length_mm, hull_height_mm=hull.height_mm)
    yield from _within("hull", "hull", hull, about)
    for name, bogie in vehicle.bogie.items():
        radius = vehicle.wheel[bogie.wheel].radius_mm if bogie.wheel in vehicle.wheel else about.wheel_radius_mm
        path = f"bogie.{name}"
        yield from _within(path, path, bogie, _with(about, name=name, wheel_radius_mm=radius))
    if track is not None:
        about = _with(about, track_thickness_mm=track.thickness_mm, track_width_mm=track.width_mm)
        yield from _within("track.sprocket", "track.sprocket", track.sprocket, about)
        yield from _within("track.idler", "track.idler", track.idler, about)
        for k, roller in enumerate(track.roller, 1):
            yield from _within(f"track.roller.{k}", f"track.roller.{k}", roller, about)


def _with(around: Around, **changes: Any) -> Around:
    from dataclasses import replace

    return replace(around, **changes)


def _within(part: str, path: str, table: Spec, around: Around) -> Iterator[Table]:
    """A table and all tables in it."""
    yield part, path, table, around
    inner = cast(_Inside, table).inside(around) if hasattr(table, "inside") else around
    for name in type(table).model_fields:
        value = getattr(table, name)
        if isinstance(value, Spec):
            yield from _within(part, f"{path}.{name}", value, inner)


def _of_table(part: str, path: str, table: Spec, around: Around) -> Iterator[Handle]:
    for (field, axes), (at, rim) in _ends(table, around).items():
        value = getattr(table, field, None)
        if isinstance(value, bool) or not isinstance(value, (int, float, tuple)):
            continue

        def reach(new: Value, to: XY, field: str = field, axes: int = axes) -> XY:
            ends = _ends(table.model_copy(update={field: new}), around)
            place, circle = ends.get((field, axes), (to, None))
            return place if circle is None else _on_circle(*circle, to)

        yield Handle(part, f"{path}.{field}", at, cast(Value, value), reach, rim)


Ends = dict[tuple[str, int], tuple[XY, tuple[XY, float] | None]]
"""By field, and how many numbers it takes: where its mark ends, and the circle that it is of."""


def _ends(table: Spec, around: Around) -> Ends:
    """Where each field's mark ends, of the marks in the hull's axes that have a length."""
    marks = _marks(table, around)
    points = {m.field for m in marks if isinstance(m, Span) and m.part}
    found: Ends = {}
    for mark in marks:
        size = 2 if mark.field in points else 1
        if isinstance(mark, Span):
            found.setdefault((mark.field, size), (mark.b, None))
        elif isinstance(mark, Round):
            half = mark.radius_mm if mark.what == "radius" else 0.5 * mark.radius_mm
            towards = math.radians(mark.towards_deg)
            at = mark.centre[0] + half * math.cos(towards), mark.centre[1] + half * math.sin(towards)
            found.setdefault((mark.field, size), (at, (mark.centre, max(half, LEAST_RIM_MM))))
        elif isinstance(mark, Turn):
            to = math.radians(mark.to_deg)
            at = mark.centre[0] + mark.reach_mm * math.cos(to), mark.centre[1] + mark.reach_mm * math.sin(to)
            found.setdefault((mark.field, size), (at, None))
    return found


def _marks(table: Spec, around: Around) -> list[Mark]:
    try:
        sketches = table.sketches(around)
    except NotImplementedError:
        return _plain_points(table)
    return [mark for sketch in sketches if sketch.in_hull for mark in sketch.marks]


def _plain_points(table: Spec) -> list[Mark]:
    """Of a table that has no sketch yet: its points in the hull."""
    marks: list[Mark] = []
    for name in ("at_mm", "com_mm", "seat_mm"):
        if name in type(table).model_fields:
            x, y = getattr(table, name)
            marks += [Span(name, (0.0, y), (x, y), "x", "forward"), Span(name, (x, 0.0), (x, y), "y", "up")]
    return marks
