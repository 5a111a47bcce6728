"""The weld round the axle's sleeve against the walls that it joins."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.making.fits.case import Case
from trundle.making.fits.common import EQUAL_MM
from trundle.making.fits.remark import Remark, mm
from trundle.steel.fasteners import running_bore_mm

MOST_THROAT = 0.7
"""Largest throat of a fillet, of the thinner wall (handbooks of welding, from memory): more burns through it."""


def checks(case: Case) -> Iterator[Remark]:
    """Throat against the arm's wall and the sleeve's."""
    build = case.build
    weld, arm, axle = build.weld, build.arm, build.axle
    if weld is None or not case.member.carries_axle:
        return
    walls = []
    if arm is not None and arm.thickness_mm is not None:
        walls.append((arm.thickness_mm, f"{case.member.what}'s wall of {mm(arm.thickness_mm)}", "arm.thickness_mm"))
    if axle is not None and (own := 0.5 * (weld.sleeve_mm - running_bore_mm(axle.thread))) > 0.0:
        walls.append((own, f"sleeve's wall of {mm(own)}", "weld.sleeve_mm"))
    if not walls:
        return
    wall, words, field = min(walls)
    most = MOST_THROAT * wall
    if weld.throat_mm > most + EQUAL_MM:
        yield case.fault(
            "would wear or give way", "weld.throat_mm",
            f"a throat of {mm(weld.throat_mm)} burns through the {words}",
            f"{mm(most)} or less, or {mm(weld.throat_mm / MOST_THROAT)} of wall ({field})",
        )  # fmt: skip
