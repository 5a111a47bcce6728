"""The build sheet as titled tables: cut list, holes, bolts, gaps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from trundle.bogies.answers import Member
from trundle.bogies.build import ArmBuild
from trundle.making.made import made
from trundle.making.part import Made
from trundle.model.arrays import SIDES
from trundle.papers.leaf_parts import leaves
from trundle.papers.parts import Part, Table, merged, names, number
from trundle.papers.standing import StandingSheet
from trundle.spec.vehicle import Vehicle
from trundle.spec.wheel import Wheel
from trundle.steel.bolts import thread
from trundle.strength.bolts import wheels_width_mm
from trundle.units import MM

SIDE_COUNT = round(SIDES)


def build_parts(vehicle: Vehicle, sheet: StandingSheet, found: Sequence[Made]) -> list[Part]:
    """Every part that has something to say."""
    parts = [
        cut_list(vehicle, found),
        holes(found),
        *leaves(vehicle, sheet),
        bolts(vehicle),
        gaps(vehicle),
        adjuster_travel(vehicle),
    ]
    return [p for p in parts if p is not None]


def cut_list(vehicle: Vehicle, found: Sequence[Made]) -> Part:
    """Stock, section, length, count."""
    rows: list[tuple[str, ...]] = [
        (
            f"{p.what}, {names(p.bogies)}",
            str(p.count),
            p.stock.words,
            p.stock.steel,
            f"{number(p.length_mm, 1)}" + (f" x {number(p.height_mm, 1)}" if p.what == "bracket plate" else ""),
        )
        for p in made(vehicle)
        if p.what != "leaf"  # as its spring says it, below
    ]
    for name, bogie in vehicle.bogie.items():
        if (sprung := bogie.sprung(name)) is not None:
            rows += [
                (f"{r.what}, {name}", str(SIDE_COUNT * sprung.count * r.count), r.stock, r.steel, r.length)
                for r in sprung.spring.stock()
            ]
    rows = _counted(rows)
    untold = [n for n, b in vehicle.bogie.items() if b.build is None or b.build.arm is None]
    lines = (f"arms of {names(untold)}: section not given ([bogie.NAME.build.arm])",) if untold else ()
    return Part(
        "Cut list",
        "For the whole vehicle, both sides. Lengths in mm.",
        (Table(("piece", "count", "stock", "steel", "length, mm"), tuple(rows)),) if rows else (),
        lines,
    )


def _counted(rows: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Rows of equal stock and length put together, counts added."""
    groups: dict[tuple[str, ...], tuple[list[str], int]] = {}
    for piece, count, *rest in rows:
        kind, _, who = piece.partition(", ")
        listed, total = groups.setdefault((kind, *rest), ([], 0))
        groups[(kind, *rest)] = ([*listed, who], total + int(count))
    return [(f"{k[0]}: {names(who)}", str(total), *k[1:]) for k, (who, total) in groups.items()]


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


def bolts(vehicle: Vehicle) -> Part | None:
    """Sizes, grips, lengths to buy."""
    rows: list[tuple[str, ...]] = []
    for bogie_name, bogie in vehicle.bogie.items():
        for member in bogie.members(bogie_name):
            rows += _member_bolts(member, vehicle.wheel[bogie.wheel])
    if not rows:
        return None
    heads = ("bogie", "bolt", "count", "thread", "class", "grip, mm", "buy at least, mm", "in the grip")
    return Part(
        "Bolts",
        "Grip: from under the head to the nut; the plain shank must reach through it. Hubs are taken as wide "
        "as their tyre. Bought length: grip, washer, self-locking nut and two threads, to the next 5 mm.",
        (Table(heads, _summed(rows)),),
    )


def _member_bolts(member: Member, wheel: Wheel) -> Iterator[tuple[str, ...]]:
    build, name = member.build, member.name
    if build is None:
        return
    if build.axle is not None and member.carries_axle:
        grip, words = _axle_grip(build, wheel)
        yield _bolt(name, "axle", member.axles, build.axle.thread, build.axle.grade, grip, words)
    if build.pivot is not None:
        p, plate = build.pivot, build.bracket.plate_mm if build.bracket else 0.0
        sides = 2 if p.held == "both sides" else 1
        grip = p.sleeve_mm + sides * (p.gap_mm + plate)
        words = f"sleeve {p.sleeve_mm:g}, {sides} x plate {plate:g} and washer {p.gap_mm:g}"
        yield _bolt(name, "pivot", member.pivots, p.thread, p.grade, grip, words)
    if build.bracket is not None and build.bracket.hull_thread is not None:
        plates = 2 if build.pivot is None or build.pivot.held == "both sides" else 1
        count = str(2 * plates * SIDE_COUNT)
        grade = build.bracket.hull_grade or "to suit"
        yield name, "bracket to hull", count, build.bracket.hull_thread, grade, "", "", ""


def _summed(rows: list[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Equal bolts of several bogies with their count added."""
    groups: dict[tuple[str, ...], tuple[list[str], int]] = {}
    for who, what, count, *rest in rows:
        listed, total = groups.get((what, *rest), ([], 0))
        groups[(what, *rest)] = ([*listed, who], total + int(count))
    return tuple((names(who), k[0], str(n), *k[1:]) for k, (who, n) in groups.items())


def _bolt(name: str, what: str, each_side: int, size: str, grade: str, grip: float, words: str) -> tuple[str, ...]:
    t = thread(size)
    # Self-locking nut about 1.1 d, washer 0.2 d, two threads through (ISO 7040, ISO 7089, from memory).
    need = grip + 1.3 * t.diameter_m / MM + 2.0 * t.pitch_m / MM
    return (
        name,
        what,
        str(each_side * SIDE_COUNT),
        size,
        grade,
        number(grip, 1),
        number(5.0 * math.ceil(need / 5.0 - 1e-9)),
        words,
    )


def _axle_grip(build: ArmBuild, wheel: Wheel) -> tuple[float, str]:
    axle = build.axle
    assert axle is not None
    across = wheels_width_mm(axle, wheel)
    tyres = f"{wheel.abreast} x wheel {wheel.width_mm:g}"
    if axle.held == "between wheels":
        return across, f"{tyres}, {axle.wheels_apart_mm:g} between them for arm and washers"
    if axle.held == "one side":
        arm = build.arm.width_mm if build.arm else 0.0
        words = f"{tyres}, arm {arm:g}" if build.arm else f"{tyres}, and the arm (not given)"
        return across + axle.side_gap_mm + arm, f"{words}, washer {axle.side_gap_mm:g}"
    return (
        across + 2.0 * axle.side_gap_mm,
        f"{tyres}, 2 washers {axle.side_gap_mm:g}, and the fork's two plates",
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
