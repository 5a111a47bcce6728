"""What of a vehicle can be taken hold of: each field that a table marks in the hull's axes, where its mark leads to.

Where a hand moves it, the value is sought that brings the mark's end there, by the table's own drawing: a kind that
draws its fields can be handled without a word of it here. Only a wheel has no place of its own in the hull: it is taken
at its rim, wherever it stands.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from trundle.fields.base import Spec
from trundle.fields.shape import Shape
from trundle.fields.sketch import XY, Around, Mark, Round, Span, Turn
from trundle.model.arrays import Floats
from trundle.spec.vehicle import Vehicle
from trundle.spec.vehicle_drawing import around_vehicle
from trundle_viewer.bench.fields import Value, is_number

STEPS = 6
"""Steps from a field's value to where the hand is: a length gets there in one, an angle in a few."""

NEAR_ENOUGH = 0.02
"""A step of less than this, in the field's unit, is the last."""

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


class Pull:
    """A handle that a hand moves: goes on from where it was, by how its mark moved with the value when it was taken."""

    def __init__(self, handle: Handle) -> None:
        self.handle = handle
        start = handle.value
        self._now = np.array(start if isinstance(start, tuple) else (start,), dtype=np.float64)
        self._end = np.array(handle.at)
        self._back: Floats | None = None
        """Mark's move [mm] to value's."""

    def value_for(self, to: XY) -> Value:
        """The value that brings the mark's end as near as it gets to a place in the hull [mm]; the one before where its
        table cannot be drawn with it."""
        before = self._now, self._end
        with suppress(ValueError, ArithmeticError, np.linalg.LinAlgError):
            self._seek(to)
            if np.isfinite(self._now).all() and np.isfinite(self._end).all():
                return _value(self._now)
        self._now, self._end = before
        return _value(self._now)

    def _seek(self, to: XY) -> None:
        if self._back is None or self.handle.rim is not None:
            self._end = self._place(self._now, to)
            self._back = self._slopes(self._end, to)
        for _ in range(STEPS):
            move = self._back @ (np.array(to) - self._end)
            if np.abs(move).max() < NEAR_ENOUGH:
                break
            self._now = self._now + move
            self._end = self._place(self._now, to)

    def held(self, value: Value) -> Handle:
        """The handle as it is now. value: what its field was given."""
        rim = self.handle.rim
        if rim is not None:
            rim = rim[0], math.dist(rim[0], self._end)
        return replace(self.handle, at=(float(self._end[0]), float(self._end[1])), value=value, rim=rim)

    def _place(self, values: Floats, to: XY) -> Floats:
        return np.array(self.handle.reach(_value(values), to))

    def _slopes(self, here: Floats, to: XY) -> Floats:
        """Of the value over the mark's end, by a small change of it; 0 where the mark does not follow."""
        slopes = []
        for k in range(len(self._now)):
            step = np.zeros(len(self._now))
            step[k] = 1e-3 * max(abs(float(self._now[k])), 1.0)
            slopes.append((self._place(self._now + step, to) - here) / step[k])
        back: Floats = np.linalg.pinv(np.stack(slopes, axis=1), rcond=1e-9)
        return back


def _value(values: Floats) -> Value:
    return (float(values[0]), float(values[1])) if len(values) == 2 else float(values[0])


def handles(vehicle: Vehicle, arms_deg: Mapping[str, float], axles_mm: Mapping[str, XY]) -> list[Handle]:
    """Of all its tables, points first. arms_deg: how its arms stand, by name; axles_mm: where its wheels' axles are in
    the hull, by the station's name."""
    found = [
        handle
        for part, table, around in _parts(vehicle, arms_deg)
        for inner in _within(part, part, table, around)
        for handle in _of_table(*inner)
    ]
    kinds = {station.name: bogie.wheel for name, bogie in vehicle.bogie.items() for station in bogie.stations_at(name)}
    rims = [_rim(vehicle, kinds[name], at) for name, at in axles_mm.items()]
    return [*sorted(found, key=lambda h: h.rim is not None), *rims]


def drawn(vehicle: Vehicle, arms_deg: Mapping[str, float], but: Vehicle) -> list[Shape]:
    """Its parts as their tables draw themselves in the hull, also of a vehicle that cannot be put together; but for
    those that another has too. Raises ValueError or ArithmeticError where a table cannot be drawn."""
    there = {part: table for part, table, _ in _parts(but, arms_deg)}
    return [
        shape
        for part, table, around in _parts(vehicle, arms_deg)
        if table != there.get(part)
        for sketch in table.sketches(around)
        if sketch.in_hull
        for shape in sketch.shapes
    ]


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


def _parts(vehicle: Vehicle, arms_deg: Mapping[str, float]) -> Iterator[tuple[str, Spec, Around]]:
    """Path of each part that can be taken hold of, its table, what lies about it."""
    track, about = vehicle.track, around_vehicle(vehicle, Around(arms_deg=dict(arms_deg)))
    yield "hull", vehicle.hull, about
    for name, bogie in vehicle.bogie.items():
        yield f"bogie.{name}", bogie, replace(about, name=name, wheel_radius_mm=vehicle.wheel[bogie.wheel].radius_mm)
    if track is not None:
        yield "track.sprocket", track.sprocket, about
        yield "track.idler", track.idler, about
        for k, roller in enumerate(track.roller, 1):
            yield f"track.roller.{k}", roller, about


def _within(part: str, path: str, table: Spec, around: Around) -> Iterator[Table]:
    """A table and all tables in it."""
    yield part, path, table, around
    for name in type(table).model_fields:
        value = getattr(table, name)
        if isinstance(value, Spec):
            yield from _within(part, f"{path}.{name}", value, table.inside(around, name))


def _of_table(part: str, path: str, table: Spec, around: Around) -> Iterator[Handle]:
    for (field, axes), (at, rim) in _ends(table, around).items():
        value = getattr(table, field, None)
        if not (is_number(value) or (isinstance(value, tuple) and len(value) == 2 and all(map(is_number, value)))):
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
    except (NotImplementedError, ValueError, ArithmeticError):
        return []  # none yet, or none with these numbers
    return [mark for sketch in sketches if sketch.in_hull for mark in sketch.marks]
