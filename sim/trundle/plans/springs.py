"""Springs that are neither bar nor leaf (coils), as their own sketches show them: bought, or wound to these sizes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from trundle.bogies.answers import Sprung
from trundle.drawing.marks import Mark
from trundle.fields.sketch import Around, Note, Sketch
from trundle.plans.ink import Toned
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import Box, in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, View
from trundle.plans.words import mm
from trundle.units import SIDES

SHOWN = ("top", "section")
"""Views of the spring itself; from the side it is drawn on its arm, which another sheet shows."""


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each spring that is cut or wound from stock."""
    alike: dict[str, list[tuple[str, Sprung]]] = {}
    made = {bogie for part in subject.made if part.what in ("torsion bar", "leaf") for bogie in part.bogies}
    for name, bogie in subject.vehicle.bogie.items():
        sprung = bogie.sprung(name)
        if sprung is not None and name not in made and sprung.spring.stock():
            alike.setdefault(repr(sprung.spring), []).append((name, sprung))
    number = 0
    for of in alike.values():
        sketches = [s for s in of[0][1].spring.sketches(_around(of[0][1])) if s.view in SHOWN]
        if sketches:
            number += 1
            yield _page(subject, f"SP{number}", of, sketches)


def _around(sprung: Sprung) -> Around:
    return Around(arm_mm=sprung.arm_mm)


def _page(subject: Subject, mark: str, of: list[tuple[str, Sprung]], sketches: Sequence[Sketch]) -> Page:
    paper = subject.paper.turned(False)
    spring = of[0][1].spring
    rows = spring.stock()
    words, free = with_notes(
        paper,
        [
            f"For {', '.join(name for name, _ in of)}: [{of[0][1].path}.spring].",
            *(f"{row.what}: {row.stock}, {row.steel}, {row.length}." for row in rows),
            "What holds its ends is not in the file: drawn as it might be.",
        ],
    )
    marks: list[Mark] = list(words)
    wide = (free[2] - free[0]) / len(sketches)
    scales = []
    for k, sketch in enumerate(sketches):
        box: Box = (free[0] + k * wide + 2.0, free[1], free[0] + (k + 1) * wide - 2.0, free[3])
        view = View(sketch.title, (Toned(sketch.shapes),), tuple(_dims(sketch, mark, k, spring)), beside_mm=30.0)
        trial = in_rows([[view]], box)
        titled = replace(view, title=f"{sketch.title}, {trial.words}")
        placed = must_fit(in_rows([[titled]], box), f"{mark}, {rows[0].what}", paper)
        marks += placed.marks
        scales.append(placed.words)
    count = round(SIDES) * sum(s.count * rows[0].count for _, s in of)
    return Page(
        mark, rows[0].what, paper, scales[0] if len(set(scales)) == 1 else "as stated", tuple(marks),
        f"{rows[0].stock}, {rows[0].steel}", count,
    )  # fmt: skip


def _dims(sketch: Sketch, mark: str, view: int, spring: object) -> Iterator[Dim]:
    """The sketch's marks with what the file says of them; without what it leaves out."""
    for of in sketch.marks:
        value = getattr(spring, of.field)
        if value is None or (isinstance(of, Note) and value in (0.0, False)):
            continue
        name = of.field.removesuffix("_mm").removesuffix("_deg").replace("_", " ")
        told = mm(value) if isinstance(value, float) else f"{value}"
        yield Dim(
            replace(of, field=f"{mark}.{view}.{of.field}"), (f"{name} {told}{'°' if '_deg' in of.field else ''}",)
        )
