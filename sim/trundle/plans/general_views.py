"""The views of the general arrangement: from the side, from above, from the front."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from trundle.bogies.joints import AxleBolt
from trundle.elevation.outline import Part, Seen
from trundle.elevation.pose import Pose, pivots_at
from trundle.fields.shape import area
from trundle.fields.sketch import XY, Span, Turn
from trundle.making.part import Made
from trundle.plans.assembled import Line, named, tenth, view_of
from trundle.plans.stood import Stood
from trundle.plans.view import Dim, Item, Stop, Tape, View
from trundle.spec.vehicle import Vehicle

GUESSED = 0.4
"""Width of sprocket, idler and rollers as drawn, of the track's: no field has it."""

STEEPEST_DEG = 88.0
"""Of an approach angle that is drawn: steeper, nothing stands out beyond the wheel that could strike first."""


def elevation(stood: Stood) -> View:
    """From the side, the hull level and the ground as it lies under it."""
    pose, m = stood.pose, stood.measures
    pitch = math.degrees(pose.pitch_rad)
    dims = [
        named("general.length", (f"{tenth(m.length_mm)} overall",), Span("", m.left, m.right, "x")),
        named("general.height", (tenth(m.highest[2]),), Span("", m.highest[1], m.highest[0])),
        named("general.clearance", (tenth(m.clearance[2]),), Span("", m.clearance[1], m.clearance[0])),
    ]
    if m.wheelbase_mm > 0.0:
        dims.append(
            named(
                "general.wheelbase",
                (f"{tenth(m.wheelbase_mm)} first to last axle",),
                Span("", m.last_axle, m.first_axle, "x"),
            )
        )
    for name, ramp, level in (("approach", m.front, -pitch), ("departure", m.rear, 180.0 - pitch)):
        if ramp.deg < STEEPEST_DEG:
            turned = level + ramp.deg if name == "approach" else level - ramp.deg
            reach = 0.7 * math.hypot(ramp.touch[0] - ramp.corner[0], ramp.touch[1] - ramp.corner[1])
            dims.append(
                named(f"general.{name}", (f"{ramp.deg:.1f}°",), Turn("", ramp.corner, reach, *sorted((level, turned))))
            )
    x0, x1 = m.left[0] - 60.0, m.right[0] + 60.0
    lines: list[Line] = [(((x0, pose.ground_at(x0)), (x1, pose.ground_at(x1))), "ground")]
    for ramp in (m.front, m.rear):
        lines.append(((ramp.corner, ramp.touch), "axis"))
    items = tuple(Item(mark, at) for mark, at in item_places(stood))
    shapes = tuple(s for s in stood.seen if s.part not in ("stop", "seat"))
    return view_of("Side elevation, standing", pose, shapes, tuple(dims), items, tuple(_tapes(stood)), tuple(lines))


def _tapes(stood: Stood) -> Iterator[Tape]:
    """Axles and pivots along the hull below; what belongs to hull and track above; heights on both sides."""
    vehicle, pose = stood.vehicle, stood.pose
    below: list[Stop] = []
    held = [
        (part, (x, y))
        for part, (x, y, _) in zip(stood.parts.swings, pivots_at(stood.parts, pose.arms_rad), strict=True)
        if not part.parent
    ]
    below += [Stop(f"forward.{p.name} pivot", at, f"{tenth(at[0])}  pivot {p.name}") for p, at in held]
    below += [Stop(f"forward.{w.name} axle", (w.x, w.y), f"{tenth(w.x)}  axle {w.name}") for w in pose.wheels]
    com = vehicle.hull.com_mm
    above = [Stop("forward.com", com, f"{tenth(com[0])}  mass centre")]
    above += [Stop(f"forward.{name}", at, f"{tenth(at[0])}  {name}") for name, at in _over(stood)]
    yield Tape("above", "tail datum, above", (0.0, 0.0), _once(above, 0))
    yield Tape("below", "tail datum, below", (0.0, 0.0), _once(below, 0))
    middle = 0.5 * (stood.measures.left[0] + stood.measures.right[0])
    top = (vehicle.hull.belly_mm[0][0], vehicle.hull.height_mm)
    heights = [
        Stop("up.com", com, f"{tenth(com[1])}  mass centre"),
        Stop("up.hull", top, f"{tenth(top[1])}  hull's top"),
    ]
    heights += [Stop(f"up.{name}", at, f"{tenth(at[1])}  {name}") for name, at in _over(stood)]
    heights += [Stop(f"up.{p.name} pivot", at, f"{tenth(at[1])}  pivots") for p, at in held]
    left, right = [h for h in heights if h.at[0] <= middle], [h for h in heights if h.at[0] > middle]
    if left:
        yield Tape("left", "belly datum, left", (0.0, 0.0), _once(left, 1))
    if right:
        yield Tape("right", "belly datum, right", (0.0, 0.0), _once(right, 1))


def _over(stood: Stood) -> Iterator[tuple[str, XY]]:
    """Axles of sprocket, idler (where the track sets it) and top rollers."""
    track = stood.vehicle.track
    if track is None:
        return
    for end in stood.pose.ends:
        yield end.name, (end.x, end.y)
    for i, roller in enumerate(track.roller, 1):
        yield f"roller {i}" if len(track.roller) > 1 else "roller", roller.at_mm


def _rounds(stood: Stood) -> list[tuple[XY, float]]:
    """Place and radius of sprocket, idler and rollers."""
    assert stood.vehicle.track is not None
    found = [((e.x, e.y), e.radius) for e in stood.pose.ends]
    return found + [(r.at_mm, r.radius_mm) for r in stood.vehicle.track.roller]


def _around(x0: float, y0: float, x1: float, y1: float) -> tuple[XY, ...]:
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)


def _once(found: Sequence[Stop], k: int) -> tuple[Stop, ...]:
    """Places that are told alike only once, in their order along the tape."""
    kept: dict[str, Stop] = {}
    for stop in sorted(found, key=lambda s: s.at[k]):
        kept.setdefault(stop.words, stop)
    return tuple(kept.values())


def item_places(stood: Stood) -> list[tuple[str, XY]]:
    """One place for each part that is made, standing; leaves of one stack as one."""
    found: list[tuple[str, XY]] = []
    at = dict(zip((p.name for p in stood.parts.swings), pivots_at(stood.parts, stood.pose.arms_rad), strict=True))
    for mark, part in grouped(stood.made):
        place = part.places[0] if part.places else None
        if place is None:
            continue
        x, y, turn = at.get(place.on, (0.0, 0.0, 0.0))
        c, s = math.cos(turn), math.sin(turn)
        px, py = place.x_mm, place.y_mm
        if part.what == "bracket plate":
            # Nearer to its upper corner, where nothing lies before it.
            px, py = px - 0.38 * part.length_mm, py + 0.3 * part.height_mm
        elif part.what == "leaf":
            px, py = leaf_top(stood, part.bogies[0])
        found.append((mark, (x + c * px - s * py, y + s * px + c * py)))
    return found


def leaf_top(stood: Stood, bogie: str) -> XY:
    """A place on a stack of leaves a little beside its middle [mm, hull]."""
    shapes = [s.shape for s in stood.seen if s.part == "spring" and s.path.startswith(f"bogie.{bogie}.")]
    points = np.concatenate([s.points for s in shapes if s.material == "spring"])
    middle = 0.5 * (points[:, 0].min() + points[:, 0].max())
    near = points[np.argsort(np.abs(points[:, 0] - middle - 40.0))[:2]]
    return float(near[:, 0].mean()), float(near[:, 1].mean())


def grouped(parts: Sequence[Made]) -> list[tuple[str, Made]]:
    """Marks with their parts, leaves of one stack under one mark: `L1-L9`."""
    found: list[tuple[str, Made]] = []
    stacks: dict[tuple[str, ...], list[Made]] = {}
    for part in parts:
        if part.what == "leaf":
            stacks.setdefault((part.path, *part.bogies), []).append(part)
        else:
            found.append((part.mark, part))
    for stack in stacks.values():
        mark = stack[0].mark if len(stack) == 1 else f"{stack[0].mark}-{stack[-1].mark[1:]}"
        found.append((mark, stack[0]))
    return found


def plan(stood: Stood) -> View:
    """From above: both sides where the file has the gauge, else one side about its own middle line."""
    vehicle, m, pose = stood.vehicle, stood.measures, stood.pose
    gauge, hull = vehicle.hull.gauge_mm, vehicle.hull
    middles = _middles(gauge)
    shapes: list[Seen] = []
    dims: list[Dim] = []
    lines: list[Line] = []
    left, right = hull.belly_mm[0][0], hull.belly_mm[-1][0]
    wide = hull.belly_width_mm
    if gauge is not None and wide is not None:
        shapes.append(_box("hull", left, -0.5 * wide, right, 0.5 * wide))
        dims.append(named("plan.belly width", (tenth(wide),), Span("", (left, -0.5 * wide), (left, 0.5 * wide), "y")))
    track = vehicle.track
    half = 0.5 * wheel_width(vehicle)
    for middle in middles:
        for w in pose.wheels:
            for a, b in wheel_bands(stood, w.name, w.kind):
                shapes.append(_box("wheel", w.x - w.radius, middle + a, w.x + w.radius, middle + b))
        for part in stood.parts.swings:
            shapes += _arm_above(stood, part.name, middle)
        if track is not None:
            half = 0.5 * track.width_mm
            x0, x1 = _track_ends(pose, track.thickness_mm)
            lines.append((_around(x0, middle - half, x1, middle + half), "cut"))
            for at, radius in _rounds(stood):
                lines.append((((at[0], middle - half - 12.0), (at[0], middle + half + 12.0)), "axis"))
                inner = GUESSED * half
                lines.append((_around(at[0] - radius, middle - inner, at[0] + radius, middle + inner), "hidden"))
        lines.append((((m.left[0] - 25.0, middle), (m.right[0] + 25.0, middle)), "axis"))
    outer = middles[-1] + half
    at_x = m.right[0]
    if gauge is not None:
        dims.append(named("plan.gauge", (tenth(gauge),), Span("", (at_x, -0.5 * gauge), (at_x, 0.5 * gauge), "y")))
        dims.append(named("plan.width", (tenth(2.0 * outer),), Span("", (at_x, -outer), (at_x, outer), "y")))
        lines.append((((m.left[0] - 25.0, 0.0), (m.right[0] + 25.0, 0.0)), "axis"))
    if track is not None:
        low = middles[0]
        dims.append(
            named(
                "plan.track width",
                (tenth(track.width_mm),),
                Span("", (m.left[0], low - half), (m.left[0], low + half), "y"),
            )
        )
    dims.append(named("plan.length", (tenth(m.length_mm),), Span("", (m.left[0], -outer), (m.right[0], -outer), "x")))
    title = "Plan, from above; front is right" if gauge is not None else "Plan of one side, from above; front is right"
    return view_of(title, pose, tuple(shapes), tuple(dims), (), (), tuple(lines))


def _middles(gauge: float | None) -> tuple[float, ...]:
    """Of each side's track or wheels, from the vehicle's middle."""
    return (0.0,) if gauge is None else (-0.5 * gauge, 0.5 * gauge)


def _box(part: Part, x0: float, y0: float, x1: float, y1: float, path: str = "") -> Seen:
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    return Seen(part, path, area("rubber" if part == "wheel" else "steel", corners))


def wheel_width(vehicle: Vehicle) -> float:
    """Over all wheels of a station [mm]: of the widest."""
    return max(w.abreast * w.width_mm for w in vehicle.wheel.values())


def axle_of(stood: Stood, station: str) -> AxleBolt | None:
    """The axle bolt of a station's wheels, if the file has it."""
    part = next(p for p in stood.parts.swings if any(w.name == station for w in p.wheels))
    bogie = stood.vehicle.bogie[part.bogie]
    for member in bogie.members(part.bogie):
        if member.what == part.what and member.carries_axle and member.build is not None:
            return member.build.axle
    return None


def wheel_bands(stood: Stood, station: str, kind: str) -> list[tuple[float, float]]:
    """Where the wheels of a station lie across the vehicle, from the middle of their track [mm]: (inner, outer)."""
    wheel, axle = stood.vehicle.wheel[kind], axle_of(stood, station)
    gap = axle.wheels_apart_mm if axle is not None else 0.0
    whole = wheel.abreast * wheel.width_mm + (wheel.abreast - 1) * gap
    return [
        (-0.5 * whole + k * (wheel.width_mm + gap), -0.5 * whole + k * (wheel.width_mm + gap) + wheel.width_mm)
        for k in range(wheel.abreast)
    ]


def _arm_above(stood: Stood, name: str, middle: float) -> Iterator[Seen]:
    """An arm or beam of the file's width."""
    made = next((m for m in stood.made if m.what in ("arm", "beam") and any(p.on == name for p in m.places)), None)
    part = next(p for p in stood.parts.swings if p.name == name)
    if made is None:
        return
    x, _, turn = dict(
        zip((p.name for p in stood.parts.swings), pivots_at(stood.parts, stood.pose.arms_rad), strict=True)
    )[name]
    pivot = next(h for h in made.holes if h.name.startswith("pivot"))
    ends = [part.sign * -pivot.along_mm, part.sign * (made.length_mm - pivot.along_mm)]
    c = math.cos(turn)
    a, b = sorted(x + c * e for e in ends)
    yield _box("arm", a, middle - 0.5 * made.width_mm, b, middle + 0.5 * made.width_mm)


def _track_ends(pose: Pose, thick: float) -> tuple[float, float]:
    rings = [(r.x, r.radius + thick) for r in (*pose.wheels, *pose.ends)]
    return min(x - r for x, r in rings), max(x + r for x, r in rings)


def front(stood: Stood) -> View | None:
    """From the front, seen along the hull; None where the file has no gauge."""
    vehicle, pose, m = stood.vehicle, stood.pose, stood.measures
    gauge, hull = vehicle.hull.gauge_mm, vehicle.hull
    if gauge is None:
        return None
    track = vehicle.track
    ground = pose.ground_at(m.first_axle[0])
    high = max(
        [e.y + e.radius + (track.thickness_mm if track else 0.0) for e in pose.ends]
        + [w.y + w.radius for w in pose.wheels]
    )
    shapes: list[Seen] = []
    lines: list[Line] = []
    wide = hull.belly_width_mm
    half = 0.5 * (track.width_mm if track is not None else wheel_width(vehicle))
    if wide is not None:
        shapes.append(_box("hull", -0.5 * wide, 0.0, 0.5 * wide, hull.height_mm))
    for middle in _middles(gauge):
        if track is not None:
            box = _box("end", middle - half, ground, middle + half, high)
            shapes.append(Seen("end", "", area("rubber", box.shape.points)))
        else:
            w = pose.wheels[0]
            shapes += [
                _box("wheel", middle + a, w.y - w.radius, middle + b, w.y + w.radius)
                for a, b in wheel_bands(stood, w.name, w.kind)
            ]
        lines.append((((middle, ground - 20.0), (middle, high + 20.0)), "axis"))
    outer = 0.5 * gauge + half
    lines.append((((-outer - 30.0, ground), (outer + 30.0, ground)), "ground"))
    lines.append((((0.0, ground - 20.0), (0.0, hull.height_mm + 20.0)), "axis"))
    dims = [
        named("front.gauge", (tenth(gauge),), Span("", (-0.5 * gauge, ground), (0.5 * gauge, ground), "x")),
        named("front.width", (tenth(2.0 * outer),), Span("", (-outer, ground), (outer, ground), "x")),
    ]
    if wide is not None:
        top = hull.height_mm
        dims.append(named("front.belly width", (tenth(wide),), Span("", (-0.5 * wide, top), (0.5 * wide, top), "x")))
    return view_of("From the front", pose, tuple(shapes), tuple(dims), (), (), tuple(lines))
