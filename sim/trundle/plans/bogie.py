"""Bogies put together: one drawing for each that differs, standing, at bump and at droop, and cut through its bolts."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.plans.assembled import tenth
from trundle.plans.bogie_section import sections
from trundle.plans.bogie_views import Bogie, lugs, side
from trundle.plans.composed import Composition, sheets
from trundle.plans.general_views import grouped
from trundle.plans.page import Page, room
from trundle.plans.stood import stood_of
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, table


def pages(subject: Subject) -> Iterator[Page]:
    """None of a vehicle that does not stand."""
    stood = stood_of(subject)
    if stood is None:
        return
    left, _, right, _ = room(subject.paper)
    wide = right - left
    for number, names in enumerate(stood.bogies, 1):
        bogie = Bogie(stood, names[0])
        now = side(bogie, stood.pose, "Standing", True)
        up, down = side(bogie, stood.bump, "Full bump", False), side(bogie, stood.droop, "Full droop", False)
        who = f"Bogie {', '.join(names)}" if len(stood.bogies) > 1 else "Bogie"
        choices = [
            Composition((((now,), (up, down)),), (who,)),
            Composition((((now,),), ((up, down),)), (f"{who}: standing", f"{who}: bump, droop")),
            Composition((((now,),), ((up,), (down,))), (f"{who}: standing", f"{who}: bump, droop")),
            Composition((((now,),), ((up,),), ((down,),)), (f"{who}: standing", f"{who}: bump", f"{who}: droop")),
        ]
        blocks = [
            _items(bogie, 0.4 * wide),
            _swing(bogie, 0.56 * wide),
            notes("Notes", _remarks(bogie, names), 0.45 * wide),
        ]
        yield from sheets(f"BG{number}", choices, blocks, subject.paper, largest=0.5, enough=0.2)
        cuts = sections(bogie)
        if cuts:
            one = Composition((tuple((cut,) for cut in cuts),), (f"{who}: bolts",))
            each = Composition(tuple(((cut,),) for cut in cuts), (f"{who}: bolts",) * len(cuts))
            yield from sheets(f"BG{number}-S", [one, each], [_stacks(bogie, 0.8 * wide)], subject.paper, 1.0, 0.5)


def _items(bogie: Bogie, most_mm: float) -> Laid:
    rows = [
        (mark, part.name if "-" not in mark else "leaves", f"{part.count // len(part.bogies) // 2}")
        for mark, part in grouped(bogie.stood.made)
        if bogie.name in part.bogies
    ]
    return table("Items of one bogie, one side", ("item", "what", "count"), rows, most_mm)


def _swing(bogie: Bogie, most_mm: float) -> Laid:
    """How each arm and beam leans and where its axles are, standing and at the stops."""
    stood = bogie.stood
    rows = []
    for part in bogie.swings:
        for title, pose in (("standing", stood.pose), ("full bump", stood.bump), ("full droop", stood.droop)):
            below = -part.sign * math.degrees(bogie.placed(pose)[part.name][2])
            lean = "level" if abs(below) < 0.05 else f"{abs(below):.1f}° {'below' if below > 0.0 else 'above'}"
            own = {w.name for w in part.wheels}
            high = ", ".join(tenth(y) for name, _, y, _ in bogie.axles(pose) if name in own) or "-"
            rows.append((part.name, title, lean, high))
    heads = ("arm", "position", "to the hull's level", "axle over the pivots' line")
    return table("Swing", heads, rows, most_mm)


def _remarks(bogie: Bogie, names: tuple[str, ...]) -> list[str]:
    stood = bogie.stood
    vehicle = stood.vehicle
    found = [
        f"One of {len(names)} alike ({', '.join(names)}) on each side. The near bracket plate is left off; heights are "
        "from the line of the pivots on the hull.",
    ]
    sprung = vehicle.bogie[bogie.name].sprung(bogie.name)
    if sprung is not None:
        shop = sprung.spring.bending(0.0)
        if shop is not None and shop.given_room_mm is not None:
            found.append(
                f"Free room beyond each end of the leaf: {tenth(shop.given_room_mm)}; pressed flat it moves out "
                f"{tenth(shop.flat_room_mm)}."
            )
        elif shop is not None:
            found.append(
                f"Pressed flat, each end of the leaf moves out {tenth(shop.flat_room_mm)}: leave it that room "
                f"({sprung.path}.spring.end_room_mm says how much there is)."
            )
        adjuster = sprung.spring.adjuster()
        if adjuster is not None:
            found.append(f"What sets its height is {sprung.path}.spring.{adjuster.field}; one step: {adjuster.words}.")
    for lug in lugs(bogie)[:1]:
        found.append(
            f"The leaf's ends bear {tenth(lug.to_mm)} above the line of pivot and axle, "
            f"{tenth(lug.to_mm - lug.from_mm)} above the bar, {tenth(abs(lug.at_mm))} from the pivot: on lugs that no "
            "field makes (dashed)."
        )
    for part in bogie.springs[:1]:
        turn = [stood.pose.arms_rad[j] for j in part.swings]
        try:
            torque = part.spring.at(tuple(turn), part.mount).torques_Nm[0]
        except ValueError:
            continue
        found.append(f"The spring turns its arm with {torque:.0f} N.m, standing.")
    return found


def _stacks(bogie: Bogie, most_mm: float) -> Laid:
    """Each bolt with what it goes through, from its head."""
    rows = []
    for bolt in bogie.stood.bolted:
        if bogie.name not in bolt.bogies:
            continue
        layers = ", ".join(f"{layer.what} {tenth(layer.thick_mm)}" for layer in bolt.layers if layer.thick_mm > 0.0)
        rows.append((bolt.what, f"{bolt.thread} x {tenth(bolt.length_mm)}", bolt.grade, tenth(bolt.grip_mm), layers))
    return table("Bolts, from under the head", ("bolt", "size", "class", "grip", "through"), rows, most_mm)
