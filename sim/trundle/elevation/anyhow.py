"""The moving parts of a vehicle whose file is refused: what can be put together, for its drawing."""

from __future__ import annotations

import tomllib
from typing import Any

from trundle.bogies import Bogie
from trundle.bogies.base import Stops
from trundle.bogies.parts import Parts, SpringPart
from trundle.spec.vehicle import Vehicle
from trundle.springs.axle_rate import AxleRate

BROKEN = (ValueError, TypeError, ArithmeticError, AssertionError, LookupError)
"""What is raised where tables contradict each other that nobody was ever to see: an InputError, or none's fault."""


def parts_anyhow(vehicle: Vehicle) -> Parts:
    """The bogies one by one. Where a spring or stops cannot work, the arms have ones that can, and the spring is drawn
    all the same; a bogie that cannot be put together even so is left out."""
    parts = Parts()
    for name, bogie in vehicle.bogie.items():
        if not _added(parts, name, bogie):
            first = len(parts.swings)
            if _added(parts, name, _plain(bogie)):
                _put_on(parts, name, bogie, first)
    return parts


def _added(parts: Parts, name: str, bogie: Bogie) -> bool:
    """Whether it could be; if not, nothing of it is left behind."""
    swings, pairs, springs = len(parts.swings), len(parts.pairs), len(parts.springs)
    try:
        bogie.add_parts(name, parts)
    except BROKEN:
        del parts.swings[swings:], parts.pairs[pairs:], parts.springs[springs:]
        return False
    return True


def _plain(table: Any) -> Any:
    """A bogie or arm with a spring and stops that work on any arm."""
    changed: dict[str, Any] = {}
    if hasattr(table, "spring"):
        changed["spring"] = AxleRate.model_validate(tomllib.loads(AxleRate.EXAMPLE))
    if hasattr(table, "stops"):
        changed["stops"] = Stops(bump_below_level_deg=0.0, droop_below_level_deg=30.0)
    if getattr(table, "arm", None) is not None:
        changed["arm"] = _plain(table.arm)
    return table.model_copy(update=changed)


def _put_on(parts: Parts, name: str, bogie: Bogie, first: int) -> None:
    """The spring that the file has, for its looks, on arms that were put together without it."""
    try:
        sprung = bogie.sprung(name)
    except BROKEN:
        return
    parts.springs[:] = [s for s in parts.springs if s.bogie != name]
    if sprung is None:
        return
    arms = [j for j in range(first, len(parts.swings)) if parts.swings[j].what == "arm"]
    groups = [(j,) for j in arms] if sprung.spring.arms == 1 else [tuple(arms)]
    for group in groups:
        sign = parts.swings[group[0]].sign
        parts.springs.append(
            SpringPart(name, name, f"{sprung.path}.spring", sprung.spring, group, sprung.mount, sign, None)
        )
