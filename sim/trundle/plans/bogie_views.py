"""A bogie put together, from the side: standing, at bump and at droop.

All about the middle of the pivots that hold it to the hull: forward and up from there [mm].
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trundle.bogies.parts import SpringPart, SwingPart
from trundle.elevation.outline import Seen, spring_shapes
from trundle.elevation.pose import Pose, pivots_at
from trundle.fields.shape import Shape, area, disc
from trundle.fields.sketch import XY, Around, Round, Span, Turn
from trundle.making.part import Made, Place
from trundle.plans.assembled import Line, named, tenth, view_of
from trundle.plans.general_views import grouped
from trundle.plans.stood import Stood
from trundle.plans.view import Dim, Item, View
from trundle.units import MM


@dataclass(frozen=True)
class Bogie:
    """One bogie of those that are alike. middle: of its pivots on the hull, in the hull [mm]."""

    stood: Stood
    name: str

    @property
    def swings(self) -> list[SwingPart]:
        """What moves of it."""
        return [p for p in self.stood.parts.swings if p.bogie == self.name]

    @property
    def springs(self) -> list[SpringPart]:
        """Its springs."""
        return [s for s in self.stood.parts.springs if s.bogie == self.name]

    @property
    def middle(self) -> XY:
        held = [p for p in self.swings if p.parent == 0]
        return sum(p.pivot_x for p in held) / len(held) / MM, held[0].pivot_y / MM

    def placed(self, pose: Pose) -> dict[str, tuple[float, float, float]]:
        """Pivot of each swing part from the middle [mm], and how it is turned [rad]."""
        mx, my = self.middle
        found = pivots_at(self.stood.parts, pose.arms_rad)
        return {
            p.name: (x - mx, y - my, turn)
            for p, (x, y, turn) in zip(self.stood.parts.swings, found, strict=True)
            if p.bogie == self.name
        }

    def axles(self, pose: Pose) -> list[tuple[str, float, float, float]]:
        """Name, place and radius of its wheels."""
        mx, my = self.middle
        own = {w.name for p in self.swings for w in p.wheels}
        return [(w.name, w.x - mx, w.y - my, w.radius) for w in pose.wheels if w.name in own]

    def made(self, what: str, on: str = "") -> Made | None:
        """A part that is made for it; on: the swing part that carries it."""
        return next(
            (
                m
                for m in self.stood.made
                if m.what == what and self.name in m.bogies and (not on or any(p.on == on for p in m.places))
            ),
            None,
        )

    def plates(self) -> list[tuple[Made, Place]]:
        """Its bracket plates, one of each two, with where they sit: on the hull, or on the arm that carries a beam."""
        found = []
        names = {p.name for p in self.swings}
        for m in self.stood.made:
            if m.what != "bracket plate" or self.name not in m.bogies:
                continue
            on_arm = next((q for q in m.places if q.on in names), None)
            on_hull = [q for q in m.places if q.on == "hull"]
            place = on_arm or min(on_hull, key=lambda q: abs(q.x_mm - self.middle[0]), default=None)
            if place is not None:
                found.append((m, place))
        return found

    def on_hull(self) -> Made | None:
        """The plate that hangs from the hull."""
        return next((m for m, place in self.plates() if place.on == "hull"), None)

    def frame(self, pose: Pose, on: str) -> tuple[float, float, float]:
        """Where the axes of what carries a part lie, from the middle [mm], and how they are turned [rad]."""
        mx, my = self.middle
        return (-mx, -my, 0.0) if on == "hull" else self.placed(pose)[on]


@dataclass(frozen=True)
class Lug:
    """What a leaf's end bears on above its bar: no field makes it. on: the arm; at_mm: along it from its pivot; from
    the bar's top to what the leaf touches, above the line of pivot and axle [mm]."""

    on: str
    at_mm: float
    from_mm: float
    to_mm: float


LEVEL_MM = 50.0
"""The pivots' level is drawn at least so far to both sides of their middle."""

LUG_MM = 9.0
"""Half of a lug's length along the arm, as drawn."""


def lugs(bogie: Bogie) -> list[Lug]:
    """Of the arms whose spring bears higher than their bar is."""
    found = []
    for spring in bogie.springs:
        top = getattr(spring.spring, "arm_top_mm", None)
        if not isinstance(top, float | int):
            continue
        for k in spring.swings:
            p = bogie.stood.parts.swings[k]
            made = bogie.made(p.what, p.name)
            high = made.height_mm - made.holes[0].up_mm if made is not None else top
            if top > high + 0.5:
                found.append(Lug(p.name, p.sign * spring.spring.bears_m(spring.mount) / MM, high, float(top)))
    return found


def bar(made: Made, sign: float) -> tuple[list[Shape], XY]:
    """An arm or beam level from its pivot as it is made, with its holes; and its far end's middle."""
    pivot = next(h for h in made.holes if h.name.startswith("pivot"))
    x0, x1 = -pivot.along_mm, made.length_mm - pivot.along_mm
    y0, y1 = -pivot.up_mm, made.height_mm - pivot.up_mm
    box = np.array([[sign * x0, y0], [sign * x1, y0], [sign * x1, y1], [sign * x0, y1]])
    shapes = [area("steel", box)]
    for h in made.holes:
        at = sign * (h.along_mm - pivot.along_mm), h.up_mm - pivot.up_mm
        shapes.append(disc("hole", *at, 0.5 * h.diameter_mm))
    return shapes, (sign * x1, 0.5 * (y0 + y1))


def side(bogie: Bogie, pose: Pose, title: str, full: bool) -> View:
    """From the side; full: with all that one sets up by, else with what differs from standing."""
    shapes = tuple(_side_shapes(bogie, pose))
    dims = list(_set_up(bogie, pose)) if full else list(_at_stop(bogie, pose))
    items = tuple(_items(bogie, pose)) if full else ()
    lines: list[Line] = []
    ends = [x + side * r for _, x, _, r in bogie.axles(pose) for side in (-1.0, 1.0)]
    lines.append((((min(*ends, -LEVEL_MM), 0.0), (max(*ends, LEVEL_MM), 0.0)), "axis"))
    for x, y, _ in bogie.placed(pose).values():
        lines += _cross(x, y, 26.0)
    for _, x, y, r in bogie.axles(pose):
        lines += _cross(x, y, 0.25 * r + 12.0)
    return view_of(title, pose, shapes, tuple(dims), items, (), tuple(lines))


def _cross(x: float, y: float, reach: float) -> list[Line]:
    return [(((x - reach, y), (x + reach, y)), "axis"), (((x, y - reach), (x, y + reach)), "axis")]


def _side_shapes(bogie: Bogie, pose: Pose) -> Iterator[Seen]:
    mx, my = bogie.middle
    path = f"bogie.{bogie.name}"
    for _, x, y, r in bogie.axles(pose):
        yield Seen("wheel", path, disc("rubber", x, y, r))
        yield Seen("wheel", path, disc("hole", x, y, 0.72 * r))
    for plate, place in bogie.plates():
        x, y, turn = bogie.frame(pose, place.on)
        left, low = place.x_mm - plate.com_mm[0], place.y_mm - plate.com_mm[1]
        corners = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]) * [plate.length_mm, plate.height_mm]
        bits = [area("steel", corners + np.array([left, low]))]
        bits += [disc("hole", left + h.along_mm, low + h.up_mm, 0.5 * h.diameter_mm) for h in plate.holes]
        for shape in bits:
            yield Seen("bracket", path, shape.moved(turn, np.array([x, y])))
    for spring in bogie.springs:
        for shape in spring_shapes(bogie.stood.parts, spring, pose):
            yield Seen("spring", path, shape.moved(0.0, np.array([-mx, -my])))
    placed = bogie.placed(pose)
    for lug in lugs(bogie):
        x, y, turn = placed[lug.on]
        low, high = lug.from_mm, lug.to_mm
        box = [
            [lug.at_mm - LUG_MM, low],
            [lug.at_mm + LUG_MM, low],
            [lug.at_mm + LUG_MM, high],
            [lug.at_mm - LUG_MM, high],
        ]
        yield Seen("stop", path, area("steel", np.array(box)).moved(turn, np.array([x, y])))
    for p in bogie.swings:
        x, y, turn = placed[p.name]
        made = bogie.made(p.what, p.name)
        bits = list(p.shapes) if made is None else bar(made, p.sign)[0]
        for shape in bits:
            yield Seen("arm", path, shape.moved(turn, np.array([x, y])))
        for what, spots in (("pivot sleeve", [(0.0, 0.0)]), ("axle sleeve", [(w.x / MM, w.y / MM) for w in p.wheels])):
            sleeve = bogie.made(what, p.name)
            if sleeve is None or sleeve.bore_mm is None:
                continue
            for spot in spots:
                for ring in (disc("steel", *spot, 0.5 * sleeve.height_mm), disc("hole", *spot, 0.5 * sleeve.bore_mm)):
                    yield Seen("arm", path, ring.moved(turn, np.array([x, y])))


def _set_up(bogie: Bogie, pose: Pose) -> Iterator[Dim]:
    """Standing: pivots apart, arms, axles from the pivots' line, wheels, what sets the spring."""
    name, placed = bogie.name, bogie.placed(pose)
    held = sorted((placed[p.name] for p in bogie.swings if p.parent == 0), key=lambda p: p[0])
    if len(held) > 1:
        a, b = held[0], held[-1]
        yield named(f"{name}.pivots apart", (tenth(b[0] - a[0]),), Span("", a[:2], b[:2], "x"))
    axles = bogie.axles(pose)
    for wheel, x, y, _ in axles:
        yield named(f"{name}.{wheel} axle down", (tenth(abs(y)),), Span("", (x, 0.0), (x, y), "y"))
    if len(axles) > 1:
        (_, x1, y1, _), (_, x0, y0, _) = axles[0], axles[-1]
        yield named(f"{name}.axles apart", (tenth(x1 - x0),), Span("", (x0, y0), (x1, y1), "x"))
    else:
        _, x, y, _ = axles[0]
        yield named(f"{name}.axle from pivot", (tenth(abs(x)),), Span("", (0.0, 0.0), (x, y), "x"))
    for p in bogie.swings:
        x, y, turn = placed[p.name]
        if p.what != "arm":
            continue
        c, s = math.cos(turn), math.sin(turn)
        reach = p.sign * p.radius / MM
        tip = x + c * reach, y + s * reach
        yield named(f"{name}.{p.name} arm", (tenth(p.radius / MM),), Span("", (x, y), tip))
        below = math.degrees(pose.arms_rad[bogie.stood.parts.swings.index(p)])
        yield _angle(f"{name}.{p.name} angle", p, (x, y), turn, below, 0.62)
        break  # the others are its mirror image, or stand in the list
    wheel, x, y, r = axles[0]
    yield named(f"{name}.wheel", (f"Ø{tenth(2.0 * r)}",), Round("", (x, y), r, "diameter", -50.0))
    plate = bogie.on_hull()
    if plate is not None:
        top = plate.height_mm - plate.holes[0].up_mm
        at = (-0.5 * plate.length_mm, top)
        yield named(f"{name}.bracket top", (tenth(top),), Span("", (at[0], 0.0), at, "y"))
    yield from _spring_set(bogie, pose)


def _angle(name: str, p: SwingPart, pivot: XY, turn: float, below: float, share: float) -> Dim:
    """Of an arm below (or above) level: from what carries it."""
    level = math.degrees(turn) + p.sign * below + (0.0 if p.sign > 0.0 else 180.0)
    now = math.degrees(turn) + (0.0 if p.sign > 0.0 else 180.0)
    words = (f"{abs(below):.1f}°", "above level" if below < 0.0 else "below level")
    return named(name, words, Turn("", pivot, share * p.radius / MM, *sorted((level, now))))


def _at_stop(bogie: Bogie, pose: Pose) -> Iterator[Dim]:
    """At a stop: each arm's angle, and how high its axle is."""
    placed = bogie.placed(pose)
    swings = bogie.stood.parts.swings
    for wheel, x, y, _ in bogie.axles(pose):
        words = (tenth(abs(y)), "above" if y > 0.0 else "below")
        yield named(f"{bogie.name}.{pose.how}.{wheel} axle", (" ".join(words),), Span("", (x, 0.0), (x, y), "y"))
    for p in bogie.swings:
        x, y, turn = placed[p.name]
        below = math.degrees(pose.arms_rad[swings.index(p)])
        if p.what == "arm" and abs(below) > 0.05:
            yield _angle(f"{bogie.name}.{pose.how}.{p.name} angle", p, (x, y), turn, below, 0.7)


def _spring_set(bogie: Bogie, pose: Pose) -> Iterator[Dim]:
    """Lengths and angles of the spring's own sketch that lie in the hull: what it is set by."""
    mx, my = bogie.middle
    swings = bogie.stood.parts.swings
    for part in bogie.springs[:1]:
        first = swings[part.swings[0]]
        angle = math.degrees(pose.arms_rad[part.swings[0]])
        around = Around(
            name=part.name, at_mm=(first.pivot_x / MM, first.pivot_y / MM), arm_deg=angle, arm_mm=first.radius / MM,
            pivots_apart_mm=part.mount.pivots_apart_m / MM, sign=part.sign,
        )  # fmt: skip
        for sketch in part.spring.sketches(around):
            if not sketch.in_hull:
                continue
            for mark in sketch.marks:
                value = getattr(part.spring, mark.field, None)
                if not isinstance(value, float | int) or mark.field not in part.spring.model_fields_set:
                    continue
                words = (mark.field.removesuffix("_mm").removesuffix("_deg").replace("_", " "), f"{value:g}")
                if isinstance(mark, Span):
                    a, b = (mark.a[0] - mx, mark.a[1] - my), (mark.b[0] - mx, mark.b[1] - my)
                    yield named(f"{bogie.name}.spring.{mark.field}", words, Span("", a, b, mark.along))
                elif isinstance(mark, Turn):
                    centre = (mark.centre[0] - mx, mark.centre[1] - my)
                    turn = Turn("", centre, mark.reach_mm, mark.from_deg, mark.to_deg)
                    yield named(f"{bogie.name}.spring.{mark.field}", (words[0], f"{words[1]}°"), turn)


def _items(bogie: Bogie, pose: Pose) -> Iterator[Item]:
    """A place of each of its parts that nothing covers."""
    plates = {m.mark: place for m, place in bogie.plates()}
    names = [p.name for p in bogie.swings]
    for mark, m in grouped(bogie.stood.made):
        if bogie.name not in m.bogies:
            continue
        if m.what == "leaf":
            yield Item(mark, _on_leaf(bogie, pose))
            continue
        spot = plates.get(mark) or next((q for name in names for q in m.places if q.on == name), None)
        if spot is None:
            on_hull = [q for q in m.places if q.on == "hull"]
            spot = min(on_hull, key=lambda q: abs(q.x_mm - bogie.middle[0]), default=None)
        if spot is None:
            continue
        x, y, turn = bogie.frame(pose, spot.on)
        px, py = spot.x_mm, spot.y_mm
        match m.what:
            case "bracket plate":
                px, py = px - 0.4 * m.length_mm, py + 0.35 * m.height_mm
            case "arm" | "beam":
                py -= 0.3 * m.height_mm
            case "pivot sleeve" | "axle sleeve":
                px -= 0.4 * m.height_mm
            case _:
                px += 0.3 * m.height_mm
        c, s = math.cos(turn), math.sin(turn)
        yield Item(mark, (x + c * px - s * py, y + s * px + c * py))


def _on_leaf(bogie: Bogie, pose: Pose) -> XY:
    mx, my = bogie.middle
    shapes = spring_shapes(bogie.stood.parts, bogie.springs[0], pose)
    stacks = [s.points for s in shapes if s.material == "spring"]
    points = np.concatenate(stacks)
    reach = 0.35 * float(points[:, 0].max() - points[:, 0].min())
    middle = 0.5 * float(points[:, 0].max() + points[:, 0].min())
    near = points[np.argsort(np.abs(points[:, 0] - middle - reach))[:4]]
    return float(near[:, 0].mean()) - mx, float(near[:, 1].mean()) - my
