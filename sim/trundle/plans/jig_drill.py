"""Drilling jigs: a plate with drill bushes over a part's holes, an end stop and a fence at its datum corner."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.drawing.pens import Pen
from trundle.fields.sketch import Round, Span
from trundle.making.part import Hole, Made
from trundle.papers.parts import names
from trundle.plans.ink import Centre, Cut, Ink, Path, Ring, rectangle
from trundle.plans.jig_error import Care
from trundle.plans.jig_page import Item, Jig
from trundle.plans.jig_work import Bush, bushes
from trundle.plans.subject import Subject
from trundle.plans.view import Balloon, Dim, Stop, Tape, View
from trundle.plans.words import mm

STRIP_MM, STRIP_HIGH_MM = 20.0, 10.0
"""Section of end stop and fence, from one bar."""

RELIEF_MM = 4.0
"""Left open in the corner between them: chips and the burr of a sawn end."""

PLATES_MM = (10.0, 12.0, 15.0, 20.0)


def jigs(subject: Subject) -> Iterator[Jig]:
    """One for each part with holes."""
    for part in subject.made:
        if part.holes and (guides := bushes(part)):
            yield _jig(part, guides)


def _both(part: Made) -> bool:
    """Whether it is drilled from both sides, so that stop and fence stand out of both faces."""
    return any(h.walls > 1 for h in part.holes)


def plate_mm(guides: tuple[Bush, ...]) -> float:
    """Of the jig: no bush is longer."""
    longest = max(b.length_mm for b in guides)
    return next(p for p in PLATES_MM if p >= longest)


def _jig(part: Made, guides: tuple[Bush, ...]) -> Jig:
    title = f"drilling jig for {part.mark}, {part.name}"
    rows = [[_above(part, guides), _across(part, guides)]]
    return Jig(f"JD-{part.mark}", title, rows, tuple(_items(part, guides)), tuple(_notes(part, guides)))


def _above(part: Made, guides: tuple[Bush, ...]) -> View:
    long, tall, s = part.length_mm, part.height_mm, STRIP_MM
    strip: Pen = "cut" if _both(part) else "hidden"
    ink: list[Ink] = [
        Path(rectangle(0.0, 0.0, long, tall), "soft", closed=True),
        Path(rectangle(-s, -s, long, tall), closed=True),
        Path(((0.0, RELIEF_MM), (0.0, tall)), strip),
        Path(((RELIEF_MM, 0.0), (long, 0.0)), strip),
        Path(((-s, RELIEF_MM), (0.0, RELIEF_MM)), strip),
        Path(((RELIEF_MM, -s), (RELIEF_MM, 0.0)), strip),
    ]
    for b in guides:
        at = b.hole.along_mm, b.hole.up_mm
        ink += [Ring(at, 0.5 * b.outside_mm), Ring(at, 0.5 * b.bore_mm, cross=False)]
    name, off = f"JD-{part.mark}", Care().bush_place_mm
    along = tuple(
        Stop(f"{name}.along.{b.hole.name}", (b.hole.along_mm, b.hole.up_mm), f"{mm(b.hole.along_mm)} ±{off:g}")
        for b in guides
    )
    ups: dict[str, tuple[float, float]] = {}
    for b in guides:
        ups.setdefault(mm(b.hole.up_mm), (b.hole.along_mm, b.hole.up_mm))
    tapes = (
        Tape("above", f"{name}.datum.along", (0.0, tall), (*along, Stop(f"{name}.length", (long, tall), mm(long)))),
        Tape(
            "left", f"{name}.datum.up", (0.0, 0.0),
            tuple(Stop(f"{name}.up.{w}", at, f"{w} ±{off:g}") for w, at in ups.items()),
        ),
    )  # fmt: skip
    dims = [*_call_outs(name, guides)]
    dims.append(Dim(Span(f"{name}.plate.long", (-s, -s), (long, -s), "x"), (mm(long + s),)))
    balloons = (
        Balloon((0.75 * long, 0.9 * tall), "1"), Balloon((-0.5 * s, 0.8 * tall), "2"),
        Balloon((0.6 * long, -0.5 * s), "3"),
    )  # fmt: skip
    return View("from above; grey: the part under it", tuple(ink), tuple(dims), tapes, balloons=balloons)


def _call_outs(name: str, guides: tuple[Bush, ...]) -> Iterator[Dim]:
    alike: dict[tuple[float, float], list[Bush]] = {}
    for b in guides:
        alike.setdefault((b.bore_mm, b.outside_mm), []).append(b)
    for (bore, outside), of in alike.items():
        last = of[-1].hole
        times = f"{len(of)} × " if len(of) > 1 else ""
        mark = Round(f"{name}.bush.{bore:g}", (last.along_mm, last.up_mm), 0.5 * outside, "diameter", -60.0)
        yield Dim(mark, (f"{times}Ø{mm(outside)} reamed for", f"drill bush Ø{mm(bore)}"))


def _across(part: Made, guides: tuple[Bush, ...]) -> View:
    """Seen along the part, cut at its first bush: plate, strips, the part to the left."""
    b, tall, s, thick = guides[0], part.height_mm, STRIP_MM, plate_mm(guides)
    y, r, bore = b.hole.up_mm, 0.5 * b.outside_mm, 0.5 * b.bore_mm
    ink: list[Ink] = [
        Path(rectangle(-part.width_mm, 0.0, 0.0, tall), "soft", closed=True),
        Cut((rectangle(0.0, -s, thick, y - r),)),
        Cut((rectangle(0.0, y + r, thick, tall),)),
        Cut((rectangle(0.0, y - r, b.length_mm, y - bore),), 135.0),
        Cut((rectangle(0.0, y + bore, b.length_mm, y + r),), 135.0),
        Cut((rectangle(-STRIP_HIGH_MM, -s, 0.0, 0.0),), 135.0),
        Centre((-part.width_mm, y), (thick, y)),
    ]
    if _both(part):
        ink.append(Cut((rectangle(thick, -s, thick + STRIP_HIGH_MM, 0.0),), 135.0))
    name = f"JD-{part.mark}"
    dims = (
        Dim(Span(f"{name}.plate.thick", (0.0, tall), (thick, tall), "x"), (mm(thick),)),
        Dim(Span(f"{name}.strip.high", (-STRIP_HIGH_MM, -s), (0.0, -s), "x"), (mm(STRIP_HIGH_MM),)),
        Dim(Span(f"{name}.plate.high", (thick, -s), (thick, tall), "y"), (mm(tall + s),)),
        Dim(Span(f"{name}.strip.wide", (-STRIP_HIGH_MM, -s), (-STRIP_HIGH_MM, 0.0), "y"), (mm(s),)),
    )
    return View("cut across at the first bush", tuple(ink), dims, beside_mm=25.0)


def _items(part: Made, guides: tuple[Bush, ...]) -> Iterator[Item]:
    thick, times = plate_mm(guides), 2 if _both(part) else 1
    bar = f"flat {STRIP_MM:g} x {STRIP_HIGH_MM:g}"
    yield Item("plate", f"plate {thick:g}", f"{mm(part.length_mm + STRIP_MM)} x {mm(part.height_mm + STRIP_MM)}")
    yield Item("end stop", bar, mm(part.height_mm - RELIEF_MM), times)
    yield Item("fence", bar, mm(part.length_mm - RELIEF_MM), times)
    sizes: dict[tuple[float, float, float], int] = {}
    for b in guides:
        key = b.bore_mm, b.outside_mm, b.length_mm
        sizes[key] = sizes.get(key, 0) + 1
    for (bore, outside, length), count in sizes.items():
        yield Item(f"drill bush Ø{mm(bore)}", f"ISO 4247, Ø{mm(outside)}, or turned and hardened", mm(length), count)
    yield Item("screw for stop and fence", "M5, with a 4 mm pin beside each", "to suit", 4 * times)


def _notes(part: Made, guides: tuple[Bush, ...]) -> list[str]:
    found = [f"For {part.count} of {part.mark} ({names(part.bogies)}). Datum: the inner faces of end stop and fence."]
    if _both(part):
        found.append(
            "Stop and fence stand out of both faces: drill one wall, turn the jig onto the other side, same end and "
            "edge, drill the second: truer than through both at once."
        )
    opened: dict[tuple[float, float], list[str]] = {}
    for b in guides:
        if b.pilot:
            opened.setdefault((b.bore_mm, b.hole.diameter_mm), []).append(b.hole.name)
    told = [f"{names(who)} {mm(bore)}, then {mm(size)}" for (bore, size), who in opened.items()]
    if told:
        found.append(f"Pilot holes, to be opened up: {'; '.join(told)}.")
    left: list[Hole] = [h for h in part.holes if all(b.hole is not h for b in guides)]
    if left:
        found.append(f"{names(h.name for h in left)}: too close together for bushes, from the template.")
    return found
