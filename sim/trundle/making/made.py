"""The whole list: parts with their marks, alike ones as one; and what of the file leaves something out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trundle.making.bolted import Bolted
from trundle.making.bolts import bolts
from trundle.making.leaves import leaves
from trundle.making.members import members
from trundle.making.part import Made, What
from trundle.making.spacers import spacers
from trundle.making.straight import straight
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle

LETTERS: dict[What, str] = {
    "arm": "A",
    "beam": "B",
    "bracket plate": "P",
    "pivot sleeve": "S",
    "axle sleeve": "T",
    "spacer": "W",
    "leaf": "L",
    "torsion bar": "R",
}
"""First letter of a part's mark."""


def made(vehicle: Vehicle) -> tuple[Made, ...]:
    """All parts to make, arms first, springs last. Raises InputError where a spring or stop cannot work."""
    parts = parts_of(vehicle)
    found = _merged(
        [*members(vehicle, parts), *spacers(vehicle, parts), *leaves(vehicle, parts), *straight(vehicle, parts)]
    )
    numbers: dict[What, int] = {}
    marked = []
    for part in sorted(found, key=lambda p: list(LETTERS).index(p.what)):
        numbers[part.what] = numbers.get(part.what, 0) + 1
        marked.append(replace(part, mark=f"{LETTERS[part.what]}{numbers[part.what]}"))
    return tuple(marked)


def bolted(vehicle: Vehicle) -> tuple[Bolted, ...]:
    """All bolts of the bogies, alike ones as one."""
    found: dict[tuple[object, ...], Bolted] = {}
    for bolt in bolts(vehicle):
        found[bolt.alike] = found[bolt.alike].with_more(bolt) if bolt.alike in found else bolt
    return tuple(found.values())


def _merged(parts: Iterable[Made]) -> list[Made]:
    found: dict[tuple[object, ...], Made] = {}
    for part in parts:
        found[part.alike] = found[part.alike].with_more(part) if part.alike in found else part
    return list(found.values())


def left_out(vehicle: Vehicle) -> tuple[str, ...]:
    """What is not made for want of a table or field, and which one would add it, each in words."""
    found = []
    for name, bogie in vehicle.bogie.items():
        for member in bogie.members(name):
            build, at = member.build, f"{member.path}.build"
            if build is None:
                found.append(f"{member.name}: nothing says how its {member.what}s are made ([{at}])")
                continue
            tables = [
                ("arm", build.arm, f"the {member.what}"),
                ("pivot", build.pivot, "the pivot"),
                ("axle", build.axle if member.carries_axle else build, "the axle"),
                ("weld", build.weld if member.carries_axle else build, "the axle's sleeve"),
                ("bracket", build.bracket if member.pivots_mm else build, "the bracket"),
            ]
            found += [
                f"{member.name}: {what} is not given ([{at}.{table}])" for table, of, what in tables if of is None
            ]
            if build.pivot is not None and build.pivot.sleeve_outside_mm is None:
                found.append(f"{member.name}: the pivot sleeve's outside is not given ({at}.pivot.sleeve_outside_mm)")
            if build.weld is not None and member.carries_axle and build.axle_held_mm is None:
                found.append(f"{member.name}: the axle sleeve's length is not given ({at}.weld.sleeve_length_mm)")
    return tuple(found)
