"""Bolts in what they grip: long enough for the nut, plain where they are bent, sold; heads and nuts that a socket
reaches, washers that lie on something."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.making.bolted import Bolted
from trundle.making.fits.case import Case
from trundle.making.fits.common import EQUAL_MM, nut_corners_mm, socket_mm, washer_radius_mm
from trundle.making.fits.remark import Remark, mm
from trundle.steel.fasteners import FASTENERS, end_mm, length_mm

MOST_WASHERS = 4.0
"""More than so many washers under a nut are no joint (common practice, no source)."""

OVERHANG = 1.5
"""A washer that hangs over what it lies on by more than so many of its thicknesses dishes (common practice, no
source)."""


def checks(case: Case) -> Iterator[Remark]:
    """Lengths, then room for nuts and washers."""
    for bolt in case.bolted:
        if bolt.what != "hull bolt":
            yield from _length(case, bolt)
    yield from _reached(case)
    yield from _washers(case)


def _length(case: Case, bolt: Bolted) -> Iterator[Remark]:
    table = "axle" if bolt.what == "axle bolt" else "pivot"
    field, need = f"{table}.length_mm", bolt.grip_mm + end_mm(bolt.thread)
    would = length_mm(bolt.thread, bolt.grip_mm, bolt.bent_mm[1] if bolt.plain else 0.0)
    if bolt.given_mm is None:
        if not bolt.sold:
            yield case.fault(
                "is not sold", f"{table}.thread",
                f"the {bolt.what} would be {mm(bolt.length_mm)} long, longer than any sold",
                "less between head and nut, or a thicker bolt; threaded rod has its thread where it is bent",
            )  # fmt: skip
        return
    if bolt.given_mm < need - EQUAL_MM:
        yield case.fault(
            "cannot be put together", field,
            f"the {bolt.what}, {mm(bolt.given_mm)} long, is {mm(need - bolt.given_mm)} mm too short: it grips "
            f"{mm(bolt.grip_mm)} and has its nut to pass",
            f"one of {mm(would)}",
        )  # fmt: skip
        return
    low, high = bolt.bent_mm
    if bolt.plain and bolt.shank_mm < high - EQUAL_MM:
        yield case.fault(
            "would wear or give way", field,
            f"the {bolt.what}, {mm(bolt.given_mm)} long, has {mm(bolt.shank_mm)} mm of plain shank; it is bent or "
            f"sheared from {mm(low)} to {mm(high)}: in its thread",
            f"one of {mm(would)}, or {table}.threads_in_bend = true",
        )  # fmt: skip
    elif bolt.packing_mm > MOST_WASHERS * FASTENERS[bolt.thread].washer_mm + EQUAL_MM:
        yield case.fault(
            "cannot be put together", field,
            f"the {bolt.what}, {mm(bolt.given_mm)} long, begins its thread {mm(bolt.shank_mm - bolt.grip_mm)} mm past "
            f"what it grips: {mm(bolt.packing_mm)} mm of washers under its nut",
            f"one of {mm(would)}",
        )  # fmt: skip


def _reached(case: Case) -> Iterator[Remark]:
    """Sockets beside the next nut, over the hull bolts."""
    pivot, bracket = case.build.pivot, case.build.bracket
    if pivot is None or bracket is None or not case.member.pivots_mm:
        return
    turn, corners = socket_mm(pivot.thread), nut_corners_mm(pivot.thread)
    if len(case.member.pivots_mm) == 2:
        apart = case.member.pivots_mm[1] - case.member.pivots_mm[0]
        need = max(turn + corners, 2.0 * washer_radius_mm(pivot.thread))
        if apart < need - EQUAL_MM:
            yield case.fault(
                "cannot be put together", "pivots_apart_mm",
                f"the two {pivot.thread} pivots, {mm(apart)} apart, leave a socket ({mm(2.0 * turn)} across) no room "
                "beside the next nut",
                f"{mm(need)} or more apart, or a thinner pivot bolt",
            )  # fmt: skip
    if (apart_hull := bracket.hull_bolts_apart_mm) is None or bracket.hull_bolts_from_top_mm is None:
        return
    assert bracket.hull_thread is not None
    up = bracket.height_mm - bracket.pivots_from_bottom_mm - bracket.hull_bolts_from_top_mm
    off = min(abs(abs(x) - 0.5 * apart_hull) for x in case.member.pivots_mm)
    distance = math.hypot(off, up)
    need = max(
        turn + nut_corners_mm(bracket.hull_thread),
        socket_mm(bracket.hull_thread) + corners,
        washer_radius_mm(pivot.thread) + washer_radius_mm(bracket.hull_thread),
    )
    if distance < need - EQUAL_MM:
        higher = bracket.height_mm + math.sqrt(max(need**2 - off**2, 0.0)) - up
        yield case.fault(
            "cannot be put together", "bracket.height_mm",
            f"a hull bolt {mm(distance)} mm from the pivot bolt leaves no room for a socket or washers",
            f"{mm(need)} mm between them: a plate {mm(math.ceil(higher))} high, or the hull bolts further apart",
        )  # fmt: skip


def _washers(case: Case) -> Iterator[Remark]:
    """On a sleeve's end; on plates a hole's least distance from an edge is more than its washer takes."""
    axle, weld = case.build.axle, case.build.weld
    if case.axle_faults and axle is not None and weld is not None and axle.held == "one side":
        f = FASTENERS[axle.thread]
        over = 0.5 * (f.washer_out_mm - weld.sleeve_mm)
        if over > OVERHANG * f.washer_mm + EQUAL_MM:
            least = f.washer_out_mm - 2.0 * OVERHANG * f.washer_mm
            yield case.fault(
                "would wear or give way", "weld.sleeve_mm",
                f"the axle bolt's washer ({mm(f.washer_out_mm)}) hangs {mm(over)} mm over the end of the sleeve of "
                f"{mm(weld.sleeve_mm)} all round",
                f"a sleeve of {mm(least)} or more",
            )  # fmt: skip
