"""The screw that sets a spring's seat: all the way out and all the way in."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.answers import Member
from trundle.bogies.joints import Adjuster
from trundle.fields.sketch import Span
from trundle.plans.ink import Centre, Cut, Ink, Path, rectangle
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm
from trundle.steel.bolts import thread
from trundle.steel.fasteners import FASTENERS
from trundle.units import MM, SIDES

PLATE_TIMES = 0.8
"""Thickness of the plate and boss that the screw is drawn in, over its diameter: neither is in the file."""


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each size and travel."""
    found: dict[tuple[str, float], list[tuple[str, Member]]] = {}
    for name, bogie in subject.vehicle.bogie.items():
        for member in bogie.members(name):
            if member.build is not None and (screw := member.build.adjuster) is not None:
                found.setdefault((screw.thread, screw.travel_mm), []).append((name, member))
    for k, of in enumerate(found.values(), 1):
        yield _page(subject, f"SC{k}", of)


def _page(subject: Subject, mark: str, of: list[tuple[str, Member]]) -> Page:
    member = of[0][1]
    assert member.build is not None
    screw = member.build.adjuster
    assert screw is not None
    paper = subject.paper.turned(False)
    pitch = thread(screw.thread).pitch_m / MM
    set_at = member.sprung.spring.adjuster() if member.sprung is not None else None
    count = round(SIDES) * sum(m.sprung.count if m.sprung is not None else 1 for _, m in of)
    notes = [
        f"Travel {mm(screw.travel_mm)}: {screw.travel_mm / pitch:.1f} turns of {mm(pitch)} mm each.",
        f"Threaded to {mm(_thread_mm(screw))} at least: travel, plate and lock nut.",
        "Plate, boss and foot are not in the file: drawn as they might be. The lock nut is tight whenever it runs.",
    ]
    if set_at is not None and set_at.screwed_mm is not None:
        at = set_at.screwed_mm
        notes.insert(1, f"The file has it {mm(at)} mm in: {at / pitch:.1f} turns.")
    names = ", ".join(dict.fromkeys(name for name, _ in of))
    words, free = with_notes(paper, [f"For {names}.", *notes])
    rows = [[_view(screw, 0.0, mark, "all the way out"), _view(screw, screw.travel_mm, mark, "all the way in")]]
    placed = must_fit(in_rows(rows, free), "the adjuster", paper)
    return Page(
        mark, "adjuster", paper, placed.words, (*placed.marks, *words), f"screw {screw.thread}, lock nut",
        count,
    )  # fmt: skip


def _thread_mm(screw: Adjuster) -> float:
    d = thread(screw.thread).diameter_m / MM
    return screw.travel_mm + PLATE_TIMES * d + FASTENERS[screw.thread].nut_mm


def _view(screw: Adjuster, in_mm: float, mark: str, title: str) -> View:
    """y up from the plate's underside; the screw's foot stands `in_mm` lower than all the way out."""
    d, f = thread(screw.thread).diameter_m / MM, FASTENERS[screw.thread]
    r, plate = 0.5 * d, PLATE_TIMES * d
    foot = -0.5 * d - in_mm
    # So long that the head still clears the lock nut all the way in.
    long = 0.5 * d + screw.travel_mm + plate + f.nut_mm + 0.4 * d
    half = 0.5 * f.across_mm
    ink: list[Ink] = []
    for side in (-1.0, 1.0):
        a, b = sorted((side * r, side * 3.5 * d))
        ink.append(Cut((rectangle(a, 0.0, b, plate),), 45.0))
    ink += [
        Path(rectangle(-r, foot, r, foot + long), closed=True),
        Path(rectangle(-half, foot + long, half, foot + long + f.head_mm), closed=True),
        Path(((-half, plate), (-half, plate + f.nut_mm), (-r, plate + f.nut_mm))),
        Path(((half, plate), (half, plate + f.nut_mm), (r, plate + f.nut_mm))),
        Path(rectangle(-2.2 * d, foot - 0.5 * d, 2.2 * d, foot), closed=True),
        Centre((0.0, foot - 0.5 * d), (0.0, foot + long + f.head_mm)),
    ]
    dims = [Dim(Span(f"{mark}.diameter", (-r, foot + 0.2 * d), (r, foot + 0.2 * d), "x"), (screw.thread,))]
    if in_mm > 0.0:
        out = -0.5 * d
        ink.append(Path(((-2.2 * d, out), (2.2 * d, out)), "hidden"))
        dims = [Dim(Span(f"{mark}.travel", (2.2 * d, out), (2.2 * d, foot), "y"), (f"travel {mm(screw.travel_mm)}",))]
    return View(title, tuple(ink), tuple(dims), beside_mm=25.0)
