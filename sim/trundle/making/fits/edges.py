"""Holes in plates and arms: inside the piece, far enough from its edges and from each other, steel left beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.making.fits.case import Case
from trundle.making.fits.common import END_HOLE, EQUAL_MM, LEFT_MM, NEXT_HOLE
from trundle.making.fits.remark import Remark, mm
from trundle.making.part import Hole, Made


def checks(case: Case) -> Iterator[Remark]:
    """Of the arm or beam, then of the bracket's plate."""
    for piece in case.made:
        if piece.what in ("arm", "beam"):
            yield from _bar(case, piece)
        elif piece.what == "bracket plate":
            yield from _plate(case, piece)


def _ends(piece: Made, hole: Hole) -> tuple[float, float]:
    return hole.along_mm, piece.length_mm - hole.along_mm


def _sides(piece: Made, hole: Hole) -> tuple[float, float]:
    return hole.up_mm, piece.height_mm - hole.up_mm


def _bar(case: Case, bar: Made) -> Iterator[Remark]:
    """A hole with a sleeve welded in leaves a wall's width; one that a bolt bears in keeps the standard's distance."""
    arm, told = case.build.arm, set()
    assert arm is not None
    for hole in sorted(bar.holes, key=lambda h: -h.diameter_mm):
        # The arm under a beam has the sleeve of the beam's pivot in its far hole.
        carries = hole.name == "axle" and not case.member.carries_axle
        r, sleeve = 0.5 * hole.diameter_mm, carries or hole.passes.endswith("sleeve")
        along = "arm.pivot_from_end_mm" if hole.name == "pivot" and bar.what == "arm" else "arm.axle_to_end_mm"
        across = "arm.side_mm" if arm.holes_from_back_mm is None else "arm.holes_from_back_mm"
        if not hole.name.startswith(("pivot", "axle")):
            along, across = "spring.on_arm_mm", "spring.above_arm_mm"
        end, side = min(_ends(bar, hole)), min(_sides(bar, hole))
        spare = LEFT_MM if sleeve or hole.passes not in ("pivot bolt", "axle bolt") else (END_HOLE - 0.5) * 2.0 * r
        for room, field, word in ((end, along, "end"), (side, across, "edge")):
            left = room - r
            need = r + spare
            if field in told or left >= spare - EQUAL_MM:
                continue
            told.add(field)
            which = f"the {bar.what}'s {hole.name} hole of {mm(hole.diameter_mm)}"
            if left <= 0.0:
                wrong = f"{which} does not lie inside the piece: it runs {mm(-left)} mm over its {word}"
                yield case.fault("cannot be put together", field, wrong, _more(field, need, arm.kind))
            else:
                wrong = f"{which} leaves {mm(left)} mm of steel to its {word}"
                yield case.fault("would wear or give way", field, wrong, _more(field, need, arm.kind))
            break


def _more(field: str, need: float, kind: str) -> str:
    if field == "arm.side_mm":
        what = {"flat": "flat", "round": "round"}.get(kind, "tube")
        return f"{mm(need)} or more to its middle: a {what} {mm(2.0 * need)} or more high, or a thinner sleeve"
    return f"{mm(need)} or more to its middle"


def _plate(case: Case, plate: Made) -> Iterator[Remark]:
    bracket = case.build.bracket
    assert bracket is not None
    if case.build.pivot is None and bracket.hull_thread is None:
        return
    holes = [h for h in plate.holes if not (h.passes == "pivot bolt" and case.build.pivot is None)]
    pivots = [h for h in holes if h.passes == "pivot bolt"]
    hull = [h for h in holes if h.passes != "pivot bolt"]
    for own, word, low_field in (
        (pivots, "pivot", "bracket.pivots_from_bottom_mm"),
        (hull, "hull bolts'", "bracket.hull_bolts_from_top_mm"),
    ):
        if not own:
            continue
        h = own[0]
        need = END_HOLE * h.diameter_mm
        end = min(min(_ends(plate, o)) for o in own)
        near = min(h.up_mm, plate.height_mm - h.up_mm)
        which = f"the plate's {word} hole of {mm(h.diameter_mm)}"
        for room, field, edge in ((near, low_field, "edge"), (end, "bracket.length_mm", "end")):
            if room > need - EQUAL_MM:
                continue
            mend = f"{mm(need)} or more to its middle (1.2 of its diameter, EN 1993-1-8)"
            if edge == "end":
                mend = f"{mm(plate.length_mm + 2.0 * (need - room))} or more long: {mend}"
            over = room - 0.5 * h.diameter_mm
            if over <= 0.0:
                wrong = f"{which} does not lie inside the piece: it runs {mm(-over)} mm over its {edge}"
                yield case.fault("cannot be put together", field, wrong, mend)
            else:
                wrong = f"{which} has its middle {mm(room)} mm from the plate's {edge}"
                yield case.fault("would wear or give way", field, wrong, mend)
    yield from _next(case, pivots, hull)


def _next(case: Case, pivots: list[Hole], hull: list[Hole]) -> Iterator[Remark]:
    """Bolts' holes from each other, along the plate or across it."""
    for some, others, field in (
        (pivots[:1], pivots[1:], "pivots_apart_mm"),
        (hull[:1], hull[1:], "bracket.hull_bolts_apart_mm"),
        (pivots, hull, "bracket.height_mm"),
    ):
        for a, b in ((a, b) for a in some for b in others):
            apart = math.hypot(a.along_mm - b.along_mm, a.up_mm - b.up_mm)
            need = NEXT_HOLE * max(a.diameter_mm, b.diameter_mm)
            if apart < need - EQUAL_MM:
                yield case.fault(
                    "would wear or give way", field,
                    f"the plate's holes of {mm(a.diameter_mm)} and {mm(b.diameter_mm)} are {mm(apart)} apart",
                    f"{mm(need)} or more (2.2 of the larger, EN 1993-1-8)",
                )  # fmt: skip
                break
