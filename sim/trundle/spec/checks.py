"""What one field alone cannot show: parts in each other's way, fields that contradict each other.

What is wrong is refused (exit code 2); what is only unlikely is said (trundle.spec.doubts).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.places import places

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle


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
        *_sides_apart(vehicle),
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
    found = places(vehicle)
    for a, b in itertools.combinations(found, 2):
        gap = math.hypot(a.x - b.x, a.y - b.y) - a.radius - b.radius
        if gap < 0.0:
            radii = ", ".join(dict.fromkeys(f"wheel.{p.wheel}.radius_mm (now {p.radius:g})" for p in (a, b)))
            between = "at_mm of the two" if a.field != b.field else "arm_mm or wheels_apart_mm"
            yield Problem(
                f"wheels {a.name} and {b.name} overlap by {-gap:.0f} mm at mid-travel",
                field=a.field,
                allowed=f"less {radii}, which is half a wheel's diameter, or more between them: {between}",
            )
    if vehicle.track is None:
        return
    ends = (
        ("sprocket", vehicle.track.sprocket.at_mm, vehicle.track.sprocket_radius_m * 1e3),
        ("idler", vehicle.track.idler.at_mm, vehicle.track.idler.radius_mm),
    )
    for name, (x, y), radius in ends:
        for p in found:
            gap = math.hypot(p.x - x, p.y - y) - p.radius - radius
            if gap < thick:
                yield Problem(
                    f"the {name} (radius {radius:.0f} mm) and wheel {p.name} are {max(gap, 0.0):.0f} mm apart, "
                    f"less than the track is thick",
                    field=f"track.{name}.at_mm",
                    allowed=f"more than track.thickness_mm ({thick:g}); the {name}'s radius comes from "
                    + ("track.pitch_mm and teeth" if name == "sprocket" else "radius_mm")
                    + f", the wheel's is wheel.{p.wheel}.radius_mm",
                )


def _wheels_below_belly(vehicle: Vehicle) -> Iterator[Problem]:
    for p in places(vehicle):
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
    found = places(vehicle)
    if not found:
        return
    first, last = found[-1].x, found[0].x
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
    found = places(vehicle)
    if track is None or not found:
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
        near = [p for p in found if abs(p.x - roller.at_mm[0]) < p.radius + roller.radius_mm]
        if any(roller.at_mm[1] < p.high + p.radius for p in near) or roller.at_mm[1] < min(p.y for p in found):
            yield Problem(
                "a return roller must be above the road wheels at bump",
                field=f"track.roller[{i + 1}].at_mm",
            )


def _balance(vehicle: Vehicle) -> Iterator[Problem]:
    """Nothing stands with its weight beyond everything that touches the ground."""
    xs = [p.x for p in places(vehicle)]
    if vehicle.track is not None:
        xs += [vehicle.track.sprocket.at_mm[0], vehicle.track.idler.at_mm[0]]
    x = vehicle.hull.com_mm[0]
    if len(xs) > 1 and not min(xs) < x < max(xs):
        yield Problem(
            f"the centre of mass ({x:g} mm forward of the tail) lies beyond every wheel: it tips over",
            field="hull.com_mm",
            allowed=f"{min(xs):.0f} to {max(xs):.0f}",
        )


def _sides_apart(vehicle: Vehicle) -> Iterator[Problem]:
    """Left and right do not lie in each other."""
    gauge, track = vehicle.hull.gauge_mm, vehicle.track
    if gauge is None:
        return
    wide = {f"wheel.{name}.width_mm": wheel.width_mm for name, wheel in vehicle.wheel.items()}
    if track is not None:
        wide["track.width_mm"] = track.width_mm
    field = max(wide, key=lambda name: wide[name])
    if gauge <= wide[field]:
        yield Problem(
            f"left and right overlap: {field} is {wide[field]:g}, and their middles are {gauge:g} apart",
            field="hull.gauge_mm",
            allowed=f"above {wide[field]:g}",
        )
