"""Every arm, beam and bracket plate as a drawn piece: outline, holes from a datum corner, how many."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.answers import Bore, Member
from trundle.bogies.build import ArmBuild, Bracket
from trundle.bogies.section import ArmSection
from trundle.model.arrays import SIDES
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.strength.section import stock, walls
from trundle.units import MM

PLACE_MM = 0.25
"""Tolerance of a hole that places a wheel, from its fellow hole (common practice, no source)."""

EDGE_MM = 0.5
"""Tolerance of every other place (common practice, no source)."""


@dataclass(frozen=True)
class Hole:
    """along, up: its middle from the datum corner (left end, lower edge) [mm]; tolerance: plus or minus."""

    name: str
    along_mm: float
    up_mm: float
    diameter_mm: float
    tolerance_mm: float


@dataclass(frozen=True)
class Piece:
    """A piece to cut, seen from the side. kind: "arm", "beam" or "bracket plate". count: for the vehicle."""

    name: str
    kind: str
    bogies: tuple[str, ...]
    count: int
    stock: str
    steel: str
    length_mm: float
    height_mm: float
    holes: tuple[Hole, ...]
    notes: tuple[str, ...] = ()

    @property
    def outside(self) -> tuple[Hole, ...]:
        """Holes whose rim does not lie wholly inside the piece."""

        def out(h: Hole) -> bool:
            r = 0.5 * h.diameter_mm
            return not (r < h.along_mm < self.length_mm - r and r < h.up_mm < self.height_mm - r)

        return tuple(h for h in self.holes if out(h))


def pieces(vehicle: Vehicle) -> list[Piece]:
    """All pieces that the file says enough about; alike ones of several bogies are one, with their count."""
    found: dict[tuple[object, ...], Piece] = {}
    for piece in _each(vehicle):
        key = (piece.kind, piece.stock, piece.steel, piece.length_mm, piece.height_mm, piece.holes)
        if key in found:
            old = found[key]
            bogies = (*old.bogies, *piece.bogies)
            found[key] = Piece(**{**vars(old), "bogies": bogies, "count": old.count + piece.count})
        else:
            found[key] = piece
    return list(found.values())


def _each(vehicle: Vehicle) -> Iterator[Piece]:
    for name, bogie in vehicle.bogie.items():
        for member in bogie.members(name):
            build = member.build
            if build is not None and build.arm is not None:
                yield _bar(name, member, build, build.arm)
            if build is not None and build.bracket is not None and member.pivots_mm:
                plates = 2 if build.pivot is None or build.pivot.held == "both sides" else 1
                yield _bracket(name, build, build.bracket, plates * round(SIDES), member.pivots_mm)


def bolt_mm(name: str) -> float:
    """Diameter of a thread [mm]."""
    return thread(name).diameter_m / MM


def _hole_mm(given: float | None, bolt: str | None) -> float:
    if given is not None:
        return given
    return bolt_mm(bolt) if bolt is not None else 2.0  # A punch mark where no bolt is given.


def _bore_mm(bore: Bore, build: ArmBuild, arm: ArmSection) -> float:
    if bore.bolt == "pivot":
        return _hole_mm(arm.pivot_hole_mm, build.pivot.thread if build.pivot else None)
    if bore.bolt == "axle":
        return _hole_mm(arm.axle_hole_mm, build.axle.thread if build.axle else None)
    return _hole_mm(bore.diameter_mm, None)


def _bar(name: str, member: Member, build: ArmBuild, arm: ArmSection) -> Piece:
    """An arm or beam with its holes. Of a beam both ends are axles' ends."""
    up = arm.holes_up_mm
    left = arm.pivot_from_end_mm if member.bores[0].bolt == "pivot" else arm.axle_to_end_mm
    holes = tuple(
        Hole(
            b.name,
            left + b.along_mm,
            up + b.above_mm,
            _bore_mm(b, build, arm),
            PLACE_MM if b.places_wheel else EDGE_MM,
        )
        for b in member.bores
    )
    return Piece(
        member.what,
        member.what,
        (name,),
        member.each_side * round(SIDES),
        stock(arm),
        arm.steel,
        left + member.bores[-1].along_mm + arm.axle_to_end_mm,
        arm.height_mm,
        holes,
        (f"{arm.width_mm:g} mm wide: drill both walls in one go, square to the side",) if walls(arm) == 2 else (),
    )


def _bracket(name: str, build: ArmBuild, plate: Bracket, count: int, pivots: tuple[float, ...]) -> Piece:
    middle = 0.5 * plate.length_mm
    size = _hole_mm(None, build.pivot.thread if build.pivot else None)
    words = ("pivot, aft", "pivot, fore") if len(pivots) == 2 else ("pivot",)
    holes = [
        Hole(word, middle + x, plate.pivots_from_bottom_mm, size, PLACE_MM if i else EDGE_MM)
        for i, (word, x) in enumerate(zip(words, pivots, strict=True))
    ]
    if plate.hull_thread is not None:
        assert plate.hull_bolts_apart_mm is not None
        assert plate.hull_bolts_from_top_mm is not None
        y = plate.height_mm - plate.hull_bolts_from_top_mm
        for word, side in (("hull bolt, aft", -0.5), ("hull bolt, fore", 0.5)):
            holes.append(
                Hole(
                    word,
                    middle + side * plate.hull_bolts_apart_mm,
                    y,
                    bolt_mm(plate.hull_thread) + 1.0,
                    EDGE_MM,
                )
            )
    return Piece(
        "bracket plate",
        "bracket plate",
        (name,),
        count,
        f"plate {plate.plate_mm:g}",
        plate.steel,
        plate.length_mm,
        plate.height_mm,
        tuple(holes),
        ("hull bolts have 1 mm play to set the bogies in line",) if plate.hull_thread else (),
    )
