"""Of the hull: its mass and size, where its belly, seat and centre of mass are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads
from trundle.spec.places import places

if TYPE_CHECKING:
    from trundle.spec.vehicle import Vehicle

WATER_KG_M3, IRON_KG_M3 = 1_000.0, 5_000.0
"""A hull that would sink is heavier than most: shipped ones have 400 to 710 kg for each m3 of their box. Where its
width is not known, only one as dense as a block of iron is doubted."""

RIDER_KG = 75.0
"""A rider who is not weighed."""

LIGHT_KG_M3 = 60.0
"""Lighter than this is packing foam."""

OFF = 0.22
"""Share of the wheelbase by which a centre of mass lies off its middle, and the vehicle still stands on all wheels."""

HIGH = 0.68
"""Share of the hull's height above which its centre of mass is rarely: shipped ones have 0.42 to 0.53."""

HEAVY_PARTS = 0.7
"""Mass of arms, wheels and tracks over that of the hull, above which one of them looks wrong: invented and shipped
vehicles have 0.1 to 0.55 (common practice, no source)."""


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Worst first."""
    yield from _mass(vehicle, loads)
    yield from _outline(vehicle)
    yield from _balance(vehicle)
    yield from _seat(vehicle)
    yield from _plate(vehicle)


def _mass(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    hull, parts = vehicle.hull, loads.parts
    field = "hull.mass_kg" if hull.all_up_kg is None else "hull.all_up_kg"
    wide = hull.belly_width_mm or 0.4 * hull.length_mm
    dense = hull.mass_kg / (hull.length_mm * hull.height_mm * wide * 1e-9)
    if not LIGHT_KG_M3 < dense < (WATER_KG_M3 if hull.belly_width_mm is not None else IRON_KG_M3):
        yield Problem(
            f"the hull of {hull.mass_kg:.4g} kg has {dense:.0f} kg for each m3 of its box (hull.length_mm, "
            "height_mm and "
            f"about {wide:.0f} mm of width), where 300 to 800 is usual: kg, and mm?",
            field,
        )
    if "at_seat" in hull.model_fields_set and hull.at_seat == "rider" and hull.mass_kg < RIDER_KG:
        yield Problem(
            f"the hull of {hull.mass_kg:.4g} kg is with its rider, who alone is taken as {RIDER_KG:g} kg", field
        )
    if parts.parts_kg > HEAVY_PARTS * hull.mass_kg:
        yield Problem(
            f"what the springs do not carry weighs {parts.parts_kg:.4g} kg ({parts}), the hull {hull.mass_kg:.4g}: "
            "arm_mass_kg is that of one arm, a wheel's mass_kg that of one wheel, track.mass_kg_per_m that "
            "of one metre "
            "of one track",
            field,
        )
    box = hull.mass_kg * (hull.length_mm**2 + hull.height_mm**2) * 1e-6 / 12.0
    if hull.pitch_inertia_kg_m2 is not None and not 0.2 * box < hull.pitch_inertia_kg_m2 < 4.0 * box:
        yield Problem(
            f"it is {hull.pitch_inertia_kg_m2:g}; an even box of this mass and size has {box:.3g}",
            "hull.pitch_inertia_kg_m2",
        )


def _outline(vehicle: Vehicle) -> Iterator[Problem]:
    hull = vehicle.hull
    xs, ys = zip(*hull.belly_mm, strict=True)
    long = max(xs) - min(xs)
    if not 0.6 < long / hull.length_mm < 1.5:
        yield Problem(
            f"the belly reaches over {long:g} mm (hull.belly_mm), the hull is {hull.length_mm:g} mm long",
            "hull.length_mm",
        )
    if not 0.08 < hull.height_mm / hull.length_mm < 1.2:
        yield Problem(
            f"the hull is {hull.length_mm:g} mm long (hull.length_mm) and {hull.height_mm:g} mm high", "hull.height_mm"
        )
    if abs(min(ys)) > 0.1 * hull.height_mm:
        yield Problem(
            f"its lowest point is {min(ys):g} mm up: heights are from the underside of the belly plate, which "
            "is 0, not "
            "from the ground",
            "hull.belly_mm",
        )


def _balance(vehicle: Vehicle) -> Iterator[Problem]:
    hull = vehicle.hull
    x, y = hull.com_mm
    if not (0.0 <= x <= hull.length_mm and 0.0 <= y <= hull.height_mm):
        yield Problem(
            f"[{x:g}, {y:g}] lies outside the hull of {hull.length_mm:g} by {hull.height_mm:g} mm", "hull.com_mm"
        )
    elif y > HIGH * hull.height_mm:
        yield Problem(
            f"it is {y:g} mm up in a hull {hull.height_mm:g} mm high (hull.height_mm): from the belly plate, "
            "not from the "
            "ground?",
            "hull.com_mm",
        )
    elif y < 0.1 * hull.height_mm:
        yield Problem(f"it is only {y:g} mm above the belly plate of a hull {hull.height_mm:g} mm high", "hull.com_mm")
    stands = places(vehicle)
    if len(stands) < 2:
        return
    first, last = stands[-1].x, stands[0].x
    middle = sum(p.x for p in stands) / len(stands)
    if not first < x < last:
        yield Problem(
            f"it is {x:g} mm forward of the tail, not between the first and the last road wheel ({first:.0f} and "
            f"{last:.0f} mm): it will tip",
            "hull.com_mm",
        )
    elif abs(x - middle) > OFF * (last - first):
        where = "ahead of" if x > middle else "behind"
        yield Problem(
            f"it is {x:g} mm forward of the tail, {abs(x - middle):.0f} mm {where} the middle of the road wheels (the "
            "bogies' at_mm): both are measured from the hull's rearmost edge",
            "hull.com_mm",
        )


def _seat(vehicle: Vehicle) -> Iterator[Problem]:
    hull = vehicle.hull
    x, y = hull.seat_mm
    if not 0.0 <= x <= hull.length_mm:
        yield Problem(f"it is {x:g} mm forward of the tail of a hull {hull.length_mm:g} mm long", "hull.seat_mm")
    if y > hull.height_mm or (hull.at_seat == "rider" and y < 0.15 * hull.height_mm):
        yield Problem(
            f"it is {y:g} mm above the belly plate of a hull {hull.height_mm:g} mm high (hull.height_mm)",
            "hull.seat_mm",
        )


def _plate(vehicle: Vehicle) -> Iterator[Problem]:
    hull = vehicle.hull
    for name in ("belly_span_mm", "belly_width_mm"):
        over = getattr(hull, name)
        if over is not None and over > hull.length_mm:
            yield Problem(f"it is {over:g}, more than the whole hull is long ({hull.length_mm:g} mm)", f"hull.{name}")
    spans = [s for s in (hull.belly_span_mm, hull.belly_width_mm) if s is not None]
    if hull.belly_sheet_mm is not None and spans and hull.belly_sheet_mm > 0.1 * min(spans):
        yield Problem(
            f"it is {hull.belly_sheet_mm:g}, more than a tenth of what it spans: is that a plate?",
            "hull.belly_sheet_mm",
        )
