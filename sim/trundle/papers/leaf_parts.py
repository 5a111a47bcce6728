"""The sheet's part on leaves: former, template, room at the ends, for every spring that is bent to shape."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.papers.parts import Part, Table, names, number
from trundle.papers.press_parts import short_table, to_press
from trundle.papers.standing import StandingSheet
from trundle.spec.vehicle import Vehicle
from trundle.springs import Spring
from trundle.springs.answers import Bending, LeafShape
from trundle.steel.rebend import HEAT_CAUTION
from trundle.units import MM, MPA

PRESSING = (
    "In a press, over that former, leaf by leaf: from the steel's least yield to what a piece of it may well have. "
    "Whether yours does, and where to press: trundle leaf bend VEHICLE --press-t TONNES."
)


def leaves(vehicle: Vehicle, sheet: StandingSheet) -> Iterator[Part]:
    """Former, template and end room of every spring that is bent to shape; alike ones once."""
    same: dict[Spring, list[str]] = {}
    for name, bogie in vehicle.bogie.items():
        if (sprung := bogie.sprung(name)) is not None:
            same.setdefault(sprung.spring, []).append(name)
    for spring, who in same.items():
        state = next(s for s in sheet.springs if s.bogie == who[0]).state("bump")
        shop = spring.bending(max(state.deflection, 0.0) * MM)
        if shop is not None:
            yield _bending(shop, who)


def _bending(shop: Bending, who: list[str]) -> Part:
    rows: list[tuple[str, ...]] = []
    loud = []
    heads: tuple[str, ...] = (
        "leaf",
        "cut to, mm",
        "wanted radius, mm",
        "former's face, mm",
        "skin stretched",
        "clamped flat, MPa",
    )
    for c in shop.leaves:
        former = f"{number(c.former_mm)}" if c.former_mm is not None and math.isfinite(c.former_mm) else "–"
        pressed = "–" if c.pressed_Pa is None else number(c.pressed_Pa / MPA)
        strain = f"{number(100.0 * c.strain, 1)} %"
        rows.append((c.name, number(c.length_mm), number(c.radius_mm), former, strain, pressed))
        if c.tight:
            loud.append(f"{c.name}: cold bending this tight risks a crack in {shop.steel}")
    bump = (
        f"{number(shop.bump_room_mm, 1)} mm at full bump"
        if shop.bump_room_mm is not None
        else "at full bump it is bent past any shape beam theory knows"
    )
    given = "" if shop.given_room_mm is None else f"; the file gives {shop.given_room_mm:g} mm"
    lines = [
        f"End gap: each end moves out {number(shop.flat_room_mm, 1)} mm when the leaf is pressed flat, {bump}{given}.",
        *(_shape_line(s) for s in shop.shapes),
        HEAT_CAUTION,
    ]
    if all(c.pressed_Pa is None for c in shop.leaves):
        heads, rows = heads[:-1], [row[:-1] for row in rows]
    xs, ys = shop.ordinates_mm.T
    along = ("mm from the middle", *(number(x, 1) for x in xs))
    return Part(
        f"{shop.what}: {names(who)}",
        f"{shop.stock} {shop.steel}, bent cold from flat: round a former of the radius given it springs back to the "
        "wanted one (hardening left out: bend an off-cut first).",
        (
            Table(heads, tuple(rows)),
            Table(along, (("mm over the chord", *(number(y, 1) for y in ys)),)),
            short_table(to_press(shop)),
        ),
        (*lines, PRESSING),
        tuple(loud),
    )


def _shape_line(shape: LeafShape) -> str:
    flat = f", the middle {number(shape.flat_mm)} mm flat" if shape.flat_mm > 0.0 else ""
    return f"Main leaf {shape.where}: chord {number(shape.chord_mm, 1)} mm, rise {number(shape.rise_mm, 1)} mm{flat}."
