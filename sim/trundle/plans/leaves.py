"""Each leaf of a spring as it is bent, from the side and cut across, with what it is cut to and bent over."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.fields.sketch import Round, Span
from trundle.making.part import Made
from trundle.plans.cells import Cell, shared
from trundle.plans.ink import Centre, Cut, Path, rectangle
from trundle.plans.leaf_curve import Curve
from trundle.plans.page import Page
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm
from trundle.springs.answers import Bending, LeafCut

NOTES = (
    "As bent, without load: sizes of the concave face, by calliper and straight edge. Former: the face that it springs "
    "back from when bent cold from flat, an estimate of the steel's yield: bend one and measure before the rest.",
    "Cut edges ground smooth along the leaf, corners round; no weld, no punch mark, no drill but where drawn.",
)


def pages(subject: Subject) -> Iterator[Page]:
    """Up to three on a sheet."""
    cells = []
    for part in subject.made:
        if part.what != "leaf":
            continue
        sprung = subject.vehicle.bogie[part.bogies[0]].sprung(part.bogies[0])
        bending = sprung.spring.bending(0.0) if sprung is not None else None
        leaf = next((c for c in bending.leaves if c.name == part.title), None) if bending is not None else None
        if bending is not None and leaf is not None:
            cells.append(_cell(part, bending, leaf))
    yield from shared(subject, "spring leaves", cells, 1, 3, NOTES)


def _cell(part: Made, bending: Bending, leaf: LeafCut) -> Cell:
    assert part.radius_mm is not None
    curve = Curve(part.length_mm, part.radius_mm, bending.flat_mm)
    if leaf.former_mm is None:
        former = "no former bends it cold to this radius: its steel springs back flat"
    else:
        former = f"former's face R{leaf.former_mm:.1f}, estimate" + (", tight: cracks threaten" if leaf.tight else "")
    flat = f", {mm(curve.flat_mm)} in the middle flat" if curve.flat_mm > 0.0 else ""
    lines = (f"cut {mm(part.length_mm)} long, then bent{flat}; {former}",)
    return Cell(part, [[_side(part, curve), _across(part)]], lines, 1.0)


def _side(part: Made, curve: Curve) -> View:
    mark, out = part.mark, 0.5 * part.height_mm
    end, top = curve.at(0.5 * part.length_mm, -out), curve.at(0.0, -out)
    chord, rise, half = 2.0 * end[0], top[1] - end[1], 0.5 * curve.flat_mm
    inside = curve.radius_mm - out
    centre = (half, -curve.radius_mm)
    dims = [
        Dim(Span(f"{mark}.chord", (-end[0], end[1]), end, "x"), (f"{mm(chord)} inside",)),
        Dim(Span(f"{mark}.rise", end, top, "y"), (mm(rise),)),
        Dim(Round(f"{mark}.radius", centre, inside, "radius", 78.0), (f"R{mm(inside)} inside",)),
    ]
    if half > 0.0:
        dims.append(Dim(Span(f"{mark}.flat", (-half, -out), (half, -out), "x"), (f"{mm(curve.flat_mm)} flat",)))
    outline = Path((*curve.line(-out), *reversed(curve.line(out))), closed=True)
    return View("", (outline, Centre((0.0, -out), (0.0, out))), tuple(dims), beside_mm=22.0)


def _across(part: Made) -> View:
    half, thick = 0.5 * part.width_mm, part.height_mm
    dims = (
        Dim(Span(f"{part.mark}.width", (-half, 0.0), (half, 0.0), "x"), (mm(part.width_mm),)),
        Dim(Span(f"{part.mark}.thick", (half, 0.0), (half, thick), "y"), (mm(thick),)),
    )
    return View("", (Cut((rectangle(-half, 0.0, half, thick),)),), dims, beside_mm=16.0)
