"""An arm's section from its table in the file: every kind of section named, none passed by."""

from __future__ import annotations

from typing import assert_never

from trundle.bogies.section import ArmSection
from trundle.steel.sections import Section, channel, flat, round_bar, square_tube
from trundle.units import MM


def walls(arm: ArmSection) -> int:
    """How many walls a bolt through its side goes through."""
    match arm.kind:
        case "channel" | "square tube":
            return 2
        case "flat" | "round":
            return 1
        case _:
            assert_never(arm.kind)


def section_of(arm: ArmSection) -> Section:
    """Its properties; a vertical load bends it about x. Raises InputError if the section cannot exist."""
    side = arm.side_mm * MM
    match arm.kind:
        case "round":
            return round_bar(side, 0.0 if arm.thickness_mm is None else max(side - 2.0 * arm.wall_m, 0.0))
        case "flat":
            return flat(arm.wall_m, side)
        case "square tube":
            return square_tube(side, arm.wall_m)
        case "channel":
            return channel(side, arm.wall_m, arm.height_mm * MM)
        case _:
            assert_never(arm.kind)
