"""Axle, pivot and hull bolts with what they go through."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.bogies.answers import Member
from trundle.bogies.build import ArmBuild
from trundle.bogies.joints import AxleBolt
from trundle.making.bolted import Bolted, Layer, washer
from trundle.making.members import SIDE_COUNT, plates_of
from trundle.spec.vehicle import Vehicle
from trundle.spec.wheel import Wheel
from trundle.steel.bolts import thread
from trundle.steel.fasteners import FASTENERS, running_bore_mm
from trundle.units import MM

UNKNOWN_CLASS = "to suit"
"""Class of a bolt that nobody says."""


def bolts(vehicle: Vehicle) -> Iterator[Bolted]:
    """Every bolt of the bogies that the file says enough about, bogie by bogie."""
    for name, bogie in vehicle.bogie.items():
        wheel = vehicle.wheel[bogie.wheel]
        for member in bogie.members(name):
            build = member.build
            if build is None:
                continue
            if build.axle is not None and member.carries_axle:
                yield _axle(name, bogie.wheel, member, build, build.axle, wheel)
            if build.pivot is not None:
                yield _pivot(name, member, build)
            if build.bracket is not None and build.bracket.hull_thread is not None and member.pivots_mm:
                yield _hull(name, member, build)


def _axle(name: str, wheel_name: str, member: Member, build: ArmBuild, axle: AxleBolt, wheel: Wheel) -> Bolted:
    """Wheels, arm (or its sleeve), washers."""
    end, hub, held = washer(axle.thread), _hub(wheel), build.axle_held_mm
    left_out = []
    if wheel.hub_width_mm is None:
        left_out.append(f"wheel.{wheel_name}.hub_width_mm: hubs taken as wide as their tread, {wheel.width_mm:g}")
    path = f"{member.path}.build.axle"
    f = FASTENERS[axle.thread]
    between_hubs = axle.wheels_apart_mm + wheel.width_mm - wheel.hub_mm
    sleeve = _sleeve(build, held) if held is not None else None
    if sleeve is not None and (build.weld is None or build.weld.sleeve_length_mm is None) and axle.held != "both sides":
        field = f"{member.path}.build.weld.sleeve_length_mm"
        left_out.append(f"{field}: the bolt taken as held over the arm's width, {held:g}")
    if held is None and axle.held != "both sides":
        left_out.append(f"{member.path}.build.arm: the arm taken to leave no gap")
    spacer = [Layer("spacer", between_hubs, f.washer_out_mm, f.washer_in_mm)] if between_hubs > 0.0 else []
    if axle.held == "between wheels":
        middle = sleeve if sleeve is not None else Layer("arm", between_hubs)
        gap = 0.5 * (between_hubs - middle.thick_mm)
        side = Layer("washer", gap, f.washer_out_mm, f.washer_in_mm)
        per_side = wheel.abreast // 2
        rest = wheel.abreast - 2 * per_side
        first, last = [*[hub] * per_side], [*[hub] * (per_side + rest)]
        layers = [end, *_spaced(first, spacer), side, middle, side, *_spaced(last, spacer), end]
        low = end.thick_mm
    elif axle.held == "one side":
        # The washers lie between the sleeve (or the arm's side) and the nearest hub's face.
        across = build.arm.width_mm if build.arm is not None else 0.0
        out = 0.5 * ((held or 0.0) - across)
        gap = axle.side_gap_mm - out + 0.5 * (wheel.width_mm - wheel.hub_mm)
        side = Layer("washer", gap, f.washer_out_mm, f.washer_in_mm)
        hubs = _spaced([hub] * wheel.abreast, spacer)
        layers = [end, *([sleeve] if sleeve is not None else []), side, *hubs, end]
        low = end.thick_mm + (sleeve.thick_mm if sleeve is not None else 0.0)
    else:
        gap = axle.side_gap_mm + 0.5 * (wheel.width_mm - wheel.hub_mm)
        side = Layer("washer", gap, f.washer_out_mm, f.washer_in_mm)
        fork = Layer("fork plate", 0.0, None, None)
        left_out.append("the fork's plates are not in the file: add twice their thickness to the bolt")
        hubs = _spaced([hub] * wheel.abreast, spacer)
        layers = [end, fork, side, *hubs, side, fork, end]
        low = end.thick_mm
    # A thread's run-out in the outer hub's last turn does no harm.
    high = sum(layer.thick_mm for layer in layers) - end.thick_mm - thread(axle.thread).pitch_m / MM
    return Bolted(
        "axle bolt", (name,), path, member.axles * SIDE_COUNT, axle.thread, axle.grade, tuple(layers), (low, high),
        tuple(left_out), axle.length_mm, not axle.threads_in_bend,
    )  # fmt: skip


def _hub(wheel: Wheel) -> Layer:
    return Layer("hub", wheel.hub_mm, 2.0 * wheel.radius_mm, wheel.hub_bore_mm)


def _spaced(hubs: list[Layer], spacer: list[Layer]) -> list[Layer]:
    """Hubs beside each other with their spacers between."""
    found: list[Layer] = []
    for hub in hubs:
        found += [*(spacer if found else []), hub]
    return found


def _sleeve(build: ArmBuild, held_mm: float) -> Layer:
    """What holds the axle bolt: the welded sleeve, or the arm itself."""
    assert build.axle is not None
    if build.weld is None:
        return Layer("arm", held_mm, build.arm.height_mm if build.arm is not None else None, build.axle_hole_mm)
    return Layer("sleeve", held_mm, build.weld.sleeve_mm, running_bore_mm(build.axle.thread))


def _pivot(name: str, member: Member, build: ArmBuild) -> Bolted:
    """Plates, play, sleeve, washers under head and nut."""
    p = build.pivot
    assert p is not None
    end = washer(p.thread)
    left_out = []
    plate = Layer("plate", build.bracket.plate_mm if build.bracket is not None else 0.0, None, None)
    if build.bracket is None:
        left_out.append(f"{member.path}.build.bracket: its plates are left out of the grip")
    if p.sleeve_outside_mm is None:
        left_out.append(f"{member.path}.build.pivot.sleeve_outside_mm: the sleeve's outside is not known")
    play = [Layer("play", p.gap_mm)] if p.gap_mm > 0.0 else []
    sleeve = Layer("sleeve", p.sleeve_mm, p.sleeve_outside_mm, p.bore_mm)
    two = plates_of(build) == 2
    layers = [end, plate, *play, sleeve, *play, *([plate] if two else []), end]
    low = end.thick_mm
    grip = sum(layer.thick_mm for layer in layers)
    # Between two plates it is sheared at the far one's face; to its middle there is room for a thread's run-out.
    high = grip - end.thick_mm - (0.5 * plate.thick_mm if two else 0.0)
    return Bolted(
        "pivot bolt", (name,), f"{member.path}.build.pivot", member.pivots * SIDE_COUNT, p.thread, p.grade,
        tuple(layers), (low, high), tuple(left_out), p.length_mm, not p.threads_in_bend,
    )  # fmt: skip


def _hull(name: str, member: Member, build: ArmBuild) -> Bolted:
    """One bracket plate, and the hull's own plate, which the file does not have."""
    bracket = build.bracket
    assert bracket is not None
    assert bracket.hull_thread is not None
    end = washer(bracket.hull_thread)
    left_out = ["the hull's plate is not in the file: add its thickness to the bolt"]
    if bracket.hull_grade is None:
        left_out.append(f"{member.path}.build.bracket.hull_grade: its strength is taken as class 4.6")
    layers = (end, Layer("plate", bracket.plate_mm), end)
    return Bolted(
        "hull bolt", (name,), f"{member.path}.build.bracket", 2 * plates_of(build) * SIDE_COUNT, bracket.hull_thread,
        bracket.hull_grade or UNKNOWN_CLASS, layers, (end.thick_mm, end.thick_mm + bracket.plate_mm), tuple(left_out),
        plain=False,
    )  # fmt: skip
