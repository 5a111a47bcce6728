"""An arm's section from its table in the file: every kind of section named, none passed by."""

from __future__ import annotations

from typing import assert_never

from trundle.bogies.build import ArmSection
from trundle.steel.sections import Section, channel, cut_depth, flat, round_bar, square_tube
from trundle.units import MM


def depth_mm(arm: ArmSection) -> float:
    """Height of the section as it stands on the vehicle [mm]."""
    match arm.kind:
        case "channel":
            return arm.depth_mm if arm.depth_mm is not None else cut_depth(arm.side_mm * MM, arm.wall_m, arm.cut) / MM
        case "square tube" | "flat" | "round":
            return arm.side_mm
        case _:
            assert_never(arm.kind)


def width_mm(arm: ArmSection) -> float:
    """Width of the section across the vehicle [mm]."""
    match arm.kind:
        case "flat":
            return arm.wall_m / MM
        case "channel" | "square tube" | "round":
            return arm.side_mm
        case _:
            assert_never(arm.kind)


def from_back_mm(arm: ArmSection) -> float:
    """Back of the web, or lower edge, to the middle of the holes [mm]."""
    return arm.holes_from_back_mm if arm.holes_from_back_mm is not None else 0.5 * depth_mm(arm)


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
            return channel(side, arm.wall_m, depth_mm(arm) * MM)
        case _:
            assert_never(arm.kind)


def stock(arm: ArmSection) -> str:
    """What to ask the merchant for."""
    tube = f"square tube {arm.side_mm:g} x {arm.side_mm:g} x {arm.thickness_mm or 0:g}"
    match arm.kind:
        case "round":
            return f"round {arm.side_mm:g}" + (f" x {arm.thickness_mm:g} tube" if arm.thickness_mm else " bar")
        case "flat":
            return f"flat {arm.side_mm:g} x {arm.thickness_mm:g}"
        case "square tube":
            return tube
        case "channel":
            return f"{tube}, sawn to a channel {depth_mm(arm):g} deep"
        case _:
            assert_never(arm.kind)
