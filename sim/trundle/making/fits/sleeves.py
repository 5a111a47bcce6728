"""Sleeves in their holes and on their bolts: do they pass, rattle, turn, and is there wall enough left."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.making.fits.case import Case
from trundle.making.fits.common import EQUAL_MM, LEFT_MM
from trundle.making.fits.remark import Remark, mm
from trundle.making.members import bolt_mm
from trundle.steel.fasteners import running_bore_mm

LOOSE_IN_HOLE_MM = 1.0
"""A sleeve so much thinner than its hole is not held in place by its weld (common practice, no source)."""

LOOSE_ON_BOLT_MM = 1.0
"""A sleeve bored so much wider than its bolt wobbles on it (common practice, no source)."""

THIN_SHARE, THIN_MM = 0.15, 1.5
"""Least wall of a sleeve, of its bolt's diameter, and in mm (common practice, no source)."""

LOOSE_HUB_MM = 0.5
"""A wheel's bore so much wider than its bolt sits loose (common practice, no source)."""


def checks(case: Case) -> Iterator[Remark]:
    """The pivot's sleeve, the axle's sleeve, the hubs."""
    build, arm = case.build, case.build.arm
    if (pivot := build.pivot) is not None:
        out, bolt = pivot.sleeve_outside_mm, bolt_mm(pivot.thread)
        if out is not None:
            yield from _in_hole(case, "pivot", out, build.pivot_hole_mm, "pivot.sleeve_outside_mm")
            yield from _wall(case, "pivot", out, pivot.bore_mm, bolt, "pivot.sleeve_outside_mm")
        elif arm is not None and arm.pivot_hole_mm is not None and arm.pivot_hole_mm < bolt - EQUAL_MM:
            yield _bolt_through(case, "pivot", pivot.thread, arm.pivot_hole_mm)
        play = pivot.bore_mm - bolt
        if play < EQUAL_MM:
            short = f"{mm(-play)} mm more than the sleeve's bore of" if play < -EQUAL_MM else "as wide as the bore,"
            yield case.fault(
                "cannot be put together", "pivot.sleeve_bore_mm",
                f"the {pivot.thread} bolt is {short} {mm(pivot.bore_mm)}",
                f"bore the sleeve {mm(running_bore_mm(pivot.thread))}",
            )  # fmt: skip
        elif play > LOOSE_ON_BOLT_MM + EQUAL_MM:
            yield case.fault(
                "would wear or give way", "pivot.sleeve_bore_mm",
                f"the sleeve, bored {mm(pivot.bore_mm)}, has {mm(play)} mm of play on its {pivot.thread} bolt",
                f"bore it {mm(running_bore_mm(pivot.thread))}, or press a bush in and give that one's bore",
            )  # fmt: skip
    if not case.axle_faults:
        return
    axle = build.axle
    assert axle is not None
    bolt = bolt_mm(axle.thread)
    if (weld := build.weld) is not None:
        yield from _in_hole(case, "axle", weld.sleeve_mm, build.axle_hole_mm, "weld.sleeve_mm")
        yield from _wall(case, "axle", weld.sleeve_mm, running_bore_mm(axle.thread), bolt, "weld.sleeve_mm")
    elif arm is not None and arm.axle_hole_mm is not None and arm.axle_hole_mm < bolt - EQUAL_MM:
        yield _bolt_through(case, "axle", axle.thread, arm.axle_hole_mm)
    bore = case.wheel.hub_bore_mm
    if bore is None:
        return
    field = f"wheel.{case.bogie.wheel}.hub_bore_mm"
    if bore < bolt - EQUAL_MM:
        yield case.fault(
            "cannot be put together", field, f"the {axle.thread} axle bolt does not pass the hub's bore of {mm(bore)}",
            f"a thinner bolt (axle.thread), or a hub bored {mm(bolt)} or more",
        )  # fmt: skip
    elif bore > bolt + LOOSE_HUB_MM + EQUAL_MM:
        yield case.fault(
            "would wear or give way", field,
            f"the hub, bored {mm(bore)}, has {mm(bore - bolt)} mm of play on its {axle.thread} bolt",
            f"a bush between them, whose inside counts: {mm(bolt)} to {mm(bolt + LOOSE_HUB_MM)}",
        )  # fmt: skip


def _in_hole(case: Case, which: str, outside: float, hole: float | None, field: str) -> Iterator[Remark]:
    arm = case.build.arm
    if arm is None or hole is None:
        return
    given = f"arm.{which}_hole_mm"
    if outside > hole + EQUAL_MM:
        yield case.fault(
            "cannot be put together", given,
            f"the {which} sleeve, {mm(outside)} outside, does not pass the {case.member.what}'s hole of {mm(hole)}",
            f"drill {mm(outside)}, or a thinner sleeve ({field})",
        )  # fmt: skip
    elif hole - outside > LOOSE_IN_HOLE_MM + EQUAL_MM:
        yield case.fault(
            "would wear or give way", given,
            f"the {which} sleeve, {mm(outside)} outside, has {mm(hole - outside)} mm of play in its hole of {mm(hole)}",
            f"drill {mm(outside)}: its weld does not bridge more than {mm(LOOSE_IN_HOLE_MM)} mm",
        )  # fmt: skip


def _wall(case: Case, which: str, outside: float, bore: float, bolt: float, field: str) -> Iterator[Remark]:
    wall = 0.5 * (outside - bore)
    least = min(max(THIN_SHARE * bolt, THIN_MM), LEFT_MM)
    if wall <= 0.0:
        yield case.fault(
            "cannot be put together", field,
            f"the {which} sleeve, {mm(outside)} outside, has no wall round its bore of {mm(bore)}",
            f"{mm(bore + 2.0 * least)} or more outside",
        )  # fmt: skip
    elif wall < least - EQUAL_MM:
        yield case.fault(
            "would wear or give way", field,
            f"the {which} sleeve's wall is {mm(wall)} mm ({mm(outside)} outside, {mm(bore)} bore)",
            f"{mm(bore + 2.0 * least)} or more outside, for a wall of {mm(least)}",
        )  # fmt: skip


def _bolt_through(case: Case, which: str, thread: str, hole: float) -> Remark:
    return case.fault(
        "cannot be put together", f"arm.{which}_hole_mm",
        f"the {thread} {which} bolt does not pass the {case.member.what}'s hole of {mm(hole)}",
        f"drill {mm(bolt_mm(thread))} or more",
    )  # fmt: skip
