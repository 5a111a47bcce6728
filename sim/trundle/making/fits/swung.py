"""What meets what as the arms swing from stop to stop: arm, plates, hull bolts, hull, the other arm, wheels."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trundle.making.fits.case import Case
from trundle.making.fits.common import CLEAR_MM, EQUAL_MM
from trundle.making.fits.outline import far_apart, room_mm
from trundle.making.fits.remark import Remark, mm
from trundle.making.fits.solids import Solid, placed, solids
from trundle.units import DEG

STEP_DEG = 2.0
"""A swing is looked at in steps of about this."""

ANGLES = 11
"""At most so many angles of each arm are looked at."""


@dataclass(frozen=True)
class Pair:
    """Two things that must not meet: as solids call them, the field to change, what would do, and whether a thing may
    touch what is on its own pivot."""

    moves: str
    meets: str
    field: str
    mend: str


PAIRS = (
    Pair("arm", "arm", "arm.pivot_from_end_mm", "a shorter end, a lower section, or pivots_apart_mm larger"),
    Pair("arm", "hull over its bracket", "bracket.height_mm", "a higher plate, or arm.pivot_from_end_mm less"),
    Pair("arm", "hull bolt's head", "bracket.height_mm", "a higher plate, or heads on its other face"),
    Pair("beam", "hull over its bracket", "bracket.height_mm", "a higher plate"),
    Pair("beam", "hull bolt's head", "bracket.height_mm", "a higher plate, or heads on its other face"),
    Pair("arm", "pivot sleeve", "pivots_apart_mm", "pivots further apart, or a shorter end (arm.pivot_from_end_mm)"),
    Pair("wheel", "bracket's plate", "bracket.length_mm", "a shorter plate, or wheels further out"),
    Pair("wheel", "hull bolt's head", "bracket.length_mm", "a shorter plate, or wheels further out"),
    Pair("wheel", "pivot sleeve", "pivot.sleeve_mm", "a shorter sleeve, wheels further out, or a longer arm"),
    Pair("wheel", "pivot bolt's end", "pivot.sleeve_mm", "a shorter sleeve, wheels further out, or a longer arm"),
    Pair("wheel", "wheel", "pivots_apart_mm", "pivots further apart, or smaller wheels"),
    Pair("wheel", "arm", "axle.wheels_apart_mm", "wheels further apart"),
)
"""Adding one is a line here; what is between the wheels' faces and an arm's side on its own axle is across.py's."""


def checks(case: Case) -> Iterator[Remark]:
    """The worst of each pair through the whole swing."""
    every = solids(case)
    told: set[tuple[str, str]] = set()
    for pair in PAIRS:
        found = _worst(case, pair, every)
        if found is None:
            continue
        room, at = found
        if room >= CLEAR_MM - EQUAL_MM or (pair.moves, pair.field) in told:
            continue
        told.add((pair.moves, pair.field))
        where = f" with {_angles(case, at)}" if at else ""
        other = "the other arm" if pair.meets == pair.moves == "arm" else f"the {pair.meets}"
        other = "the other arm's wheel" if pair.meets == pair.moves == "wheel" else other
        wrong = (
            f"the {pair.moves} runs {mm(-room)} mm into {other}{where}"
            if room < -EQUAL_MM
            else f"the {pair.moves} passes {other} at {mm(max(room, 0.0))} mm{where}"
        )
        yield case.fault("would foul", pair.field, wrong, pair.mend)


def _angles(case: Case, at: tuple[float, ...]) -> str:
    words = " and ".join(dict.fromkeys(_level(a) for a in at))
    return f"{'arms' if len(at) > 1 else case.member.what} {words}"


def _level(angle_rad: float) -> str:
    deg = round(angle_rad / DEG)
    return "level" if deg == 0 else f"{abs(deg)} deg {'below' if deg > 0 else 'above'} level"


def _worst(case: Case, pair: Pair, every: tuple[Solid, ...]) -> tuple[float, tuple[float, ...]] | None:
    """Least room and the arms' angles there; None where the file has not both, or they lie in other planes."""
    some = [s for s in every if s.what == pair.moves]
    others = [s for s in every if s.what == pair.meets]
    meeting = [(a, b) for a in some for b in others if _may_meet(a, b)]
    found: tuple[float, tuple[float, ...]] | None = None
    done = set()
    for a, b in meeting:
        if (id(b), id(a)) in done:
            continue
        done.add((id(a), id(b)))
        moving = sorted({s.of for s in (a, b) if s.of is not None})
        for angles in _poses(case, moving):
            one, other = placed(case, a, angles), placed(case, b, angles)
            if far_apart(one, other, CLEAR_MM):
                continue
            room = room_mm(one, other)
            if found is None or room < found[0]:
                found = room, tuple(angles[i] for i in moving)
    return found


def _may_meet(a: Solid, b: Solid) -> bool:
    """In one plane along the vehicle, and not made to touch: an arm on its own pivot, what moves together."""
    if a is b or not a.beside(b):
        return False
    together = a.of is not None and a.of in (b.of, b.own)
    return not together or (a.what == "wheel" and b.of is None)


def _poses(case: Case, moving: list[int]) -> Iterator[tuple[float, ...]]:
    """Angles of all arms, those that matter through their whole swing, each against each."""
    rows = []
    for i, swing in enumerate(case.swings):
        if i not in moving:
            rows.append([0.5 * (swing.bump + swing.droop)])
            continue
        count = min(ANGLES, 2 + math.ceil((swing.droop - swing.bump) / (STEP_DEG * DEG)))
        rows.append(list(np.linspace(swing.bump, swing.droop, count)))
    yield from itertools.product(*rows)
