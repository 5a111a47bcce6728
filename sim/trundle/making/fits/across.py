"""Along the bolts, across the vehicle: arm between its plates, axle sleeve with its weld between the hubs, washers."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.joints import AxleBolt
from trundle.making.fits.case import Case
from trundle.making.fits.common import EQUAL_MM, leg_mm, washers_mm
from trundle.making.fits.remark import Remark, mm

SIDE_MM = 0.5
"""An arm's side keeps so far from a plate that it turns past (common practice, no source)."""

TYRE_MM = 2.0
"""A tyre keeps so far from an arm's side (common practice, no source)."""


def checks(case: Case) -> Iterator[Remark]:
    """The pivot, then the axle."""
    yield from _between_plates(case)
    if not case.axle_faults:
        return
    axle = case.build.axle
    assert axle is not None
    found = list(_arm_between_tyres(case, axle))
    yield from found
    if not found:
        yield from _sleeve(case, axle)


def _between_plates(case: Case) -> Iterator[Remark]:
    pivot, arm = case.build.pivot, case.build.arm
    if pivot is None or arm is None or case.build.bracket is None:
        return
    sides = 0.5 * (pivot.sleeve_mm - arm.width_mm) + pivot.gap_mm
    if sides >= SIDE_MM - EQUAL_MM:
        return
    need = arm.width_mm + 2.0 * max(SIDE_MM - pivot.gap_mm, 0.0)
    what, both = case.member.what, pivot.held == "both sides"
    if sides < -EQUAL_MM:
        wrong = (
            f"the {what}, {mm(arm.width_mm)} wide, does not go between plates "
            f"{mm(pivot.sleeve_mm + 2.0 * pivot.gap_mm)} apart"
            if both
            else f"the {what}, {mm(arm.width_mm)} wide, meets its plate before its sleeve of {mm(pivot.sleeve_mm)} does"
        )
        yield case.fault("cannot be put together", "pivot.sleeve_mm", wrong, f"a sleeve of {mm(need)} or more")
    else:
        yield case.fault(
            "would foul", "pivot.sleeve_mm",
            f"the {what}, {mm(arm.width_mm)} wide, turns {mm(sides)} mm from its plates",
            f"a sleeve of {mm(need)} or more",
        )  # fmt: skip


def _arm_between_tyres(case: Case, axle: AxleBolt) -> Iterator[Remark]:
    """The arm itself beside the tyres."""
    arm, what = case.build.arm, case.member.what
    if arm is None or axle.held == "both sides":
        return
    field = "axle.wheels_apart_mm" if axle.held == "between wheels" else "axle.side_gap_mm"
    side = 0.5 * (axle.wheels_apart_mm - arm.width_mm) if axle.held == "between wheels" else axle.side_gap_mm
    if side >= TYRE_MM - EQUAL_MM:
        return
    if axle.held == "between wheels":
        need, room = arm.width_mm + 2.0 * TYRE_MM, f"wheels {mm(axle.wheels_apart_mm)} apart"
        if side < -EQUAL_MM:
            wrong = f"the {what}, {mm(arm.width_mm)} wide, does not go between {room}"
            yield case.fault("cannot be put together", field, wrong, f"{mm(need)} or more, or a narrower {what}")
            return
    else:
        need, room = TYRE_MM, "wheels"
    wrong = f"the {what} turns {mm(side)} mm from the tyres of its {room}"
    yield case.fault("would foul", field, wrong, f"{mm(need)} or more")


def _sleeve(case: Case, axle: AxleBolt) -> Iterator[Remark]:
    """What the bolt is held in, between the hubs; what room its weld has; what washers are left."""
    build, wheel, arm = case.build, case.wheel, case.build.arm
    taken = "" if wheel.hub_width_mm is not None else " (hubs taken as wide as their tread)"
    hubs = axle.wheels_apart_mm + wheel.width_mm - wheel.hub_mm
    if hubs < -EQUAL_MM and (wheel.abreast > 1):
        yield case.fault(
            "cannot be put together", "axle.wheels_apart_mm",
            f"hubs {mm(wheel.hub_mm)} wide overlap by {mm(-hubs)} mm, their treads {mm(axle.wheels_apart_mm)} apart",
            f"{mm(wheel.hub_mm - wheel.width_mm)} or more",
        )  # fmt: skip
        return
    weld, held = build.weld, build.axle_held_mm
    leg = leg_mm(weld.throat_mm) if weld is not None else 0.0
    given = weld is not None and weld.sleeve_length_mm is not None
    need = arm.width_mm + 2.0 * leg if arm is not None else None
    if given and need is not None and arm is not None and held is not None:
        if held < arm.width_mm - EQUAL_MM:
            yield case.fault(
                "cannot be put together", "weld.sleeve_length_mm",
                f"the axle sleeve, {mm(held)} long, does not reach through the {case.member.what}, "
                f"{mm(arm.width_mm)} wide",
                f"{mm(need)} or more, for its weld on both sides",
            )  # fmt: skip
            return
        if held < need - 0.2:
            yield case.fault(
                "would foul", "weld.sleeve_length_mm",
                f"the axle sleeve sticks {mm(0.5 * (held - arm.width_mm))} mm out of the {case.member.what}'s side, "
                f"its weld's leg is {mm(leg)}: the bead runs over its end",
                f"{mm(need)} or more, or a thinner weld (weld.throat_mm)",
            )  # fmt: skip
            return
    if axle.held == "between wheels" and held is not None:
        if wheel.abreast < 2:
            return
        gap, field = 0.5 * (hubs - held), "weld.sleeve_length_mm" if given else "axle.wheels_apart_mm"
        if weld is not None and not given and need is not None and hubs < need - EQUAL_MM:
            yield case.fault(
                "would foul", "axle.wheels_apart_mm",
                f"the {case.member.what}, {mm(held)} wide, with its sleeve's weld ({mm(leg)} a side) takes {mm(need)} "
                f"mm between hubs {mm(hubs)} apart{taken}",
                f"{mm(need + wheel.hub_mm - wheel.width_mm)} or more, and weld.sleeve_length_mm {mm(need)} or more",
            )  # fmt: skip
            return
        what = "axle sleeve" if weld is not None else case.member.what
        most = f"{mm(hubs)} or less" if given else f"{mm(held + wheel.hub_mm - wheel.width_mm)} or more"
        yield from _filled(case, axle, gap, field, f"the {what}, {mm(held)} long, between hubs {mm(hubs)} apart", most)
    elif axle.held == "one side" and arm is not None and held is not None:
        out = 0.5 * (held - arm.width_mm)
        gap = axle.side_gap_mm - out + 0.5 * (wheel.width_mm - wheel.hub_mm)
        if weld is not None and not given and axle.side_gap_mm < leg - EQUAL_MM:
            yield case.fault(
                "would foul", "axle.side_gap_mm",
                f"the sleeve's weld stands {mm(leg)} mm out of the {case.member.what}'s side, the hub is "
                f"{mm(axle.side_gap_mm)} from it{taken}",
                f"{mm(leg)} or more, and weld.sleeve_length_mm",
            )  # fmt: skip
            return
        where = f"the nearest hub, {mm(axle.side_gap_mm)} mm from the {case.member.what}'s side"
        least = f"{mm(out + 0.5 * (wheel.hub_mm - wheel.width_mm))} or more"
        yield from _filled(case, axle, gap, "axle.side_gap_mm", where, least)
    elif axle.held == "both sides":
        gap = axle.side_gap_mm + 0.5 * (wheel.width_mm - wheel.hub_mm)
        least = f"{mm(0.5 * (wheel.hub_mm - wheel.width_mm))} or more"
        yield from _filled(case, axle, gap, "axle.side_gap_mm", "the outer hub and its fork plate", least)


def _filled(case: Case, axle: AxleBolt, gap: float, field: str, where: str, mend: str) -> Iterator[Remark]:
    """A gap beside a hub: none below zero, and of a thickness that washers have."""
    if gap < -EQUAL_MM:
        yield case.fault("cannot be put together", field, f"{where}: {mm(-gap)} mm too little on each side", mend)
    elif gap > EQUAL_MM and case.wheel.hub_width_mm is not None and not washers_mm(axle.thread, gap):
        yield case.fault(
            "is not sold", field, f"{where}: {gap:.2f} mm on each side, which no washers and shims fill",
            f"a gap of {round(2.0 * gap) / 2.0:g}",
        )  # fmt: skip
