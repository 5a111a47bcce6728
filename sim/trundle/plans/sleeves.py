"""Pivot and axle sleeves, rings that are turned: cut along their bore, and from their left end."""

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

KINDS = ("pivot sleeve", "axle sleeve", "spacer")

NOTES = (
    "Ends square to the bore, burrs off. The outside goes into its hole in the arm, drilled to the same size: try one "
    "first.",
    "Pivot sleeves turn on their bolt, so that they are bored to run freely; axle sleeves hold theirs. Both are welded "
    "into the arm.",
)


def pages(subject: Subject) -> Iterator[Page]:
    """Up to four on a sheet."""
    cells = [Cell(p, [[_along(p), _end(p)]], _lines(p)) for p in subject.made if p.what in KINDS]
    yield from shared(
        subject, "sleeves and rings" if any(c.part.what == "spacer" for c in cells) else "sleeves", cells, 2, 2, NOTES
    )


def _lines(part: Made) -> tuple[str, ...]:
    if part.bore_mm is None or part.bore_mm > 0.0:
        return part.notes
    return (f"no bore: its bolt is not in the file ({part.path.rpartition('.')[0]}.axle)",)


def _along(part: Made) -> View:
    long, out, bore = part.length_mm, 0.5 * part.height_mm, 0.5 * (part.bore_mm or 0.0)
    ends = Path(((0.0, -bore), (0.0, bore))), Path(((long, -bore), (long, bore)))
    if bore > 0.0:
        cuts = tuple(Cut((rectangle(0.0, min(s * bore, s * out), long, max(s * bore, s * out)),)) for s in (1.0, -1.0))
    else:
        cuts = (Cut((rectangle(0.0, -out, long, out),)),)
    dims = [
        Dim(Span(f"{part.mark}.length", (0.0, -out), (long, -out), "x"), (mm(long),)),
        Dim(Span(f"{part.mark}.outside", (0.0, -out), (0.0, out), "y"), (f"Ø{mm(2.0 * out)}",)),
    ]
    if bore > 0.0:
        dims.append(Dim(Span(f"{part.mark}.bore", (long, -bore), (long, bore), "y"), (f"Ø{mm(2.0 * bore)}",)))
    return View("cut along", (*cuts, *ends, Centre((0.0, 0.0), (long, 0.0))), tuple(dims), beside_mm=22.0)


def _end(part: Made) -> View:
    rings = [Ring((0.0, 0.0), 0.5 * part.height_mm)]
    if part.bore_mm:
        rings.append(Ring((0.0, 0.0), 0.5 * part.bore_mm, cross=False))
    return View("from the left", tuple(rings))
