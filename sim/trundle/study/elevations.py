"""Side elevations of several designs at one scale, one below the other, each standing on level ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trundle.errors import InputError
from trundle.papers.ground import level, stand_level
from trundle.papers.side_view import side_view
from trundle.papers.standing import standing_sheet
from trundle.study.designs import Design

WIDE_MM = 178.0
"""Width on paper of the longest of them: that of a page less its margins [mm]."""


@dataclass(frozen=True)
class Elevation:
    """sign, title: of its design; svg: "" where it does not stand, and why is in `note` then."""

    title: str
    note: str
    svg: str


def elevations(designs: Sequence[Design]) -> list[Elevation]:
    """One for each, in their order."""
    drawn, why = {}, {}
    for design in designs:
        ground = level()
        try:
            at = stand_level(design.vehicle, ground)
            drawn[design.sign] = side_view(at, standing_sheet(design.vehicle, ground=ground, at=at))
        except InputError as e:
            why[design.sign] = f"Does not stand: {e}"
    scale = WIDE_MM / max((d.width for d in drawn.values()), default=WIDE_MM)
    return [
        Elevation(
            f"{d.sign}: {d.vehicle.name} ({d.file})",
            why.get(d.sign) or (f"Against {designs[0].sign}: {d.differs}." if d.differs else "As its file has it."),
            drawn[d.sign].svg(scale) if d.sign in drawn else "",
        )
        for d in designs
    ]
