"""Arms and beams: from the side with their holes from the datum end, from above, cut across."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.drawing.pens import Pen
from trundle.fields.sketch import XY, Round, Span
from trundle.making.members import PUNCH_MM
from trundle.making.part import EDGE_MM, Hole, Made
from trundle.plans.cells import stock
from trundle.plans.ink import Centre, Cut, Ink, Path, Ring, rectangle
from trundle.plans.notes import with_notes
from trundle.plans.page import Page
from trundle.plans.placing import in_rows, must_fit
from trundle.plans.sections import cut_across, inner_edges
from trundle.plans.subject import Subject
from trundle.plans.view import Dim, Stop, Tape, View
from trundle.plans.words import mm


def pages(subject: Subject) -> Iterator[Page]:
    """One sheet for each arm and beam."""
    for part in subject.made:
        if part.what in ("arm", "beam"):
            yield _page(subject, part)


def _page(subject: Subject, part: Made) -> Page:
    paper = subject.paper.turned(False)
    words, free = with_notes(paper, notes(part))
    placed = must_fit(
        in_rows([[_side(part), _across(part)], [_above(part), None]], free), f"{part.mark}, {part.name}", paper
    )
    return Page(
        part.mark, part.name, paper, placed.words, (*placed.marks, *words), stock(part), part.count, part.mass_kg
    )


def notes(part: Made) -> list[str]:
    """What stands on its sheet in words."""
    found = [f"For {', '.join(part.bogies)}. Burrs off, edges broken."]
    found += [f"{n[:1].upper()}{n[1:]}." for n in part.notes]
    if any(h.tolerance_mm < EDGE_MM for h in part.holes[1:]):
        found.append("In brackets: of help to set out, held by another size.")
    if any(h.diameter_mm <= PUNCH_MM for h in part.holes):
        found.append(f"Ø{PUNCH_MM:g}: a punch mark, since its bolt is not in the file.")
    return found


def call_out(hole: Hole, count: int) -> tuple[str, ...]:
    """What stands at holes that are alike: how many, diameter, how many walls they go through, what passes."""
    times = f"{count} × " if count > 1 else ""
    through = " through both walls" if hole.walls > 1 else " through"
    passes = (f"for {hole.passes}",) if hole.passes else ()
    return f"{times}Ø{mm(hole.diameter_mm)}{through}", *passes


def _side(part: Made) -> View:
    long, tall = part.length_mm, part.height_mm
    ink: list[Ink] = [Path(rectangle(0.0, 0.0, long, tall), closed=True)]
    ink += [Path(((0.0, y), (long, y)), "hidden") for y in inner_edges(part)]
    ink += [Ring((h.along_mm, h.up_mm), 0.5 * h.diameter_mm) for h in part.holes]
    dims = [Dim(Span(f"{part.mark}.height", (long, 0.0), (long, tall), "y"), (mm(tall),)), *hole_dims(part)]
    return View(f"{part.mark} from the side", tuple(ink), tuple(dims), (along_tape(part), up_tape(part)))


def hole_dims(part: Made) -> Iterator[Dim]:
    """Diameters, of alike holes once, and what lies so and so far from the first hole, with its tolerance."""
    alike: dict[tuple[float, str, int], list[Hole]] = {}
    for h in part.holes:
        alike.setdefault((h.diameter_mm, h.passes, h.walls), []).append(h)
    for holes in alike.values():
        last = holes[-1]
        name = "; ".join(f"{part.mark}.hole.{h.name}" for h in holes)
        # Where there is room its words stand inside the part, so that its leader crosses no dimension.
        roomy = part.height_mm > 3.0 * last.diameter_mm and last.along_mm > 0.5 * part.length_mm
        towards = -120.0 if roomy else -60.0
        mark = Round(name, (last.along_mm, last.up_mm), 0.5 * last.diameter_mm, "diameter", towards)
        yield Dim(mark, call_out(last, len(holes)))
    for h in part.holes[1:]:
        if h.tolerance_mm < EDGE_MM:
            first = part.holes[0]
            a, b = (first.along_mm, first.up_mm), (h.along_mm, h.up_mm)
            words = f"{mm(abs(b[0] - a[0]))} ±{h.tolerance_mm:g}"
            yield Dim(Span(f"{part.mark}.apart.{h.name}", a, b, "x"), (words,))


def along_tape(part: Made) -> Tape:
    """From the left end to each hole and the right end. In brackets, as of auxiliary sizes, what another holds."""
    top = part.height_mm
    stops = []
    for k, h in enumerate(part.holes):
        at = mm(h.along_mm)
        words = f"({at})" if k and h.tolerance_mm < EDGE_MM else f"{at} ±{h.tolerance_mm:g}"
        stops.append(Stop(f"{part.mark}.along.{h.name}", (h.along_mm, h.up_mm), words))
    stops.append(Stop(f"{part.mark}.length", (part.length_mm, top), mm(part.length_mm)))
    return Tape("above", f"{part.mark}.datum.along", (0.0, top), tuple(stops))


def up_tape(part: Made) -> Tape:
    """From the lower edge to each height at which there are holes."""
    first: dict[str, XY] = {}
    for h in sorted(part.holes, key=lambda h: h.along_mm):
        first.setdefault(mm(h.up_mm), (h.along_mm, h.up_mm))
    stops = tuple(Stop(f"{part.mark}.up.{words}", at, f"{words} ±{EDGE_MM:g}") for words, at in first.items())
    return Tape("left", f"{part.mark}.datum.up", (0.0, 0.0), stops)


def _above(part: Made) -> View:
    long, half = part.length_mm, 0.5 * part.width_mm
    wall = part.stock.sizes_mm[1] if part.stock.form in ("square tube", "round tube") else half
    # Walls that a hole goes through, as they lie across: both of a tube, the one that a solid is.
    walls = ((-half, wall - half), (half - wall, half)) if wall < half else ((-half, half),)
    ink: list[Ink] = [Path(rectangle(0.0, -half, long, half), closed=True), Centre((0.0, 0.0), (long, 0.0))]
    if wall < half:
        open_top = part.height_mm < part.stock.sizes_mm[0] - 1e-6
        pen: Pen = "cut" if open_top else "hidden"
        ink += [Path(((0.0, y), (long, y)), pen) for y in (wall - half, half - wall)]
    for h in part.holes:
        r = 0.5 * h.diameter_mm
        ink += [Path(((x, a), (x, b)), "hidden") for x in (h.along_mm - r, h.along_mm + r) for a, b in walls]
        ink.append(Centre((h.along_mm, -half), (h.along_mm, half)))
    dims = (Dim(Span(f"{part.mark}.width", (long, -half), (long, half), "y"), (mm(part.width_mm),)),)
    return View("from above", tuple(ink), dims)


def _across(part: Made) -> View:
    rings, dims = cut_across(part)
    up = part.holes[0].up_mm
    half = 0.5 * part.width_mm
    ink = (Cut(rings), Centre((-half, up), (half, up)), Centre((0.0, 0.0), (0.0, part.height_mm)))
    return View("stock cut across", ink, dims, beside_mm=25.0)
