"""Arms, beams, their bracket plates and sleeves, as parts to make."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.bogies.answers import Bore, Member
from trundle.bogies.build import ArmBuild, Bracket
from trundle.bogies.parts import Parts, SwingPart
from trundle.bogies.profile import section_of, walls
from trundle.bogies.section import ArmSection
from trundle.making.part import EDGE_MM, PLACE_MM, Hole, Made, Place
from trundle.making.stock import Stock, stock_of
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.steel.coil import STEEL_DENSITY
from trundle.steel.fasteners import running_bore_mm
from trundle.units import MM, SIDES

PUNCH_MM = 2.0
"""A hole is a punch mark where no bolt is given."""

SIDE_COUNT = round(SIDES)


def bolt_mm(name: str) -> float:
    """Diameter of a thread [mm]."""
    return thread(name).diameter_m / MM


def members(vehicle: Vehicle, parts: Parts) -> Iterator[Made]:
    """Every arm, beam, bracket plate and sleeve that the file says enough about, bogie by bogie; marks still empty."""
    for name, bogie in vehicle.bogie.items():
        for member in bogie.members(name):
            build = member.build
            if build is None:
                continue
            own = [p for p in parts.swings if p.bogie == name and p.what == member.what]
            if build.arm is not None:
                yield _bar(name, member, build, build.arm, own)
            if build.bracket is not None:
                yield _bracket(name, member, build, build.bracket, own, parts)
            yield from _sleeves(name, member, build, own)


def plates_of(build: ArmBuild) -> int:
    """How many plates hold one pivot."""
    return 2 if build.pivot is None or build.pivot.held == "both sides" else 1


def _bore(bore: Bore, build: ArmBuild, arm: ArmSection, beam_on_it: bool) -> Hole:
    """One of an arm's holes, along from the first hole, up from the holes' line: put in place by the caller."""
    size, passes = bore.diameter_mm, bore.name
    if bore.bolt == "pivot":
        size = build.pivot_hole_mm
        sleeve = build.pivot is not None and build.pivot.sleeve_outside_mm is not None
        passes = "pivot sleeve" if sleeve else "pivot bolt"
    elif bore.bolt == "axle":
        size = build.axle_hole_mm
        passes = "beam's pivot" if beam_on_it else "axle sleeve" if build.weld is not None else "axle bolt"
    tolerance = PLACE_MM if bore.places_wheel else EDGE_MM
    return Hole(
        bore.name, bore.along_mm, bore.above_mm, PUNCH_MM if size is None else size, tolerance, passes, walls(arm)
    )


def _bar(name: str, member: Member, build: ArmBuild, arm: ArmSection, own: list[SwingPart]) -> Made:
    """An arm or beam with its holes. Of a beam both ends are axles' ends."""
    up = arm.holes_up_mm
    left = arm.pivot_from_end_mm if member.bores[0].bolt == "pivot" else arm.axle_to_end_mm
    found = [_bore(b, build, arm, not member.carries_axle) for b in member.bores]
    holes = tuple(
        Hole(h.name, left + h.along_mm, up + h.up_mm, h.diameter_mm, h.tolerance_mm, h.passes, h.walls) for h in found
    )
    length = left + member.bores[-1].along_mm + arm.axle_to_end_mm
    stock = stock_of(arm)
    section = section_of(arm)
    solid = section.mass_kg_per_m * length * MM
    mass, moment_x, moment_y = solid, solid * 0.5 * length, solid * section.y_m / MM
    # What a hole takes away, each of its walls taken as flat; of a solid round as wide as it is.
    wall = arm.thickness_mm if arm.thickness_mm is not None else arm.side_mm
    for h in holes:
        out = math.pi / 4.0 * min(h.diameter_mm, arm.height_mm) ** 2 * wall * h.walls * STEEL_DENSITY * MM**3
        mass, moment_x, moment_y = mass - out, moment_x - out * h.along_mm, moment_y - out * h.up_mm
    com = moment_x / mass, moment_y / mass
    pivot = next(h for b, h in zip(member.bores, holes, strict=True) if b.bolt == "pivot")
    notes = []
    if stock.form == "square tube":
        notes.append(f"{arm.width_mm:g} mm wide: each wall from its own side by the jig, else both at once, square")
    if arm.kind == "channel":
        notes.append(f"sawn from square tube to a channel {arm.height_mm:g} mm deep, legs up")
    return Made(
        "", member.what, (name,), f"{member.path}.build.arm", member.each_side * SIDE_COUNT, stock,
        length, arm.height_mm, arm.width_mm, mass, com, holes,
        places=tuple(Place(p.name, p.sign * (com[0] - pivot.along_mm), com[1] - pivot.up_mm) for p in own),
        notes=tuple(notes),
    )  # fmt: skip


def _bracket(name: str, member: Member, build: ArmBuild, plate: Bracket, own: list[SwingPart], parts: Parts) -> Made:
    """A plate of the bracket on the hull; of a beam on an arm one of those welded to the arm's end."""
    middle, count = 0.5 * plate.length_mm, plates_of(build)
    size = bolt_mm(build.pivot.thread) if build.pivot is not None else PUNCH_MM
    on_arm, pivots = not member.pivots_mm, member.pivots_mm or (0.0,)
    words = ("pivot, aft", "pivot, fore") if len(pivots) == 2 else ("pivot",)
    holes = [
        Hole(word, middle + x, plate.pivots_from_bottom_mm, size, PLACE_MM if i else EDGE_MM, "pivot bolt")
        for i, (word, x) in enumerate(zip(words, pivots, strict=True))
    ]
    if plate.hull_thread is not None and not on_arm:
        assert plate.hull_bolts_apart_mm is not None
        assert plate.hull_bolts_from_top_mm is not None
        y = plate.height_mm - plate.hull_bolts_from_top_mm
        for word, side in (("hull bolt, aft", -0.5), ("hull bolt, fore", 0.5)):
            x = middle + side * plate.hull_bolts_apart_mm
            holes.append(Hole(word, x, y, bolt_mm(plate.hull_thread) + 1.0, EDGE_MM, f"{plate.hull_thread} hull bolt"))
    stock = Stock("plate", (plate.plate_mm,), plate.steel)
    mass = stock.kg_per_m * plate.length_mm * plate.height_mm * MM**2
    x, y = mass * middle, mass * 0.5 * plate.height_mm
    for h in holes:
        out = stock.kg_per_m * math.pi / 4.0 * (h.diameter_mm * MM) ** 2
        mass, x, y = mass - out, x - out * h.along_mm, y - out * h.up_mm
    com = x / mass, y / mass
    return Made(
        "", "bracket plate", (name,), f"{member.path}.build.bracket", count * SIDE_COUNT, stock,
        plate.length_mm, plate.height_mm, plate.plate_mm, mass, com, tuple(holes),
        places=_on_bracket(build, own, com[0] - middle, com[1] - plate.pivots_from_bottom_mm, plate.plate_mm, parts),
        notes=("welded to the arm that carries the beam",) if on_arm else _SET if plate.hull_thread else (),
    )  # fmt: skip


_SET = ("hull bolts have 1 mm play to set the bogies in line",)


def _on_bracket(
    build: ArmBuild, own: list[SwingPart], x_mm: float, y_mm: float, plate_mm: float, parts: Parts
) -> tuple[Place, ...]:
    """The plates' places, from the middle of the pivots that they hold."""
    # A bracket carries all arms of its bogie that hang on the hull, or the one beam that hangs on its arm.
    parent = own[0].parent
    on = "hull" if parent == 0 else parts.swings[parent - 1].name
    x = sum(p.pivot_x for p in own) / len(own) / MM + x_mm
    y = sum(p.pivot_y for p in own) / len(own) / MM + y_mm
    side = 0.5 * (build.pivot.sleeve_mm + plate_mm) + build.pivot.gap_mm if build.pivot is not None else 0.0
    sides = (-side, side) if plates_of(build) == 2 else (-side,)
    return tuple(Place(on, x, y, s) for s in sides)


def _sleeves(name: str, member: Member, build: ArmBuild, own: list[SwingPart]) -> Iterator[Made]:
    steel = build.arm.steel if build.arm is not None else ""
    pivot, weld = build.pivot, build.weld
    if pivot is not None and pivot.sleeve_outside_mm is not None:
        yield _sleeve(
            "pivot sleeve", name, f"{member.path}.build.pivot", member.pivots, pivot.sleeve_outside_mm, pivot.bore_mm,
            pivot.sleeve_mm, steel, tuple(Place(p.name, 0.0, 0.0) for p in own),
        )  # fmt: skip
    if weld is not None and member.carries_axle and build.axle_held_mm is not None:
        bore = running_bore_mm(build.axle.thread) if build.axle is not None else 0.0
        yield _sleeve(
            "axle sleeve", name, f"{member.path}.build.weld", member.axles, weld.sleeve_mm, bore, build.axle_held_mm,
            steel, tuple(Place(p.name, w.x / MM, w.y / MM) for p in own for w in p.wheels),
        )  # fmt: skip


def _sleeve(
    what: str, name: str, path: str, each_side: int, outside: float, bore: float, long: float, steel: str,
    places: tuple[Place, ...],
) -> Made:  # fmt: skip
    wall = 0.5 * (outside - bore)
    stock = Stock("round tube", (outside, wall), steel) if bore > 0.0 else Stock("round bar", (outside,), steel)
    # A sleeve bored wider than it is cannot be made, which is told elsewhere: it weighs nothing, and not less.
    mass = max(stock.kg_per_m, 0.0) * long * MM
    return Made(
        "", "pivot sleeve" if what == "pivot sleeve" else "axle sleeve", (name,), path, each_side * SIDE_COUNT, stock,
        long, outside, outside, mass, (0.5 * long, 0.5 * outside), bore_mm=bore, places=places,
    )  # fmt: skip
