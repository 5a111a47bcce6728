"""What a check looks at: the arms (or beam) of one bogie that are made alike, with all that is about them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.answers import Member
from trundle.bogies.base import Bogie
from trundle.bogies.build import ArmBuild
from trundle.bogies.parts import Parts, SpringPart, SwingPart
from trundle.making.bolted import Bolted
from trundle.making.bolts import bolts
from trundle.making.fits.remark import FaultKind, Remark
from trundle.making.members import members
from trundle.making.part import Made
from trundle.spec.moving import parts_of
from trundle.spec.vehicle import Vehicle
from trundle.spec.wheel import Wheel
from trundle.units import MM


@dataclass(frozen=True)
class Case:
    """bogie_name: as the file calls it. build: how they are made. swings: of one side. springs: that work on them.
    made, bolted: their parts, and their bolts with all that they go through."""

    vehicle: Vehicle
    bogie_name: str
    bogie: Bogie
    member: Member
    build: ArmBuild
    wheel: Wheel
    parts: Parts
    swings: tuple[SwingPart, ...]
    springs: tuple[SpringPart, ...]
    made: tuple[Made, ...]
    bolted: tuple[Bolted, ...]

    def fault(self, kind: FaultKind, field: str, wrong: str, mend: str) -> Remark:
        """field: below the member's build table; "spring.": below the member; a wheel's or the track's: whole."""
        if field.startswith(("wheel.", "track.", "hull.")):
            return Remark(kind, field, wrong, mend, (self.bogie_name,))
        beside = field.startswith(("spring.", "pivots_apart_mm", "wheels_apart_mm"))
        path = f"{self.member.path}.{field}" if beside else f"{self.member.path}.build.{field}"
        return Remark(kind, path, wrong, mend, (self.bogie_name,))

    @property
    def axle_faults(self) -> bool:
        """Whether wheels turn on it and the file says on what."""
        return self.build.axle is not None and self.member.carries_axle

    @property
    def in_line(self) -> bool:
        """Whether everything's place across the vehicle is known: arms that hang on the hull and carry wheels."""
        return self.member.carries_axle and bool(self.member.pivots_mm)

    def pivot_mm(self, swing: SwingPart) -> tuple[float, float]:
        """Of an arm on the hull, from the middle of its bracket's pivots."""
        x = sum(s.pivot_x for s in self.swings) / len(self.swings)
        return (swing.pivot_x - x) / MM, 0.0


def cases(vehicle: Vehicle) -> Iterator[Case]:
    """Of every bogie whose file says how it is made. Raises InputError where a spring or stop cannot work."""
    parts = parts_of(vehicle)
    all_made, all_bolts = tuple(members(vehicle, parts)), tuple(bolts(vehicle))
    for name, bogie in vehicle.bogie.items():
        for member in bogie.members(name):
            if member.build is None:
                continue
            swings = tuple(s for s in parts.swings if s.bogie == name and s.what == member.what)
            places = {parts.swings.index(s) for s in swings}
            yield Case(
                vehicle,
                name,
                bogie,
                member,
                member.build,
                vehicle.wheel[bogie.wheel],
                parts,
                swings,
                tuple(s for s in parts.springs if places & set(s.swings)),
                tuple(m for m in all_made if m.path.startswith(f"{member.path}.build.")),
                tuple(b for b in all_bolts if b.path.startswith(f"{member.path}.build.")),
            )
