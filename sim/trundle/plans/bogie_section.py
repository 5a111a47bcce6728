"""A bogie cut level through one arm's pivot and axle, from above, the arm laid straight: how its bolts stack up.

Forward from the pivot, and across from the middle of the station [mm].
"""

from __future__ import annotations

from collections.abc import Sequence

from trundle.bogies.parts import SwingPart
from trundle.fields.sketch import Note, Span
from trundle.making.bolted import Bolted, Layer
from trundle.making.part import Made
from trundle.plans.assembled import named, tenth
from trundle.plans.bogie_views import Bogie, bar
from trundle.plans.ink import Centre, Cut, Ink, Path, rectangle
from trundle.plans.view import Dim, View
from trundle.steel.fasteners import FASTENERS
from trundle.units import MM

LEANS = {"plate": 45.0, "sleeve": -45.0, "washer": None, "spacer": 45.0}
"""Of hatching; pieces that touch lean differently, thin ones are solid."""


def sections(bogie: Bogie) -> list[View]:
    """One for each kind of arm or beam of it that has bolts."""
    firsts = {p.what: p for p in reversed(bogie.swings)}
    views = (_section(bogie, p) for p in bogie.swings if firsts[p.what] is p)
    return [v for v in views if v is not None]


def _section(bogie: Bogie, swing: SwingPart) -> View | None:
    """Through its pivot and its first axle, or the pivot of the beam that it carries."""
    swings = bogie.stood.parts.swings
    carried = next((p for p in bogie.swings if p.parent and swings[p.parent - 1] is swing), None)
    far = swing.wheels[0].x / MM if swing.wheels else carried.pivot_x / MM if carried is not None else 0.0
    spots = [(0.0, _bolt(bogie, "pivot bolt", swing))]
    if swing.wheels:
        spots.append((far, _bolt(bogie, "axle bolt", swing)))
    elif carried is not None:
        spots.append((far, _bolt(bogie, "pivot bolt", carried)))
    stacks = [(x, b) for x, b in spots if b is not None]
    if not stacks:
        return None
    under: list[Ink] = []
    over: list[Ink] = []
    dims: list[Dim] = []
    name = f"{bogie.name}.{swing.what} section"
    made = bogie.made(swing.what, swing.name)
    if made is not None:
        x0, x1 = sorted(float(p[0]) for p in bar(made, swing.sign)[0][0].points[:2])
        under += _bar_cut(made, x0, x1)
        half = 0.5 * made.width_mm
        end = x0 if far > 0.0 else x1
        dims.append(named(f"{name}.wide", (f"{tenth(made.width_mm)} wide",), Span("", (end, -half), (end, half), "y")))
    for k, (x, bolt) in enumerate(stacks):
        low = _low(bolt)
        below, above = _layers(bogie, x, low, bolt)
        under, over = [*below, *under], [*over, *above]
        dims += _told(f"{name}.{'far ' if k else ''}{bolt.what.split()[0]}", x, low, bolt)
    if len(stacks) == 2:
        dims.append(named(f"{name}.reach", (tenth(abs(far)),), Span("", (0.0, 0.0), (far, 0.0), "x")))
    what = "pivot and axle" if swing.wheels else "both its pivots"
    title = f"{swing.what.capitalize()} cut through {what}, laid straight, from above"
    return View(title, (*under, *over), tuple(dims))


def _bolt(bogie: Bogie, what: str, swing: SwingPart) -> Bolted | None:
    """The bolt of that member of the bogie. Alike bolts of several bogies are one, under the path of the first of them:
    what follows the bogie's name tells the member."""
    member = next(m for m in bogie.stood.vehicle.bogie[bogie.name].members(bogie.name) if m.what == swing.what)
    for bolt in bogie.stood.bolted:
        if bolt.what == what and bogie.name in bolt.bogies and _tail(bolt.path) == _tail(member.path):
            return bolt
    return None


def _tail(path: str) -> list[str]:
    """What follows a bogie's name in the path of one of its members, or of a table in its build."""
    return path.partition(".build")[0].split(".")[2:]


def _bar_cut(made: Made, x0: float, x1: float) -> list[Ink]:
    """Of an arm: its two walls, or all of it."""
    half = 0.5 * made.width_mm
    if made.stock.form not in ("square tube", "round tube"):
        return [Cut((rectangle(x0, -half, x1, half),), 45.0)]
    wall = made.stock.sizes_mm[1]
    walls: list[Ink] = [Path(rectangle(x0, -half, x1, half), "cut", closed=True)]
    return [
        *walls,
        Cut((rectangle(x0, -half, x1, wall - half),), 45.0),
        Cut((rectangle(x0, half - wall, x1, half),), 45.0),
    ]


def _low(bolt: Bolted) -> float:
    """Where the stack begins, under the head: what holds the bolt lies about the middle of the station."""
    held = next((k for k, layer in enumerate(bolt.layers) if layer.what in ("sleeve", "arm")), None)
    thick = [layer.thick_mm for layer in bolt.layers]
    return -0.5 * sum(thick) if held is None else -sum(thick[:held]) - 0.5 * thick[held]


def _layers(bogie: Bogie, x: float, low: float, bolt: Bolted) -> tuple[list[Ink], list[Ink]]:
    """What lies under the arm (wheels, plates), and over it (sleeves, washers, the bolt)."""
    vehicle = bogie.stood.vehicle
    wheel = vehicle.wheel[vehicle.bogie[bogie.name].wheel]
    plate = next((m for m, _ in bogie.plates() if _tail(m.path) == _tail(bolt.path)), None)
    d = bolt.diameter_mm
    below: list[Ink] = []
    above: list[Ink] = []
    y = low
    for layer in bolt.layers:
        top = y + layer.thick_mm
        if layer.what == "hub":
            middle, half, r = 0.5 * (y + top), 0.5 * wheel.width_mm, wheel.radius_mm
            below.append(Cut((rectangle(x - r, middle - half, x + r, middle + half),), None, blank=True))
        elif layer.what == "plate":
            reach = _plate_reach(plate, d)
            below.append(Cut((rectangle(x - reach[0], y, x + reach[1], top),), 45.0))
        elif layer.thick_mm > 0.0 and layer.what not in ("play", "fork plate", "arm"):
            above += _round_cut(layer, x, y, top, d)
        y = top
    f, packed = FASTENERS[bolt.thread], y + bolt.packing_mm
    if bolt.packing_mm > 0.0:
        above += _round_cut(Layer("washer", bolt.packing_mm, f.washer_out_mm, f.washer_in_mm), x, y, packed, d)
    across = 0.5 * f.across_mm
    for x0, y0, x1, y1 in (
        (x - 0.5 * d, low, x + 0.5 * d, low + bolt.length_mm),
        (x - across, low - f.head_mm, x + across, low),
        (x - across, packed, x + across, packed + f.nut_mm),
    ):
        above.append(Cut((rectangle(x0, y0, x1, y1),), None, blank=True))
    above.append(Centre((x, low), (x, y)))
    return below, above


def _plate_reach(plate: Made | None, d: float) -> tuple[float, float]:
    """How far a bracket's plate goes aft and forward of its pivot."""
    if plate is None:
        return 1.5 * d, 1.5 * d
    at = next(h.along_mm for h in plate.holes if h.name.startswith("pivot"))
    return at, plate.length_mm - at


def _round_cut(layer: Layer, x: float, low: float, high: float, d: float) -> list[Ink]:
    """A sleeve or washer on both sides of its bolt."""
    outer = 0.5 * (layer.outside_mm or 1.7 * d)
    inner = min(0.5 * (layer.inside_mm or d), outer)
    lean = LEANS.get(layer.what, 45.0)
    return [Cut((rectangle(x + a, low, x + b, high),), lean) for a, b in ((-outer, -inner), (inner, outer))]


def _told(name: str, x: float, low: float, bolt: Bolted) -> list[Dim]:
    """Lengths across: the sleeve, between the plates or the wheels, the grip."""
    y = low
    spans: list[tuple[str, float, float]] = []
    for layer in bolt.layers:
        spans.append((layer.what, y, y + layer.thick_mm))
        y += layer.thick_mm
    nut = y + bolt.packing_mm + 0.5 * FASTENERS[bolt.thread].nut_mm
    dims = [
        named(f"{name}.grip", (f"grip {tenth(y - low)}",), Span("", (x, low), (x, y), "y")),
        named(f"{name}.bolt", _bolt_words(bolt), Note("", (x, nut))),
    ]
    sleeve = next((s for s in spans if s[0] in ("sleeve", "arm")), None)
    if sleeve is not None and sleeve[0] == "sleeve":
        dims.append(named(f"{name}.sleeve", (f"sleeve {tenth(sleeve[2] - sleeve[1])}",), _across(x, sleeve)))
    for what, words in (("plate", "between plates"), ("hub", "between hubs")):
        pair = [s for s in spans if s[0] == what]
        if len(pair) >= 2 and sleeve is not None:
            inner = (
                (
                    "",
                    max(s[2] for s in pair if s[2] <= sleeve[1] + 1e-9),
                    min(s[1] for s in pair if s[1] >= sleeve[2] - 1e-9),
                )
                if _both(pair, sleeve)
                else None
            )
            if inner is not None:
                dims.append(named(f"{name}.{words}", (f"{tenth(inner[2] - inner[1])} {words}",), _across(x, inner)))
    return dims


def _both(pair: Sequence[tuple[str, float, float]], sleeve: tuple[str, float, float]) -> bool:
    """Whether there is one on either side."""
    return any(s[2] <= sleeve[1] + 1e-9 for s in pair) and any(s[1] >= sleeve[2] - 1e-9 for s in pair)


def _across(x: float, span: tuple[str, float, float]) -> Span:
    return Span("", (x, span[1]), (x, span[2]), "y")


def _bolt_words(bolt: Bolted) -> tuple[str, ...]:
    return (
        f"{bolt.thread} x {tenth(bolt.length_mm)}",
        f"class {bolt.grade}" if bolt.grade[:1].isdigit() else bolt.grade,
    )
