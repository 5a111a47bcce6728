"""Sizes that a merchant has: tubes, flats, bars, plates, spring strip, torsion bars."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trundle.fields.step import Stock, steps_of
from trundle.making.fits.case import Case
from trundle.making.fits.remark import Remark, mm
from trundle.springs import Spring
from trundle.steel.materials import UNKNOWN_SCRAP
from trundle.steel.sizes import (
    BRIGHT_MM,
    PLATE_STEELS,
    PLATES_MM,
    ROUND_TUBES_MM,
    ROUNDS_MM,
    SIDES_MM,
    SQUARE_TUBES_MM,
    WALLS_MM,
)

SAME_MM = 0.15
"""A measured size that is so near one that is sold is that one (rolling tolerance)."""

INCH_MM = 25.4 / 16.0
"""Stock in inches goes by sixteenths."""


def sold(value: float, sizes: Sequence[float]) -> bool:
    """Whether a size is among some, or is one in inches [mm]."""
    return any(abs(value - s) <= SAME_MM for s in sizes) or abs(value / INCH_MM - round(value / INCH_MM)) < 0.02


def nearest(value: float, sizes: Sequence[float]) -> str:
    """The next below and above, in words."""
    below = [s for s in sizes if s <= value]
    above = [s for s in sizes if s > value]
    return " or ".join(mm(s) for s in (*below[-1:], *above[:1]))


def checks(case: Case) -> Iterator[Remark]:
    """Arm, sleeves, bracket's plate, springs; what is from the scrap heap is there already."""
    yield from _arm(case)
    yield from _sleeves(case)
    bracket = case.build.bracket
    if bracket is not None and case.member.pivots_mm and bracket.steel != PLATE_STEELS[0]:
        yield from _size(case, "bracket.plate_mm", "plate", bracket.plate_mm, PLATES_MM)
    for place in case.springs[:1]:
        yield from _spring(case, place.spring)


def _size(case: Case, field: str, what: str, value: float, sizes: Sequence[float]) -> Iterator[Remark]:
    if not sold(value, sizes):
        yield case.fault("is not sold", field, f"{what} of {mm(value)} mm", f"{nearest(value, sizes)} is sold")


def _spring(case: Case, spring: Spring) -> Iterator[Remark]:
    """Every field that goes in sizes of stock, as the field itself says."""
    if getattr(spring, "steel", "") == UNKNOWN_SCRAP:
        return
    for field, step in steps_of(type(spring)).items():
        value = getattr(spring, field)
        if isinstance(step, Stock) and value is not None:
            sizes = BRIGHT_MM if step.sizes == ROUNDS_MM else step.sizes
            yield from _size(
                case, f"spring.{field}", f"spring's {field.removesuffix('_mm').replace('_', ' ')}", value, sizes
            )


def _arm(case: Case) -> Iterator[Remark]:
    arm = case.build.arm
    if arm is None or arm.steel == PLATE_STEELS[0]:
        return
    wall = arm.thickness_mm
    if arm.kind in ("square tube", "channel"):
        assert wall is not None
        if not sold(arm.side_mm, tuple(SQUARE_TUBES_MM)):
            yield from _size(case, "arm.side_mm", "square tube with sides", arm.side_mm, tuple(SQUARE_TUBES_MM))
            return
        walls = next((w for s, w in SQUARE_TUBES_MM.items() if abs(s - arm.side_mm) <= SAME_MM), WALLS_MM)
        yield from _size(case, "arm.thickness_mm", f"square tube {mm(arm.side_mm)} with a wall", wall, walls)
    elif arm.kind == "flat":
        assert wall is not None
        yield from _size(case, "arm.side_mm", "flat with a height", arm.side_mm, SIDES_MM)
        yield from _size(case, "arm.thickness_mm", "flat with a thickness", wall, WALLS_MM)
    elif wall is None:
        yield from _size(case, "arm.side_mm", "round bar", arm.side_mm, ROUNDS_MM)
    else:
        yield from _size(case, "arm.side_mm", "round tube, outside,", arm.side_mm, tuple(ROUND_TUBES_MM))
        if arm.side_mm in ROUND_TUBES_MM:
            walls = ROUND_TUBES_MM[arm.side_mm]
            yield from _size(case, "arm.thickness_mm", f"round tube {mm(arm.side_mm)} with a wall", wall, walls)


def _sleeves(case: Case) -> Iterator[Remark]:
    """Turned or bored out of tube or bar with their outside."""
    sizes = tuple(sorted({*ROUND_TUBES_MM, *ROUNDS_MM}))
    pivot, weld = case.build.pivot, case.build.weld
    if pivot is not None and pivot.sleeve_outside_mm is not None:
        outside = pivot.sleeve_outside_mm
        yield from _size(case, "pivot.sleeve_outside_mm", "tube or bar for the pivot sleeve", outside, sizes)
    if weld is not None and case.member.carries_axle:
        yield from _size(case, "weld.sleeve_mm", "tube or bar for the axle sleeve", weld.sleeve_mm, sizes)
