"""Assembly jigs: a base with pins that hold an arm's sleeves in their places while they are welded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.fields.sketch import Round, Span
from trundle.making.part import Hole, Made
from trundle.papers.parts import names
from trundle.plans.ink import Centre, Cut, Ink, Path, Ring, rectangle
from trundle.plans.jig_error import Care
from trundle.plans.jig_page import Item, Jig
from trundle.plans.jig_work import Work, works
from trundle.plans.subject import Subject
from trundle.plans.view import Balloon, Dim, View
from trundle.plans.words import mm

BASE_MM, BESIDE_MM, PIN_OVER_MM = 15.0, 25.0, 12.0
"""Thickness of the base; how far it reaches beyond the arm; how far pins stand out of the sleeves, for a nut."""

STOP_MM = (30.0, 15.0)
"""A stop along the arm, and away from it."""


@dataclass(frozen=True)
class Pinned:
    """A sleeve on its pin, mm. foot: from the base to its lower face."""

    hole: Hole
    long_mm: float
    outside_mm: float
    bore_mm: float
    foot_mm: float

    @property
    def pin_mm(self) -> float:
        """Diameter of its pin."""
        return self.bore_mm - Care().pin_play_mm


def jigs(subject: Subject) -> Iterator[Jig]:
    """One for each arm or beam with sleeves whose bores are known."""
    for work in works(subject.vehicle, subject.made):
        if held := pinned_sleeves(work, subject.made):
            yield _jig(work, held)


def middle_mm(work: Work) -> float:
    """Height over the base at which the arm's and all sleeves' middles lie."""
    return 0.5 * max([work.part.width_mm, *(work.sleeve_mm(h) or 0.0 for h in work.sleeved)])


def pinned_sleeves(work: Work, parts: tuple[Made, ...]) -> tuple[Pinned, ...]:
    """Its sleeves in order along it; none where one of them has no bore or outside in the file."""
    found = []
    middle = middle_mm(work)
    for hole in work.sleeved:
        long, outside = work.sleeve_mm(hole), work.outside_mm(hole)
        sleeve = next(
            (p for p in parts if p.what == hole.passes and p.length_mm == long and p.height_mm == outside), None
        )
        if long is None or outside is None or sleeve is None or not sleeve.bore_mm:
            return ()
        found.append(Pinned(hole, long, outside, sleeve.bore_mm, middle - 0.5 * long))
    return tuple(found)


def _jig(work: Work, held: tuple[Pinned, ...]) -> Jig:
    part = work.part
    title = f"assembly jig for {part.mark}, {part.name}"
    items = tuple(_items(work, held))
    rows = [[_front(work, held, items)], [_above(work, held, items)]]
    return Jig(f"JA-{part.mark}", title, rows, items, tuple(_notes(work, held)))


def packing_mm(work: Work) -> float:
    """Under the arm."""
    return middle_mm(work) - 0.5 * work.part.width_mm


def _front(work: Work, held: tuple[Pinned, ...], items: tuple[Item, ...]) -> View:
    """Cut along the pins, the arm lying on its side."""
    part, middle = work.part, middle_mm(work)
    long, low = part.length_mm, packing_mm(work)
    ink: list[Ink] = [
        Cut((rectangle(-BESIDE_MM, -BASE_MM, long + BESIDE_MM, 0.0),)),
        Path(rectangle(0.0, low, long, low + part.width_mm), "soft", closed=True),
    ]
    if low > 0.0:
        ink += [Path(rectangle(x, 0.0, x + 20.0, low), closed=True) for x in (0.3 * long, 0.6 * long)]
    dims: list[Dim] = []
    name = f"JA-{part.mark}"
    for p in held:
        x, r, out = p.hole.along_mm, 0.5 * p.pin_mm, 0.5 * p.outside_mm
        top = p.foot_mm + p.long_mm
        ink += [
            Path(rectangle(x - r, -BASE_MM, x + r, 2.0 * middle + PIN_OVER_MM), closed=True),
            Cut((rectangle(x - out, p.foot_mm, x - r, top),), 135.0),
            Cut((rectangle(x + r, p.foot_mm, x + out, top),), 135.0),
            Centre((x, -BASE_MM), (x, 2.0 * middle + PIN_OVER_MM)),
        ]
        if p.foot_mm > 0.0:
            ink += [
                Path(rectangle(x - out, 0.0, x - r, p.foot_mm), closed=True),
                Path(rectangle(x + r, 0.0, x + out, p.foot_mm), closed=True),
            ]
            at = (x + out, 0.0), (x + out, p.foot_mm)
            dims.append(Dim(Span(f"{name}.ring.{p.hole.name}", *at, "y"), (mm(p.foot_mm),)))
    if low > 0.0:
        dims.append(Dim(Span(f"{name}.packing", (0.6 * long, 0.0), (0.6 * long, low), "y"), (mm(low),)))
    dims.append(Dim(Span(f"{name}.middle", (long + BESIDE_MM, 0.0), (long, middle), "y"), (mm(middle),)))
    ink.append(Centre((0.0, middle), (long, middle)))
    seen: dict[str, tuple[float, float]] = {
        "base": (0.45 * long, -0.5 * BASE_MM),
        "packing": (0.3 * long + 5.0, 0.5 * low),
    }
    for p in held:
        seen.setdefault(f"pin Ø{mm(p.pin_mm)}", (p.hole.along_mm, 2.0 * middle + 0.7 * PIN_OVER_MM))
        if p.foot_mm > 0.0:
            side = 0.5 * (0.5 * p.pin_mm + 0.5 * p.outside_mm)
            seen.setdefault("ring", (p.hole.along_mm - side, 0.5 * p.foot_mm))
    balloons = []
    for k, item in enumerate(items, 1):
        place = next((xy for word, xy in seen.items() if item.what.startswith(word)), None)
        if place is not None:
            balloons.append(Balloon(place, str(k)))
    title = f"cut along the pins; grey: the {part.what} on its side"
    return View(title, tuple(ink), tuple(dims), balloons=tuple(balloons), beside_mm=30.0)


def _above(work: Work, held: tuple[Pinned, ...], items: tuple[Item, ...]) -> View:
    part, name, off = work.part, f"JA-{work.part.mark}", Care().pin_place_mm
    long, tall, (along, away) = part.length_mm, part.height_mm, STOP_MM
    ink: list[Ink] = [
        Path(rectangle(-BESIDE_MM, -BESIDE_MM, long + BESIDE_MM, tall + BESIDE_MM), closed=True),
        Path(rectangle(0.0, 0.0, long, tall), "soft", closed=True),
        Path(rectangle(-away, 0.5 * (tall - along), 0.0, 0.5 * (tall + along)), closed=True),
    ]
    ink += [Path(rectangle(x, -away, x + along, 0.0), closed=True) for x in (0.12 * long, 0.88 * long - along)]
    for p in held:
        at = p.hole.along_mm, p.hole.up_mm
        ink += [Ring(at, 0.5 * p.outside_mm, "soft", cross=False), Ring(at, 0.5 * p.pin_mm)]
    first = held[0].hole
    at = (first.along_mm, first.up_mm)
    dims = [Dim(Span(f"{name}.stop.end", at, (0.0, 0.5 * tall), "x"), (f"{mm(first.along_mm)} ±{off:g}",))]
    for p in held[1:]:
        apart = f"{mm(p.hole.along_mm - first.along_mm)} ±{off:g}"
        dims.append(Dim(Span(f"{name}.pin.{p.hole.name}", at, (p.hole.along_mm, p.hole.up_mm), "x"), (apart,)))
    edge = (0.88 * long, 0.0)
    last_pin = held[-1].hole
    dims.append(
        Dim(Span(f"{name}.stop.edge", (last_pin.along_mm, last_pin.up_mm), edge, "y"), (f"{mm(first.up_mm)} ±{off:g}",))
    )
    alike: dict[float, list[Pinned]] = {}
    for p in held:
        alike.setdefault(p.pin_mm, []).append(p)
    for size, of in alike.items():
        last = of[-1].hole
        times = f"{len(of)} × " if len(of) > 1 else ""
        mark = Round(f"{name}.pin.{size:g}", (last.along_mm, last.up_mm), 0.5 * size, "diameter", -60.0)
        dims.append(Dim(mark, (f"{times}pin Ø{mm(size)}",)))
    number = next(k for k, item in enumerate(items, 1) if item.what == "stop")
    balloons = (Balloon((0.12 * long + 0.5 * along, -0.5 * away), str(number)),)
    return View("from above", tuple(ink), tuple(dims), balloons=balloons, beside_mm=30.0)


def _items(work: Work, held: tuple[Pinned, ...]) -> Iterator[Item]:
    part, middle = work.part, middle_mm(work)
    size = f"{mm(part.length_mm + 2.0 * BESIDE_MM)} x {mm(part.height_mm + 2.0 * BESIDE_MM)}"
    yield Item("base", f"plate {BASE_MM:g}", size)
    alike: dict[float, int] = {}
    for p in held:
        alike[p.pin_mm] = alike.get(p.pin_mm, 0) + 1
    for pin, count in alike.items():
        long = BASE_MM + 2.0 * middle + PIN_OVER_MM
        yield Item(f"pin Ø{mm(pin)}", "turned, its end threaded for a nut", mm(long), count)
    rings: dict[tuple[float, float, float], int] = {}
    for p in held:
        if p.foot_mm > 0.0:
            key = p.foot_mm, p.pin_mm, p.outside_mm
            rings[key] = rings.get(key, 0) + 1
    for (high, pin, outside), count in rings.items():
        yield Item("ring under the sleeve", f"turned, bore {mm(pin)}, outside {mm(outside)}", mm(high), count)
    if (low := packing_mm(work)) > 0.0:
        yield Item("packing under the arm", f"flat 20 wide, {mm(low)} thick, ground or shimmed", mm(part.height_mm), 2)
    yield Item("stop", f"flat {STOP_MM[1]:g} x {STOP_MM[0]:g}, screwed and pinned", mm(0.75 * part.width_mm), 3)


def _notes(work: Work, held: tuple[Pinned, ...]) -> list[str]:
    part = work.part
    out = {p.hole.name: 0.5 * (p.long_mm - part.width_mm) for p in held}
    found = [f"For {part.count} of {part.mark} ({names(part.bogies)}). Datum: the pin of the {held[0].hole.name}."]
    found.append("Sleeves stick out alike on both sides: " + ", ".join(f"{n} {mm(o)}" for n, o in out.items()) + ".")
    found.append(
        "Nuts on the pins, the work against the stops. Tack each sleeve at four places crosswise, weld a quarter at a "
        "time, let it go cold on the pins; then its other side."
    )
    bare = [h.name for h in part.holes if h not in work.sleeved and h.diameter_mm > 2.0]
    if bare:
        found.append(f"{names(bare)}: without a sleeve, as drilled.")
    return found
