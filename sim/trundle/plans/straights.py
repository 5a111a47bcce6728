"""What is cut from straight stock for springs and stays straight: torsion bars, leaves that are not bent."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.fields.sketch import Span
from trundle.making.part import Made
from trundle.plans.cells import Cell, shared
from trundle.plans.ink import Centre, Cut, Path, Ring, rectangle
from trundle.plans.page import Page
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm

NOTES = (
    "Smooth all over: no weld, punch mark, file mark or drilled hole between the ends, edges polished along the piece.",
)


def pages(subject: Subject) -> Iterator[Page]:
    """Up to three on a sheet."""
    cells = [
        Cell(p, [[_along(p), _end(p)]], p.notes)
        for p in subject.made
        if p.what == "torsion bar" or (p.what == "leaf" and p.radius_mm is None)
    ]
    yield from shared(subject, "springs cut straight", cells, 1, 3, NOTES)


def _along(part: Made) -> View:
    long, out = part.length_mm, 0.5 * part.height_mm
    dims = (Dim(Span(f"{part.mark}.length", (0.0, -out), (long, -out), "x"), (mm(long),)),)
    ink = Path(rectangle(0.0, -out, long, out), closed=True), Centre((0.0, 0.0), (long, 0.0))
    return View("", ink, dims, beside_mm=18.0)


def _end(part: Made) -> View:
    out, half, mark = 0.5 * part.height_mm, 0.5 * part.width_mm, part.mark
    if part.what == "leaf":
        dims = (
            Dim(Span(f"{mark}.width", (-half, -out), (half, -out), "x"), (mm(part.width_mm),)),
            Dim(Span(f"{mark}.thick", (half, -out), (half, out), "y"), (mm(part.height_mm),)),
        )
        return View("", (Cut((rectangle(-half, -out, half, out),)),), dims, beside_mm=16.0)
    ink = [Ring((0.0, 0.0), out)]
    round_dims = [Dim(Span(f"{mark}.outside", (0.0, -out), (0.0, out), "y"), (f"Ø{mm(2.0 * out)}",))]
    if part.bore_mm:
        bore = 0.5 * part.bore_mm
        ink.append(Ring((0.0, 0.0), bore, cross=False))
        round_dims.append(Dim(Span(f"{mark}.bore", (-bore, 0.0), (bore, 0.0), "x"), (f"Ø{mm(2.0 * bore)}",)))
    return View("", tuple(ink), tuple(round_dims), beside_mm=20.0)
