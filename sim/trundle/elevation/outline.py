"""What is seen of a vehicle from the side, in the hull's axes [mm], from what lies behind to what lies in front."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from trundle.bogies.parts import Parts, SpringPart
from trundle.elevation.pose import Pose, Round, pivots_at
from trundle.errors import InputError
from trundle.fields.shape import Points, Shape, area, disc, line
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

Part = Literal["hull", "bracket", "stop", "spring", "arm", "wheel", "end", "roller", "track", "links", "seat", "com"]

LINKS_FROM_MM = 0.9
"""Links of a track closer together than this on paper are not drawn one by one: they would be a grey stripe."""


@dataclass(frozen=True, eq=False)
class Seen:
    """A shape, and what it is of; path: where that stands in the file."""

    part: Part
    path: str
    shape: Shape


def seen(vehicle: Vehicle, parts: Parts, pose: Pose) -> list[Seen]:
    """The whole vehicle."""
    return [
        *_hull(vehicle),
        *_brackets(vehicle, parts),
        *_ends(vehicle, pose),
        *_wheels(pose),
        *_stops(parts, pose),
        *_springs(parts, pose),
        *_arms(parts, pose),
        *_track(pose),
    ]


def hull_line(vehicle: Vehicle) -> Points:
    """The hull box: the belly from tail to nose, and up to its height."""
    hull = vehicle.hull
    belly = hull.belly_mm
    return np.array([*belly, (belly[-1][0], hull.height_mm), (belly[0][0], hull.height_mm)])


def _hull(vehicle: Vehicle) -> Iterator[Seen]:
    hull = vehicle.hull
    yield Seen("hull", "hull", area("steel", hull_line(vehicle)))
    x, y = hull.seat_mm
    size = 0.03 * hull.length_mm
    cushion = np.array([[x - 1.3 * size, y + 2.6 * size], [x - size, y], [x + 1.4 * size, y]])
    yield Seen("seat", "hull.seat_mm", line("mark", cushion, 0.0))
    cx, cy = hull.com_mm
    yield Seen("com", "hull.com_mm", disc("mark", cx, cy, 0.012 * hull.length_mm))


def _brackets(vehicle: Vehicle, parts: Parts) -> Iterator[Seen]:
    """The plate that holds a bogie's pivots: as the file has it, or a plain one up to the belly."""
    for name, bogie in vehicle.bogie.items():
        held = [p for p in parts.swings if p.bogie == name and p.parent == 0]
        if not held:
            continue
        plate = next(
            (m.build.bracket for m in bogie.members(name) if m.pivots_mm and m.build and m.build.bracket), None
        )
        xs, y = [p.pivot_x / MM for p in held], held[0].pivot_y / MM
        middle = 0.5 * (min(xs) + max(xs))
        if plate is not None:
            low, high = y - plate.pivots_from_bottom_mm, y - plate.pivots_from_bottom_mm + plate.height_mm
            left, right = middle - 0.5 * plate.length_mm, middle + 0.5 * plate.length_mm
        else:
            low, high, left, right = y - 18.0, y + 60.0, min(xs) - 30.0, max(xs) + 30.0
        box = np.array([[left, low], [right, low], [right, high], [left, high]])
        yield Seen("bracket", f"bogie.{name}.build.bracket", area("steel", box))


def _springs(parts: Parts, pose: Pose) -> Iterator[Seen]:
    for place in parts.springs:
        for shape in spring_shapes(parts, place, pose):
            yield Seen("spring", place.path, shape)


def spring_shapes(parts: Parts, place: SpringPart, pose: Pose) -> list[Shape]:
    """A spring as its arms bend it, in the hull."""
    angles = tuple(pose.arms_rad[j] for j in place.swings)
    middle = np.array(parts.middle_mm(place))
    return [shape.moved(0.0, middle) for shape in place.shapes(angles, _torques(place, angles))]


def _torques(place: SpringPart, angles: tuple[float, ...]) -> tuple[float, ...]:
    try:
        return tuple(place.spring.at(angles, place.mount).torques_Nm)
    except (InputError, ValueError):  # it cannot work there, which its message says: drawn without load
        return (0.0,) * len(angles)


def _arms(parts: Parts, pose: Pose) -> Iterator[Seen]:
    for part, (x, y, turn) in zip(parts.swings, pivots_at(parts, pose.arms_rad), strict=True):
        for shape in part.shapes:
            yield Seen("arm", part.field, shape.moved(turn, np.array([x, y])))


def _stops(parts: Parts, pose: Pose) -> Iterator[Seen]:
    """The arc on which an arm's axle goes from stop to stop."""
    for part, (x, y, turn), angle in zip(parts.swings, pivots_at(parts, pose.arms_rad), pose.arms_rad, strict=True):
        if part.what != "arm":
            continue
        level = turn + part.sign * angle
        turns = level - part.sign * np.linspace(part.bump, part.droop, 25)
        reach = part.sign * part.radius / MM
        arc = np.array([x, y]) + reach * np.stack([np.cos(turns), np.sin(turns)], axis=1)
        yield Seen("stop", f"{part.field}.stops", line("mark", arc))
        for a in (turns[0], turns[-1]):
            ends = [[x + f * reach * np.cos(a), y + f * reach * np.sin(a)] for f in (0.9, 1.1)]
            yield Seen("stop", f"{part.field}.stops", line("mark", np.array(ends)))


def _wheels(pose: Pose) -> Iterator[Seen]:
    for w in pose.wheels:
        path = f"wheel.{w.kind}"
        yield Seen("wheel", path, disc("rubber", w.x, w.y, w.radius))
        yield Seen("wheel", path, disc("steel", w.x, w.y, 0.7 * w.radius))
        yield Seen("wheel", path, disc("hole", w.x, w.y, min(0.12 * w.radius, 10.0)))


def _ends(vehicle: Vehicle, pose: Pose) -> Iterator[Seen]:
    track = vehicle.track
    if track is None:
        return
    for end in pose.ends:
        path = f"track.{end.name}"
        outline = _toothed(vehicle, end) if end.name == "sprocket" else None
        yield Seen(
            "end", path, area("steel", outline) if outline is not None else disc("steel", end.x, end.y, end.radius)
        )
        yield Seen("end", path, disc("hole", end.x, end.y, 0.62 * end.radius))
        yield Seen("end", path, disc("steel", end.x, end.y, 0.22 * end.radius))
        yield Seen("end", path, disc("hole", end.x, end.y, min(0.09 * end.radius, 10.0)))
    for i, roller in enumerate(track.roller, 1):
        yield Seen("roller", f"track.roller[{i}]", disc("steel", *roller.at_mm, roller.radius_mm))
        yield Seen("roller", f"track.roller[{i}]", disc("hole", *roller.at_mm, 0.25 * roller.radius_mm))


def _toothed(vehicle: Vehicle, end: Round) -> Points:
    """The sprocket's rim: so many teeth, their tops in the middle of the track."""
    assert vehicle.track is not None
    teeth = vehicle.track.sprocket.teeth
    high = 0.5 * vehicle.track.thickness_mm
    step = 2.0 * math.pi / teeth
    points = []
    for k in range(teeth):
        for share, radius in ((-0.3, 0.0), (-0.14, high), (0.14, high), (0.3, 0.0)):
            a = (k + share) * step
            points.append((end.x + (end.radius + radius) * math.cos(a), end.y + (end.radius + radius) * math.sin(a)))
    return np.array(points)


def _track(pose: Pose) -> Iterator[Seen]:
    if pose.outer is None or pose.inner is None:
        return
    outer = np.concatenate([pose.outer, pose.outer[:1]])
    inner = np.concatenate([pose.inner, pose.inner[:1]])
    # One ribbon, cut open where it begins, so that what it runs round stays free.
    yield Seen("track", "track", area("rubber", np.concatenate([outer, inner[::-1]])))
    if pose.pins is not None:
        for pin in pose.pins:
            yield Seen("links", "track", line("mark", pin))


def extent(shapes: Sequence[Seen], pose: Pose) -> tuple[float, float, float, float]:
    """Left, lowest, right and highest place of what is seen, and of the ground under it [mm]."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for s in shapes:
        size = s.shape.size_mm if s.shape.form == "disc" else 0.5 * s.shape.size_mm
        low = np.minimum(low, s.shape.points.min(axis=0) - size)
        high = np.maximum(high, s.shape.points.max(axis=0) + size)
    ground = min(pose.ground_at(float(low[0])), pose.ground_at(float(high[0])))
    return float(low[0]), min(float(low[1]), ground), float(high[0]), float(high[1])
