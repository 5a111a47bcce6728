"""The build sheet as titled tables: cut list, holes, bolts, gaps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trundle.making.part import Made
from trundle.papers.bolt_list import bolt_list
from trundle.papers.cut_list import cut_list
from trundle.papers.leaf_parts import leaves
from trundle.papers.parts import Part, Table, merged, names, number
from trundle.papers.standing import StandingSheet
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.units import MM


def build_parts(vehicle: Vehicle, sheet: StandingSheet, found: Sequence[Made]) -> list[Part]:
    """Every part that has something to say."""
    parts = [
        cut_list(vehicle),
        holes(found),
        *leaves(vehicle, sheet),
        bolt_list(vehicle),
        gaps(vehicle),
        adjuster_travel(vehicle),
    ]
    return [p for p in parts if p is not None]


def holes(found: Sequence[Made]) -> Part | None:
    """Places from the datum corner."""
    if not found:
        return None
    rows, lines = [], []
    for p in found:
        who = f"{p.what}, {names(p.bogies)}"
        for h in p.holes:
            rows.append(
                (
                    who,
                    h.name,
                    number(h.along_mm, 1),
                    number(h.up_mm, 1),
                    number(h.diameter_mm, 1),
                    f"± {h.tolerance_mm:g}",
                )
            )
        lines += [f"{who}: {n}" for n in p.notes]
    lines.append(
        "That pieces of a kind are alike matters more than the exact place: clamp them together and drill "
        "through all at once (common practice)."
    )
    loud = tuple(
        f'{p.what} of {names(p.bogies)}: the hole "{h.name}" does not lie inside the piece'
        for p in found
        for h in p.outside
    )
    return Part(
        "Holes",
        "From the datum corner: left end (arms: the pivot's end) and lower edge (channel: back of the web). "
        "The tighter tolerance is between the holes that place a wheel.",
        (Table(("piece", "hole", "along, mm", "up, mm", "drill, mm", "mm"), tuple(rows)),),
        tuple(lines),
        loud,
    )


def gaps(vehicle: Vehicle) -> Part | None:
    """Wheel pairs over the guide tooth."""
    track = vehicle.track
    if track is None or track.tooth_mm <= 0.0:
        return None
    rows, lines, loud = [], [], []
    untold = []
    for name, bogie in vehicle.bogie.items():
        wheel = vehicle.wheel[bogie.wheel]
        axle = bogie.build.axle if bogie.build else None
        if wheel.abreast != 2:
            continue
        if axle is None:
            untold.append(name)
            continue
        width = axle.tooth_width_mm
        beside = 0.5 * (axle.wheels_apart_mm - width) if width is not None else math.nan
        arm = bogie.build.arm if bogie.build else None
        below, what = 0.5 * thread(axle.thread).diameter_m / MM, "axle"
        if arm is not None and axle.held == "between wheels":
            # The arm passes over the tooth, whichever way up its web is.
            below, what = max(arm.holes_up_mm, arm.height_mm - arm.holes_up_mm), "arm"
            if arm.width_mm > axle.wheels_apart_mm:
                loud.append(
                    f"{name}: the arm, {arm.width_mm:g} wide, does not go between wheels {axle.wheels_apart_mm:g} apart"
                )
        over = wheel.radius_mm - track.tooth_mm - below
        rows.append(
            (
                name,
                number(axle.wheels_apart_mm),
                number(width) if width is not None else "not given",
                number(beside, 1),
                f"{number(over, 1)} under the {what}",
            )
        )
        if width is not None and beside < 2.0:
            loud.append(f"{name}: the guide tooth has {beside:.1f} mm on each side: it will climb the tyres")
        if over < 2.0:
            loud.append(f"{name}: the guide tooth comes within {over:.1f} mm of the {what}")
    if untold:
        lines.append(f"{names(untold)}: wheel spacing not given ([bogie.NAME.build.axle])")
    if not rows and not lines:
        return None
    heads = ("bogie", "wheels apart, mm", "tooth wide, mm", "clear each side, mm", "tooth's tip clear, mm")
    tables = (Table(heads, merged(rows)),) if rows else ()
    return Part(
        "Wheels over the guide tooth",
        f"The tooth is {track.tooth_mm:g} mm high.",
        tables,
        tuple(lines),
        tuple(loud),
    )


def adjuster_travel(vehicle: Vehicle) -> Part | None:
    """How far the screw of each adjuster can still go."""
    rows = []
    for name, bogie in vehicle.bogie.items():
        sprung = bogie.sprung(name)
        moves = sprung.spring.adjuster() if sprung is not None else None
        if bogie.build is None or bogie.build.adjuster is None or moves is None or moves.screwed_mm is None:
            continue
        a, used = bogie.build.adjuster, moves.screwed_mm
        pitch = thread(a.thread).pitch_m / MM
        rows.append(
            (
                name,
                a.thread,
                number(pitch, 2),
                number(used, 1),
                number(a.travel_mm - used, 1),
                number((a.travel_mm - used) / pitch, 1),
            )
        )
    if not rows:
        return None
    heads = ("adjuster of", "thread", "mm a turn", "screwed down, mm", "left, mm", "left, turns")
    loud = tuple(f"adjuster of {r[0]} is set beyond its travel" for r in rows if float(r[4]) < 0.0)
    return Part("Adjuster travel", "", (Table(heads, merged(rows)),), loud=loud)
