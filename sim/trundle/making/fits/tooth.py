"""The track between and under the wheels: guide tooth beside the tyres and under what is in the middle, its width."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trundle.making.fits.case import Case
from trundle.making.fits.common import EQUAL_MM, leg_mm
from trundle.making.fits.remark import Remark, mm
from trundle.making.members import bolt_mm
from trundle.steel.fasteners import FASTENERS

TOOTH_MM = 2.0
"""Least room beside and over the guide tooth (common practice, no source)."""


@dataclass(frozen=True)
class OverTooth:
    """The wheels of a station astride the guide tooth, mm. beside_mm: room on each side of the tooth, None where its
    width is not given. over_mm: from its tip to `what`, the lowest thing between the wheels."""

    wheels_apart_mm: float
    tooth_width_mm: float | None
    beside_mm: float | None
    over_mm: float
    what: str


def over_tooth(case: Case) -> OverTooth | None:
    """None without a tooth, a pair of wheels, or what they turn on."""
    track, axle = case.vehicle.track, case.build.axle
    if track is None or track.tooth_mm <= 0.0 or axle is None or not case.axle_faults or case.wheel.abreast != 2:
        return None
    width = axle.tooth_width_mm
    below, what = _lowest(case)
    return OverTooth(
        axle.wheels_apart_mm,
        width,
        None if width is None else 0.5 * (axle.wheels_apart_mm - width),
        case.wheel.radius_mm - track.tooth_mm - below,
        what,
    )


def _lowest(case: Case) -> tuple[float, str]:
    """How far the lowest thing between a pair of wheels lies below their axle, and what it is [mm]."""
    axle, arm, weld = case.build.axle, case.build.arm, case.build.weld
    assert axle is not None
    found = [(0.5 * bolt_mm(axle.thread), "axle bolt"), (0.5 * FASTENERS[axle.thread].washer_out_mm, "washers")]
    if weld is not None:
        found.append((0.5 * weld.sleeve_mm + leg_mm(weld.throat_mm), "axle sleeve's weld"))
    if arm is not None and axle.held == "between wheels":
        # The arm passes over the tooth; its end's lower corner comes lowest where it hangs.
        up, end = arm.holes_up_mm, arm.axle_to_end_mm
        angles = [a for s in case.swings for a in np.linspace(s.bump, s.droop, 9)] or [0.0]
        low = max(end * math.sin(abs(a)) + up * math.cos(a) for a in angles)
        found.append((low, case.member.what))
    return max(found)


def checks(case: Case) -> Iterator[Remark]:
    """The tooth's two rooms, then the wheels on the track."""
    tooth = over_tooth(case)
    track, axle, wheel = case.vehicle.track, case.build.axle, case.wheel
    if tooth is not None and track is not None:
        if tooth.beside_mm is not None and tooth.beside_mm < TOOTH_MM - EQUAL_MM:
            assert tooth.tooth_width_mm is not None
            need = tooth.tooth_width_mm + 2.0 * TOOTH_MM
            has = f"has {mm(tooth.beside_mm)} mm on each side" if tooth.beside_mm > 0.0 else "does not go between them"
            yield case.fault(
                "would foul", "axle.wheels_apart_mm",
                f"the guide tooth, {mm(tooth.tooth_width_mm)} wide, {has}, wheels {mm(tooth.wheels_apart_mm)} apart: "
                "it climbs the tyres",
                f"{mm(need)} or more",
            )  # fmt: skip
        if tooth.over_mm < TOOTH_MM - EQUAL_MM:
            wrong = (
                f"the guide tooth comes within {mm(tooth.over_mm)} mm of the {tooth.what}"
                if tooth.over_mm >= 0.0
                else f"the guide tooth runs {mm(-tooth.over_mm)} mm into the {tooth.what}"
            )
            most = max(track.tooth_mm + tooth.over_mm - TOOTH_MM, 0.0)
            yield case.fault("would foul", "track.tooth_mm", wrong, f"a tooth of {mm(most)} or less, or larger wheels")
    if track is None or axle is None or not case.axle_faults:
        return
    across = wheel.abreast * wheel.width_mm + (wheel.abreast - 1) * axle.wheels_apart_mm
    if across > track.width_mm + EQUAL_MM:
        yield case.fault(
            "would wear or give way", "track.width_mm",
            f"{wheel.abreast} wheels, {mm(across)} over all, stand on a track {mm(track.width_mm)} wide: they hang "
            f"over by {mm(0.5 * (across - track.width_mm))} mm a side",
            f"{mm(across)} or more, narrower wheels (wheel.{case.bogie.wheel}.width_mm), or wheels less far apart",
        )  # fmt: skip
