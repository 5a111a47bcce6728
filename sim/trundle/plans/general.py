"""The general arrangement: the vehicle as it stands from the side, from above, from the front; what it is made of."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.making.part import Made
from trundle.making.sold import made_from
from trundle.plans.assembled import tenth
from trundle.plans.composed import Composition, sheets
from trundle.plans.general_views import elevation, front, grouped, plan
from trundle.plans.page import Page, room
from trundle.plans.stood import Stood, stood_of
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, table
from trundle.plans.words import kg

MARK = "GA"


def pages(subject: Subject) -> Iterator[Page]:
    """None of a vehicle that does not stand."""
    stood = stood_of(subject)
    if stood is None:
        return
    side, above, ahead = elevation(stood), plan(stood), front(stood)
    left, _, right, _ = room(subject.paper)
    wide = right - left
    blocks = [items(stood, 0.55 * wide), notes("Notes", remarks(stood), 0.42 * wide)]
    name = "General arrangement"
    one_view = Composition(
        (((side,),), ((above,),), *(() if ahead is None else (((ahead,),),))),
        (f"{name}: side", f"{name}: plan", *(() if ahead is None else (f"{name}: front",))),
    )
    choices = [one_view]
    if ahead is not None:
        choices.insert(0, Composition((((side,),), ((ahead,), (above,))), (f"{name}: side", f"{name}: front, plan")))
        choices.insert(0, Composition((((side,),), ((ahead, above),)), (f"{name}: side", f"{name}: front, plan")))
    choices.insert(
        0,
        Composition((((side,), (above,)),), (name,))
        if ahead is None
        else Composition((((ahead, side), (None, above)),), (name,)),
    )
    yield from sheets(MARK, choices, blocks, subject.paper, largest=0.5, enough=0.1)


def items(stood: Stood, most_mm: float) -> Laid:
    """What is made, by its number; then what is bought and put in."""
    rows = [
        (
            mark,
            part.name if part.what != "leaf" or "-" not in mark else "leaves",
            _count(stood, mark, part),
            made_from(part),
            kg(part.mass_kg),
        )
        for mark, part in grouped(stood.made)
    ]
    return table("Items", ("item", "what", "count", "stock", "mass of one"), rows, most_mm)


def _count(stood: Stood, mark: str, part: Made) -> str:
    if "-" not in mark:
        return str(part.count)
    leaves = [m for m in stood.made if m.path == part.path and m.bogies == part.bogies and m.what == "leaf"]
    return f"{len(leaves)} x {part.count}"


def remarks(stood: Stood) -> list[str]:
    """What there is to know of the drawing."""
    m, pose = stood.measures, stood.pose
    pitch = math.degrees(pose.pitch_rad)
    lies = "level" if abs(pitch) < 0.05 else f"{abs(pitch):.1f}° nose {'up' if pitch > 0 else 'down'}"
    found = [
        f"Standing on level ground, {stood.at.assembly.mass_kg:.0f} kg all up, {lies}. The hull is drawn level, the "
        "ground as it lies under it. Front is right.",
        "Running dimensions begin at the small circles: along at the tail datum (the hull's rearmost edge), up at the "
        "belly datum (underside of the belly plate). Axles are where they stand, not where they hang.",
        f"Overall {tenth(m.length_mm)} long, {tenth(m.highest[2])} high; clearance {tenth(m.clearance[2])} under the "
        f"hull; first to last axle {tenth(m.wheelbase_mm)}.",
        f"Approach {m.front.deg:.1f}° (meets {m.front.what}), departure {m.rear.deg:.1f}° (meets {m.rear.what}).",
    ]
    missing = left_out(stood)
    if missing:
        found.append(f"Left out: {'; '.join(missing)}.")
    return found


def left_out(stood: Stood) -> list[str]:
    """What the views lack, and which field would add it."""
    hull = stood.vehicle.hull
    found = []
    if hull.gauge_mm is None:
        found.append("the other side, the front view, overall width (hull.gauge_mm)")
    if hull.belly_width_mm is None:
        found.append("the hull's width (hull.belly_width_mm)")
    if stood.vehicle.track is not None:
        found.append("sprocket's, idler's and rollers' widths, which no field has (dashed: a guess)")
    return found
