"""What one field alone cannot show: parts in each other's way, fields that contradict each other.

`check_vehicle` gives what is wrong (exit code 2), `doubts` what is only unlikely (said, not refused).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from trundle.errors import Problem
from trundle.spec.weight import weight_of
from trundle.units import SIDES

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


HEAVY_PARTS = 0.7
"""Mass of arms, wheels and tracks over that of the hull, above which one of them looks wrong: invented and shipped
vehicles have 0.1 to 0.55 (common practice, no source)."""


class _Place(NamedTuple):
    """A wheel station with its arms at mid-travel: axle, tyre's radius, lowest and highest place of the axle, mm."""

    name: str
    field: str
    x: float
    y: float
    radius: float
    low: float
    high: float


def _places(vehicle: Vehicle) -> list[_Place]:
    """Every station whose wheel exists, its axle at mid-travel, from front to rear."""
    found: list[_Place] = []
    for name, bogie in vehicle.bogie.items():
        wheel = vehicle.wheel.get(bogie.wheel)
        if wheel is not None:
            found += [
                _Place(s.name, f"bogie.{name}", s.x_mm, s.y_mm, wheel.radius_mm, s.low_mm, s.high_mm)
                for s in bogie.stations_at(name)
            ]
    return sorted(found, key=lambda p: -p.x)


def _belly_height(vehicle: Vehicle, x: float) -> float | None:
    """Height of the belly outline over x, mm, or None beyond its ends."""
    points = vehicle.hull.belly_mm
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None


def check_vehicle(vehicle: Vehicle) -> list[Problem]:
    """Everything that makes this vehicle impossible, each with its field."""
    return [
        *_wheel_names(vehicle),
        *_wheels_apart(vehicle),
        *_wheels_below_belly(vehicle),
        *_track(vehicle),
        *_drag_once(vehicle),
        *_rollers(vehicle),
        *_balance(vehicle),
    ]


def _wheel_names(vehicle: Vehicle) -> Iterator[Problem]:
    for name, bogie in vehicle.bogie.items():
        if bogie.wheel not in vehicle.wheel:
            yield Problem(
                f'there is no wheel called "{bogie.wheel}"',
                field=f"bogie.{name}.wheel",
                allowed=", ".join(vehicle.wheel),
            )


def _wheels_apart(vehicle: Vehicle) -> Iterator[Problem]:
    thick = vehicle.track.thickness_mm if vehicle.track else 0.0
    places = _places(vehicle)
    for a, b in itertools.combinations(places, 2):
        gap = math.hypot(a.x - b.x, a.y - b.y) - a.radius - b.radius
        if gap < 0.0:
            yield Problem(f"wheels {a.name} and {b.name} overlap by {-gap:.0f} mm at mid-travel", field=a.field)
    if vehicle.track is None:
        return
    ends = (
        ("sprocket", vehicle.track.sprocket.at_mm, vehicle.track.sprocket_radius_m * 1e3),
        ("idler", vehicle.track.idler.at_mm, vehicle.track.idler.radius_mm),
    )
    for name, (x, y), radius in ends:
        for p in places:
            gap = math.hypot(p.x - x, p.y - y) - p.radius - radius
            if gap < thick:
                yield Problem(
                    f"the {name} (radius {radius:.0f} mm) and wheel {p.name} are {max(gap, 0.0):.0f} mm apart, "
                    f"less than the track is thick",
                    field=f"track.{name}.at_mm",
                )


def _wheels_below_belly(vehicle: Vehicle) -> Iterator[Problem]:
    for p in _places(vehicle):
        belly = _belly_height(vehicle, p.x)
        if belly is not None and p.high - p.radius >= belly:
            yield Problem(
                f"wheel {p.name} at its bump stop is wholly above the belly plate ({belly:.0f} mm), "
                "which then carries the vehicle",
                field=p.field,
                allowed="the wheel's underside below the belly at bump",
            )


def _track(vehicle: Vehicle) -> Iterator[Problem]:
    track = vehicle.track
    if track is None:
        return
    places = _places(vehicle)
    if not places:
        return
    first, last = places[-1].x, places[0].x
    ends = ("idler", track.idler), ("sprocket", track.sprocket)
    (front_name, front), (rear_name, rear) = ends if track.idler_at_front else ends[::-1]
    for name, part, beyond in (
        (front_name, front, front.at_mm[0] > last),
        (rear_name, rear, rear.at_mm[0] < first),
    ):
        if not beyond:
            yield Problem(
                f"the {name} must lie beyond the outermost road wheel (it is at {part.at_mm[0]:g}, "
                f"the road wheels reach from {first:.0f} to {last:.0f})",
                field=f"track.{name}.at_mm",
            )


def _drag_once(vehicle: Vehicle) -> Iterator[Problem]:
    if vehicle.track is not None:
        for name, wheel in vehicle.wheel.items():
            if wheel.rolling_drag is not None:
                yield Problem(
                    "has no effect with a track, whose rolling_drag is that of track and wheels together",
                    field=f"wheel.{name}.rolling_drag",
                    allowed="none, and track.rolling_drag",
                )


def _rollers(vehicle: Vehicle) -> Iterator[Problem]:
    track = vehicle.track
    places = _places(vehicle)
    if track is None or not places:
        return
    rear, front = sorted((track.sprocket.at_mm[0], track.idler.at_mm[0]))
    for i, roller in enumerate(track.roller):
        if not rear < roller.at_mm[0] < front:
            yield Problem(
                f"a return roller must lie between sprocket and idler (it is at {roller.at_mm[0]:g})",
                field=f"track.roller[{i + 1}].at_mm",
                allowed=f"{rear:g} to {front:g} forward of the tail",
            )
            continue
        near = [p for p in places if abs(p.x - roller.at_mm[0]) < p.radius + roller.radius_mm]
        if any(roller.at_mm[1] < p.high + p.radius for p in near) or roller.at_mm[1] < min(p.y for p in places):
            yield Problem(
                "a return roller must be above the road wheels at bump",
                field=f"track.roller[{i + 1}].at_mm",
            )


def _balance(vehicle: Vehicle) -> Iterator[Problem]:
    """Nothing stands with its weight beyond everything that touches the ground."""
    xs = [p.x for p in _places(vehicle)]
    if vehicle.track is not None:
        xs += [vehicle.track.sprocket.at_mm[0], vehicle.track.idler.at_mm[0]]
    x = vehicle.hull.com_mm[0]
    if len(xs) > 1 and not min(xs) < x < max(xs):
        yield Problem(
            f"the centre of mass ({x:g} mm forward of the tail) lies beyond every wheel: it tips over",
            field="hull.com_mm",
            allowed=f"{min(xs):.0f} to {max(xs):.0f}",
        )


def doubts(vehicle: Vehicle) -> list[str]:
    """What is possible but looks like a slip of the pen, in plain words."""
    return [*_mass_doubts(vehicle), *_size_doubts(vehicle), *_belly_doubts(vehicle), *_track_doubts(vehicle)]


def _mass_doubts(vehicle: Vehicle) -> Iterator[str]:
    hull = vehicle.hull
    arms = [bogie.sprung(name) for name, bogie in vehicle.bogie.items()]
    longest = max((a.arm_mm for a in arms if a is not None), default=0.0)
    if longest > 60.0 * hull.mass_kg**0.5:
        yield (
            f"hull.mass_kg is {hull.mass_kg:g} but the longest arm is {longest:g} mm: "
            "is the mass in kg and the length in mm?"
        )
    weight = weight_of(vehicle)
    if weight.parts_kg > HEAVY_PARTS * hull.mass_kg:
        yield (
            f"what the springs do not carry weighs {weight.parts_kg:.4g} kg ({weight}), the hull {hull.mass_kg:.4g} "
            f"({'hull.all_up_kg less that' if hull.all_up_kg is not None else 'hull.mass_kg'}): arm_mass_kg is that of "
            "one arm, a wheel's mass_kg that of one wheel, track.mass_kg_per_m that of one metre of one track"
        )
    box = hull.mass_kg * (hull.length_mm**2 + hull.height_mm**2) * 1e-6 / 12.0
    if hull.pitch_inertia_kg_m2 is not None and not 0.2 * box < hull.pitch_inertia_kg_m2 < 4.0 * box:
        yield (
            f"hull.pitch_inertia_kg_m2 is {hull.pitch_inertia_kg_m2:g}; an even box of this mass and size has {box:.0f}"
        )


def _size_doubts(vehicle: Vehicle) -> Iterator[str]:
    hull = vehicle.hull
    x, y = hull.com_mm
    if not (0.0 <= x <= hull.length_mm and 0.0 <= y <= 1.5 * hull.height_mm):
        yield f"hull.com_mm [{x:g}, {y:g}] lies outside the hull of {hull.length_mm:g} by {hull.height_mm:g} mm"
    places = _places(vehicle)
    if len(places) > 1 and not places[-1].x < x < places[0].x:
        yield "the centre of mass is not between the first and the last road wheel: it will tip"
    for name, wheel in vehicle.wheel.items():
        if "abreast" not in wheel.model_fields_set:
            many = round(SIDES * wheel.abreast * sum(b.stations for b in vehicle.bogie.values() if b.wheel == name))
            yield f"wheel.{name}.abreast is left out: two wheels abreast on each side are assumed, {many} wheels in all"
        if wheel.mass_kg > 0.25 * hull.mass_kg:
            yield f"wheel.{name}.mass_kg is {wheel.mass_kg:g}, a quarter of the hull or more"


def _belly_doubts(vehicle: Vehicle) -> Iterator[str]:
    hull = vehicle.hull
    for name in ("belly_span_mm", "belly_width_mm"):
        over = getattr(hull, name)
        if over is not None and over > hull.length_mm:
            yield f"hull.{name} is {over:g}, more than the whole hull is long ({hull.length_mm:g} mm)"
    spans = [s for s in (hull.belly_span_mm, hull.belly_width_mm) if s is not None]
    if hull.belly_sheet_mm is not None and spans and hull.belly_sheet_mm > 0.1 * min(spans):
        yield f"hull.belly_sheet_mm is {hull.belly_sheet_mm:g}, more than a tenth of what it spans: is that a plate?"


def _track_doubts(vehicle: Vehicle) -> Iterator[str]:
    track = vehicle.track
    if track is None:
        return
    wide = max(w.width_mm * w.abreast for w in vehicle.wheel.values())
    if track.width_mm < wide:
        yield f"the track is {track.width_mm:g} mm wide, its wheels side by side {wide:g} mm"
    if track.tooth_mm > min(w.radius_mm for w in vehicle.wheel.values()):
        yield f"track.tooth_mm is {track.tooth_mm:g}, higher than a wheel's radius"
