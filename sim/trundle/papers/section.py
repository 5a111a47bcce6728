"""An arm's section from its table in the file."""

from __future__ import annotations

from trundle.bogies.build import ArmSection
from trundle.steel.sections import Section, channel, cut_depth, flat, round_bar, square_tube
from trundle.units import MM


def depth_mm(arm: ArmSection) -> float:
    """Height of the section as it stands on the vehicle [mm]."""
    if arm.kind == "channel":
        assert arm.thickness_mm is not None
        if arm.depth_mm is not None:
            return arm.depth_mm
        return cut_depth(arm.side_mm * MM, arm.thickness_mm * MM, arm.cut) / MM
    return arm.side_mm


def width_mm(arm: ArmSection) -> float:
    """Width of the section across the vehicle [mm]."""
    if arm.kind == "flat":
        assert arm.thickness_mm is not None
        return arm.thickness_mm
    return arm.side_mm


def from_back_mm(arm: ArmSection) -> float:
    """Back of the web, or lower edge, to the middle of the holes [mm]."""
    return arm.holes_from_back_mm if arm.holes_from_back_mm is not None else 0.5 * depth_mm(arm)


def section_of(arm: ArmSection) -> Section:
    """Its properties; a vertical load bends it about x. Raises InputError if the section cannot exist."""
    side = arm.side_mm * MM
    if arm.kind == "round":
        wall = arm.thickness_mm
        return round_bar(side, 0.0 if wall is None else max(side - 2.0 * wall * MM, 0.0))
    assert arm.thickness_mm is not None
    thick = arm.thickness_mm * MM
    if arm.kind == "flat":
        return flat(thick, side)
    if arm.kind == "square tube":
        return square_tube(side, thick)
    return channel(side, thick, depth_mm(arm) * MM)


def stock(arm: ArmSection) -> str:
    """What to ask the merchant for."""
    if arm.kind == "round":
        return f"round {arm.side_mm:g}" + (f" x {arm.thickness_mm:g} tube" if arm.thickness_mm else " bar")
    if arm.kind == "flat":
        return f"flat {arm.side_mm:g} x {arm.thickness_mm:g}"
    tube = f"square tube {arm.side_mm:g} x {arm.side_mm:g} x {arm.thickness_mm:g}"
    return tube if arm.kind == "square tube" else f"{tube}, sawn to a channel {depth_mm(arm):g} deep"
