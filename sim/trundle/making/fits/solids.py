"""Everything that one bogie's arms have about them, as solids: an outline from the side and a place across the vehicle.

Only where each thing's place across the vehicle is known: arms that hang on the hull and carry wheels. The middle of
the station, where the arms are, is 0; outwards is positive.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from trundle.making.fits.case import Case
from trundle.making.fits.common import nut_corners_mm
from trundle.making.fits.outline import Outline, box, disc
from trundle.making.members import plates_of
from trundle.steel.fasteners import FASTENERS
from trundle.units import MM

HULL_MM = 200.0
"""How much of the hull above a bracket's top edge counts as being in the arms' way."""


@dataclass(frozen=True)
class Solid:
    """what: in words. of: the arm that it moves with, as a place in the case's swings; None: it stands in the hull.
    own: the arm whose pivot it is on, if any. outline: with its arm level, from that arm's pivot (or from the middle of
    the bracket's pivots). low_mm, high_mm: across the vehicle."""

    what: str
    of: int | None
    outline: Outline
    low_mm: float
    high_mm: float
    own: int | None = None

    def beside(self, other: Solid) -> bool:
        """Whether the two lie in one plane along the vehicle, so that they could meet."""
        return self.low_mm < other.high_mm and other.low_mm < self.high_mm


def solids(case: Case) -> tuple[Solid, ...]:
    """All that the file says enough about."""
    if not case.in_line:
        return ()
    return (*_standing(case), *(s for k in range(len(case.swings)) for s in _moving(case, k)))


def placed(case: Case, solid: Solid, angles_rad: Sequence[float]) -> Outline:
    """Where it is with the arms at these angles below level: hull axes, from the middle of the bracket's pivots."""
    if solid.of is None:
        return solid.outline
    swing = case.swings[solid.of]
    return solid.outline.moved(-swing.sign * angles_rad[solid.of], *case.pivot_mm(swing))


def _standing(case: Case) -> Iterator[Solid]:
    """Plates, hull above them, pivot bolts, heads of hull bolts."""
    pivot, bracket = case.build.pivot, case.build.bracket
    if pivot is None or bracket is None:
        return
    half, low = 0.5 * bracket.length_mm, -bracket.pivots_from_bottom_mm
    top = low + bracket.height_mm
    inner = 0.5 * pivot.sleeve_mm + pivot.gap_mm
    outer = inner + bracket.plate_mm
    sides = (-1.0, 1.0) if plates_of(case.build) == 2 else (-1.0,)
    for s in sides:
        across = sorted((s * inner, s * outer))
        yield Solid("bracket's plate", None, box(-half, low, half, top), across[0], across[1])
    yield Solid("hull over its bracket", None, box(-half, top, half, top + HULL_MM), -outer, outer)
    f = FASTENERS[pivot.thread]
    end = f.washer_mm + max(f.nut_mm, f.head_mm)
    for x in case.member.pivots_mm:
        on = next(i for i, s in enumerate(case.swings) if abs(case.pivot_mm(s)[0] - x) < 1e-6)
        nut = disc(x, 0.0, nut_corners_mm(pivot.thread))
        for s, begins in ((-1.0, outer), (1.0, outer if len(sides) == 2 else inner)):
            across = sorted((s * begins, s * (begins + end)))
            yield Solid("pivot bolt's end", None, nut, across[0], across[1], own=on)
        if pivot.sleeve_outside_mm is not None:
            round_it = disc(x, 0.0, 0.5 * pivot.sleeve_outside_mm)
            yield Solid("pivot sleeve", None, round_it, -0.5 * pivot.sleeve_mm, 0.5 * pivot.sleeve_mm, own=on)
    if bracket.hull_thread is not None and bracket.hull_bolts_apart_mm is not None:
        assert bracket.hull_bolts_from_top_mm is not None
        f = FASTENERS[bracket.hull_thread]
        y, thick = top - bracket.hull_bolts_from_top_mm, f.washer_mm + f.head_mm
        for x in (-0.5 * bracket.hull_bolts_apart_mm, 0.5 * bracket.hull_bolts_apart_mm):
            head = disc(x, y, max(nut_corners_mm(bracket.hull_thread), 0.5 * f.washer_out_mm))
            for s in sides:
                across = sorted((s * inner, s * (inner - thick)))
                yield Solid("hull bolt's head", None, head, across[0], across[1])


def _moving(case: Case, k: int) -> Iterator[Solid]:
    """Arm, its wheels."""
    swing, arm, axle = case.swings[k], case.build.arm, case.build.axle
    ends = [swing.sign * swing.radius / MM] if swing.what == "arm" else [w.x / MM for w in swing.wheels]
    if arm is not None:
        up = arm.holes_up_mm
        if swing.what == "arm":
            left, right = sorted((-swing.sign * arm.pivot_from_end_mm, ends[0] + swing.sign * arm.axle_to_end_mm))
            low = 0.0
        else:
            left, right = min(ends) - arm.axle_to_end_mm, max(ends) + arm.axle_to_end_mm
            low = float(np.mean([w.y for w in swing.wheels])) / MM
        shape = box(left, low - up, right, low - up + arm.height_mm)
        yield Solid(case.member.what, k, shape, -0.5 * arm.width_mm, 0.5 * arm.width_mm, own=k)
    if axle is None:
        return
    across = list(_wheels_across(case))
    for place in swing.wheels:
        for low_mm, high_mm in across:
            ring = disc(place.x / MM, place.y / MM, case.wheel.radius_mm)
            yield Solid("wheel", k, ring, low_mm, high_mm)


def _wheels_across(case: Case) -> Iterator[tuple[float, float]]:
    """From where to where each wheel of a station reaches, tyre or hub, whichever is wider."""
    axle, arm, wheel = case.build.axle, case.build.arm, case.wheel
    assert axle is not None
    step = axle.wheels_apart_mm + wheel.width_mm
    if axle.held == "between wheels":
        middles = [step * (i - 0.5 * (wheel.abreast - 1)) for i in range(wheel.abreast)]
    elif axle.held == "one side":
        if arm is None:
            return
        first = 0.5 * arm.width_mm + axle.side_gap_mm + 0.5 * wheel.width_mm
        middles = [first + step * i for i in range(wheel.abreast)]
    else:
        return  # the fork's own places are not in the file
    for m in middles:
        yield m - 0.5 * wheel.width_mm, m + 0.5 * wheel.width_mm
