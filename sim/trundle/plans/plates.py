"""Bracket plates: from the side with their holes from the datum corner, and on edge."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.fields.sketch import Span
from trundle.making.part import Made
from trundle.plans.bars import along_tape, hole_dims, notes, up_tape
from trundle.plans.cells import stock
from trundle.plans.ink import Ink, Path, Ring, rectangle
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each bracket plate."""
    for part in subject.made:
        if part.what == "bracket plate":
            yield _page(subject, part)


def _page(subject: Subject, part: Made) -> Page:
    paper = subject.paper.turned(False)
    words, free = with_notes(paper, _notes(part))
    placed = must_fit(in_rows([[_side(part), _edge(part)]], free), f"{part.mark}, {part.name}", paper)
    return Page(
        part.mark, part.name, paper, placed.words, (*placed.marks, *words), stock(part), part.count, part.mass_kg
    )


def _notes(part: Made) -> list[str]:
    on_hull = any("hull bolt" in h.passes for h in part.holes)
    return [*notes(part), *(["Upper edge against the hull."] if on_hull else [])]


def _side(part: Made) -> View:
    long, tall = part.length_mm, part.height_mm
    ink: list[Ink] = [Path(rectangle(0.0, 0.0, long, tall), closed=True)]
    ink += [Ring((h.along_mm, h.up_mm), 0.5 * h.diameter_mm) for h in part.holes]
    dims = [Dim(Span(f"{part.mark}.height", (long, 0.0), (long, tall), "y"), (mm(tall),)), *hole_dims(part)]
    return View(f"{part.mark} from the side", tuple(ink), tuple(dims), (along_tape(part), up_tape(part)))


def _edge(part: Made) -> View:
    thick, tall = part.width_mm, part.height_mm
    ink: list[Ink] = [Path(rectangle(0.0, 0.0, thick, tall), closed=True)]
    for up, radius in sorted({(h.up_mm, 0.5 * h.diameter_mm) for h in part.holes}):
        ink += [Path(((0.0, y), (thick, y)), "hidden") for y in (up - radius, up + radius)]
    dims = (Dim(Span(f"{part.mark}.thick", (0.0, 0.0), (thick, 0.0), "x"), (mm(thick),)),)
    return View("on edge", tuple(ink), dims, beside_mm=25.0)
