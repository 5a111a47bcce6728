"""Strength as the sheet has it: every part that is made, alike ones once, at the load of a run or a stated one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trundle.model.assembly import Assembly
from trundle.papers.loads import WorstLoads
from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_at


def strength(assembly: Assembly, loads: WorstLoads) -> list[PartMargin]:
    """Every part but springs that the file gives the sizes for, of parts made alike the one with least left.

    Raises InputError where a stated size cannot exist.
    """
    if loads.margins is not None:
        return worst_of_alike(assembly, (m for m in loads.margins if m.kind != "spring"))
    return worst_of_alike(assembly, margins_at(assembly, loads.standing_N, loads.worst_N))


def worst_of_alike(assembly: Assembly, margins: Iterable[PartMargin]) -> list[PartMargin]:
    """One of each kind of part of bogies that are made alike."""
    least: dict[object, PartMargin] = {}
    for m in margins:
        name = m.name.partition(".")[0]
        bogie = assembly.vehicle.bogie[name]
        members = bogie.members(name)
        made = tuple((one.what, one.build, one.reach_mm, one.carries) for one in members), bogie.wheel
        springs = tuple(one.sprung.spring for one in members if one.sprung is not None)
        key = m.kind, m.title, made, springs
        before = least.get(key, m)
        one = m if m.margin < before.margin else before
        stones = [a.on_stone for a in (m, before) if a.on_stone is not None]
        least[key] = replace(one, on_stone=min(stones, key=lambda s: s.margin, default=None))
    return list(least.values())
