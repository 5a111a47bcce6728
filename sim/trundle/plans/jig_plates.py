"""Jigs for the two plates of a bracket: bolts and distance tubes through their pivot holes, edges against a bar."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.build import ArmBuild
from trundle.drawing.pens import Corner
from trundle.fields.sketch import Span
from trundle.making.part import Made
from trundle.papers.parts import names
from trundle.plans.ink import Centre, Cut, Ink, Path, Ring, rectangle
from trundle.plans.jig_page import Item, Jig
from trundle.plans.subject import Subject
from trundle.plans.view import Balloon, Chain, Dim, Link, View
from trundle.plans.words import mm
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.units import MM

BAR_MM = 30.0
"""Side of the square bar that the plates' edges lie against."""


def jigs(subject: Subject) -> Iterator[Jig]:
    """One for each bracket that holds its pivots on both sides."""
    for part in subject.made:
        build = _build(subject.vehicle, part) if part.what == "bracket plate" else None
        if build is not None and build.pivot is not None and build.pivot.held == "both sides":
            yield _jig(part, build)


def _build(vehicle: Vehicle, part: Made) -> ArmBuild | None:
    bogie = vehicle.bogie[part.bogies[0]]
    return next((m.build for m in bogie.members(part.bogies[0]) if f"{m.path}.build.bracket" == part.path), None)


def inside_mm(build: ArmBuild) -> float:
    """Between the two plates: the sleeve and its play on both sides."""
    assert build.pivot is not None
    return build.pivot.sleeve_mm + 2.0 * build.pivot.gap_mm


def _jig(part: Made, build: ArmBuild) -> Jig:
    assert build.pivot is not None
    pivots = [h for h in part.holes if h.passes == "pivot bolt"]
    inside = inside_mm(build)
    bolt = thread(build.pivot.thread).diameter_m / MM
    rows = [[_side(part), _across(part, inside, bolt)]]
    items = (
        Item("bar", f"square bar or tube {BAR_MM:g}, straight", mm(part.length_mm + 40.0)),
        Item("distance tube", f"faced square, bore {mm(bolt)} or a little more", f"{mm(inside)} ±0.1", len(pivots)),
        Item("bolt with nut", f"{build.pivot.thread}, the pivot's own", mm(inside + 2.0 * part.width_mm), len(pivots)),
    )
    notes = (
        f"For the {part.count // 2} pairs of {part.mark} ({names(part.bogies)}): clamp each pair, drill both plates "
        "in one go through the drilling jig, mark them as a pair.",
        "Bolt the pair over its distance tubes with the upper edges against the bar; so held, bolt or weld it to the "
        "hull. Take the tubes out last.",
        "The pivots' bolts must go in and out by hand: if one binds, the plates are not in line.",
    )
    title = f"assembly jig for a pair of {part.mark}"
    return Jig(f"JA-{part.mark}", title, rows, items, notes)


def _side(part: Made) -> View:
    long, tall, name = part.length_mm, part.height_mm, f"JA-{part.mark}"
    ink: list[Ink] = [
        Path(rectangle(0.0, 0.0, long, tall), "soft", closed=True),
        Path(rectangle(-20.0, tall, long + 20.0, tall + BAR_MM), closed=True),
    ]
    ink += [Ring((h.along_mm, h.up_mm), 0.5 * h.diameter_mm) for h in part.holes]
    pivots = [h for h in part.holes if h.passes == "pivot bolt"]
    first = pivots[0]
    at: Corner = (first.along_mm, first.up_mm)
    dims = [
        Dim(
            Span(f"{name}.down", (first.along_mm, tall), at, "y"),
            (f"{mm(tall - first.up_mm)} ±{first.tolerance_mm:g}",),
        ),
        Dim(Span(f"{name}.bar", (long + 20.0, tall), (long + 20.0, tall + BAR_MM), "y"), (mm(BAR_MM),)),
    ]
    for h in pivots[1:]:
        words = f"{mm(h.along_mm - first.along_mm)} ±{h.tolerance_mm:g}"
        dims.append(Dim(Span(f"{name}.apart", at, (h.along_mm, h.up_mm), "x"), (words,)))
    return View(
        "from the side; grey: the plates",
        tuple(ink),
        tuple(dims),
        balloons=(Balloon((long, tall + 0.5 * BAR_MM), "1"),),
    )


def _across(part: Made, inside: float, bolt: float) -> View:
    tall, thick, name = part.height_mm, part.width_mm, f"JA-{part.mark}"
    y = next(h.up_mm for h in part.holes if h.passes == "pivot bolt")
    r = 0.5 * bolt
    ink: list[Ink] = [
        Path(rectangle(-thick, 0.0, 0.0, tall), "soft", closed=True),
        Path(rectangle(inside, 0.0, inside + thick, tall), "soft", closed=True),
        Cut((rectangle(-thick - 10.0, tall, inside + thick + 10.0, tall + BAR_MM),)),
        Cut((rectangle(0.0, y + r, inside, y + r + 5.0),), 135.0),
        Cut((rectangle(0.0, y - r - 5.0, inside, y - r),), 135.0),
        Path(((-thick - 8.0, y + r), (inside + thick + 12.0, y + r))),
        Path(((-thick - 8.0, y - r), (inside + thick + 12.0, y - r))),
        Centre((-thick - 8.0, y), (inside + thick + 12.0, y)),
    ]
    links = (
        Link(f"{name}.plate.near", (-thick, 0.0), (0.0, 0.0), mm(thick)),
        Link(f"{name}.inside", (0.0, 0.0), (inside, 0.0), f"{mm(inside)} ±0.1"),
        Link(f"{name}.plate.far", (inside, 0.0), (inside + thick, 0.0), mm(thick)),
    )
    balloons = (Balloon((0.7 * inside, y + r + 2.5), "2"), Balloon((inside + thick + 8.0, y), "3"))
    return View(
        "cut across at a pivot", tuple(ink), (), chains=(Chain("below", links),), balloons=balloons, beside_mm=25.0
    )
