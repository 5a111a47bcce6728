"""The build sheet as titled tables: cut list, holes, bolts, gaps."""

from __future__ import annotations

from collections.abc import Sequence

from trundle.making.part import Made
from trundle.papers.bolt_list import bolt_list
from trundle.papers.cut_list import cut_list
from trundle.papers.fit_parts import gaps
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
    return Part(
        "Holes",
        "From the datum corner: left end (arms: the pivot's end) and lower edge (channel: back of the web). "
        "The tighter tolerance is between the holes that place a wheel.",
        (Table(("piece", "hole", "along, mm", "up, mm", "drill, mm", "mm"), tuple(rows)),),
        tuple(lines),
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
    return Part("Adjuster travel", "", (Table(heads, merged(rows)),))
