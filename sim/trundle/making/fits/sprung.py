"""Springs in their place: what their own kind says, the leaf across two arms clear of pivots and arms, adjusters."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from trundle.bogies.parts import SpringPart
from trundle.making.fits.case import Case
from trundle.making.fits.common import CLEAR_MM, EQUAL_MM
from trundle.making.fits.outline import Outline, Points, far_apart, room_mm
from trundle.making.fits.remark import Remark, mm
from trundle.making.fits.solids import placed, solids
from trundle.springs.misfits import Beside
from trundle.units import MM


def checks(case: Case) -> Iterator[Remark]:
    """Each kind of spring once: alike on all arms of a bogie."""
    for place in case.springs[:1]:
        for field, wrong, mend in place.spring.misfits(_beside(case, place)):
            path = field if field.startswith("axle.") else f"spring.{field}"
            yield case.fault("would foul", path, wrong, mend)
        if place.spring.arms == 2:
            yield from _over_pivots(case, place)
        yield from _adjuster(case, place)


def _beside(case: Case, place: SpringPart) -> Beside:
    arm, pivot, axle = case.build.arm, case.build.pivot, case.build.axle
    both = pivot is not None and case.build.bracket is not None and pivot.held == "both sides"
    between = case.axle_faults and axle is not None and axle.held == "between wheels" and case.wheel.abreast > 1
    return Beside(
        place.mount,
        arm.height_mm - arm.holes_up_mm if arm is not None else None,
        arm.axle_to_end_mm if arm is not None else None,
        pivot.sleeve_mm + 2.0 * pivot.gap_mm if both and pivot is not None else None,
        axle.wheels_apart_mm if between and axle is not None else None,
        case.wheel.radius_mm,
    )


def _over_pivots(case: Case, place: SpringPart) -> Iterator[Remark]:
    """A leaf across two arms above their sleeves and their inner ends, at both stops of both."""
    every = [s for s in solids(case) if s.what in ("arm", "pivot sleeve")]
    least: dict[str, tuple[float, tuple[float, ...]]] = {}
    swings = [case.swings.index(case.parts.swings[i]) for i in place.swings]
    stops = [(case.swings[i].bump, case.swings[i].droop) for i in swings]
    for angles in itertools.product(*stops):
        leaf = _pieces(place, angles)
        for solid in every:
            # The leaf lies on the arm's outer half: its inner half, about the pivot, is what is in the way.
            outline = placed(case, solid, angles)
            if solid.what == "arm":
                outline = _inner(case, solid.of or 0, outline)
            near = [p for p in leaf if not far_apart(p, outline, CLEAR_MM)]
            room = min((room_mm(p, outline) for p in near), default=math.inf)
            if solid.what not in least or room < least[solid.what][0]:
                least[solid.what] = room, angles
    clear = {"arm": 0.0, "pivot sleeve": CLEAR_MM}
    over = {what: clear[what] - room for what, (room, _) in least.items() if room < clear[what] - EQUAL_MM}
    if not over:
        return
    what = max(over, key=lambda w: over[w])
    room = least[what][0]
    told = f"{mm(-room)} mm into" if room < -EQUAL_MM else f"within {mm(max(room, 0.0))} mm of"
    where = "the arms' inner ends" if what == "arm" else "the pivot sleeves"
    yield case.fault(
        "would foul", "spring.seat_above_pivots_mm", f"the leaf comes {told} {where}",
        f"{mm(math.ceil(over[what]))} mm higher, and arm_top_mm by as much (a block on the arm) or a leaf bent more",
    )  # fmt: skip


def _pieces(place: SpringPart, angles: tuple[float, ...]) -> list[Outline]:
    """The stack in boxes from its underside up."""
    torques = place.spring.at(angles, place.mount).torques_Nm
    shape = next(s for s in place.shapes(angles, torques) if s.material == "spring")
    # Its outline begins with the underside, from aft to fore.
    under = shape.points[: int(np.argmax(shape.points[:, 0])) + 1]
    up = np.array([0.0, _height_mm(shape.points)])
    return [Outline(np.array([a, b, b + up, a + up])) for a, b in itertools.pairwise(under)]


def _height_mm(points: Points) -> float:
    """Of the stack in its middle."""
    middle = points[np.argsort(np.abs(points[:, 0]))[:4]]
    return float(np.ptp(middle[:, 1]))


def _inner(case: Case, k: int, arm: Outline) -> Outline:
    """The part of an arm up to half-way between its pivot and where the leaf bears: beyond it the leaf comes down."""
    swing, section = case.swings[k], case.build.arm
    assert section is not None
    back, length = section.pivot_from_end_mm, section.pivot_from_end_mm + swing.radius / MM + section.axle_to_end_mm
    share = (back + 0.5 * swing.radius / MM) / length
    # Its corners run from the left end's lower one; the pivot's end is left of a fore arm, right of an aft one.
    a, b, c, d = arm.points
    if swing.sign > 0.0:
        return Outline(np.array([a, a + share * (b - a), d + share * (c - d), d]))
    return Outline(np.array([b + share * (a - b), b, c, c + share * (d - c)]))


def adjuster_left_mm(case: Case) -> float | None:
    """What is left of the travel of an adjuster's screw [mm]; None without one."""
    screw = case.build.adjuster
    for place in case.springs[:1]:
        moves = place.spring.adjuster()
        if screw is not None and moves is not None and moves.screwed_mm is not None:
            return screw.travel_mm - moves.screwed_mm
    return None


def _adjuster(case: Case, place: SpringPart) -> Iterator[Remark]:
    left, moves = adjuster_left_mm(case), place.spring.adjuster()
    if left is None or moves is None or moves.screwed_mm is None or case.build.adjuster is None:
        return
    travel = case.build.adjuster.travel_mm
    if left < -EQUAL_MM or moves.screwed_mm < -EQUAL_MM:
        yield case.fault(
            "cannot be put together", f"spring.{moves.field}",
            f"the adjuster stands at {mm(moves.screwed_mm)} mm, beyond its travel of {mm(travel)}",
            f"0 to {mm(travel)}, or a longer screw (adjuster.travel_mm)",
        )  # fmt: skip
