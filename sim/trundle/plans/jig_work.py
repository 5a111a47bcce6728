"""What is put into a jig: each arm or beam with its bores, sleeves, wheels; drill bushes by what is drilled."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from trundle.bogies.answers import Member
from trundle.bogies.build import ArmBuild
from trundle.making.part import Hole, Made
from trundle.plans.jig_error import BoreSize, Care, Reach, Sources, drilled, pinned, plates, running, tooth_room_mm
from trundle.spec.vehicle import Vehicle
from trundle.steel.bolts import thread
from trundle.units import MM

WHOLE_MM = 13.0
"""The widest hole that is drilled in one go; wider ones get a pilot hole and are opened up (a drill chuck's size)."""

PILOT_MM = 6.0
"""Of those; less where bushes would touch."""

BUSHES_MM = (
    (1.8, 5.0, 8.0), (2.6, 5.0, 8.0), (3.3, 6.0, 8.0), (4.0, 7.0, 8.0), (5.0, 8.0, 8.0), (6.0, 10.0, 10.0),
    (8.0, 12.0, 10.0), (10.0, 15.0, 12.0), (12.0, 18.0, 12.0), (15.0, 22.0, 16.0),
)  # fmt: skip
"""Press-fit drill bushes: bore up to, outside, length (ISO 4247, short; from memory)."""


@dataclass(frozen=True)
class Bush:
    """What guides the drill at one hole, mm. pilot: the hole is opened up to its own size afterwards."""

    hole: Hole
    bore_mm: float
    outside_mm: float
    length_mm: float
    pilot: bool


def bushes(part: Made) -> tuple[Bush, ...]:
    """One for each hole of a part, as wide as its neighbours let it be. Holes that lie so close that even the smallest
    bushes would touch have none."""
    found = [_bush(h, h.diameter_mm if h.diameter_mm <= WHOLE_MM else PILOT_MM) for h in part.holes]
    for least in (PILOT_MM, 3.0):
        found = [_bush(b.hole, min(b.bore_mm, least)) if _touches(b, found) else b for b in found]
    return tuple(b for b in found if not _touches(b, found))


def _bush(hole: Hole, bore: float) -> Bush:
    _, outside, length = next(b for b in BUSHES_MM if bore <= b[0])
    return Bush(hole, bore, outside, length, bore < hole.diameter_mm)


def _touches(bush: Bush, others: list[Bush], air: float = 2.0) -> bool:
    def apart(other: Bush) -> float:
        a, b = bush.hole, other.hole
        return math.hypot(a.along_mm - b.along_mm, a.up_mm - b.up_mm)

    return any(o.hole is not bush.hole and apart(o) < 0.5 * (bush.outside_mm + o.outside_mm) + air for o in others)


@dataclass(frozen=True)
class Work:
    """An arm or beam, one end of it. build: how it is made. pivot, axle: its holes; of a beam the axle's that is
    further off. wheel_mm: radius. beyond_mm: from its loaded end to the furthest axle, of an arm under a beam. room_mm:
    how far its wheels may be off to a side before a tyre touches the tooth; None: nothing says."""

    part: Made
    build: ArmBuild
    pivot: Hole
    axle: Hole
    wheel_mm: float
    beyond_mm: float
    room_mm: float | None

    @property
    def reach(self) -> Reach:
        """For the errors."""
        return Reach(abs(self.axle.along_mm - self.pivot.along_mm), self.wheel_mm, self.beyond_mm)

    def sleeve_mm(self, hole: Hole) -> float | None:
        """Length of the sleeve that is welded into a hole [mm]; None: its bolt runs in the part."""
        if hole.passes == "pivot sleeve" and self.build.pivot is not None:
            return self.build.pivot.sleeve_mm
        return self.build.axle_held_mm if hole.passes == "axle sleeve" else None

    def outside_mm(self, hole: Hole) -> float | None:
        """Of that sleeve [mm]."""
        if hole.passes == "pivot sleeve" and self.build.pivot is not None:
            return self.build.pivot.sleeve_outside_mm
        return self.build.weld.sleeve_mm if hole.passes == "axle sleeve" and self.build.weld is not None else None

    def bore(self, hole: Hole) -> BoreSize:
        """For the errors."""
        bush = next((b for b in bushes(self.part) if b.hole == hole), None) or _bush(hole, PILOT_MM)
        outside = self.outside_mm(hole)
        loose = max(hole.diameter_mm - outside, 0.0) if outside is not None else 0.0
        return BoreSize(self.part.width_mm, hole.walls, bush.length_mm, bush.pilot, self.sleeve_mm(hole), loose)

    @property
    def sleeved(self) -> tuple[Hole, ...]:
        """Holes with a sleeve welded in."""
        return tuple(h for h in self.part.holes if self.sleeve_mm(h) is not None)

    def by_holes(self, care: Care) -> Sources:
        """What the drilling jig's errors come to where sleeves follow their holes."""
        return self._whole(drilled(self.reach, self.bore(self.pivot), self.bore(self.axle), care), care)

    def by_pins(self, care: Care) -> Sources:
        """And where the assembly jig holds them."""
        return self._whole(pinned(self.reach, self.bore(self.pivot), self.bore(self.axle), care), care)

    def _whole(self, found: Sources, care: Care) -> Sources:
        pivot = self.build.pivot
        if pivot is None:
            return found
        if pivot.held == "both sides":
            plate = self.build.bracket.plate_mm if self.build.bracket is not None else 0.0
            found = plates(found, self.reach, pivot.sleeve_mm + 2.0 * pivot.gap_mm + plate, care.drill_play_mm)
        play = pivot.bore_mm - thread(pivot.thread).diameter_m / MM
        return running(found, self.reach, play, pivot.sleeve_mm) if play > 0.0 else found


def works(vehicle: Vehicle, parts: tuple[Made, ...]) -> Iterator[Work]:
    """Every arm and beam of the list whose holes for pivot and wheel are known."""
    for part in parts:
        if part.what not in ("arm", "beam"):
            continue
        bogie = vehicle.bogie[part.bogies[0]]
        members = bogie.members(part.bogies[0])
        member = next(m for m in members if f"{m.path}.build.arm" == part.path)
        if member.build is not None and len(part.holes) > 1:
            yield _work(vehicle, part, member, member.build, members)


def _work(vehicle: Vehicle, part: Made, member: Member, build: ArmBuild, members: tuple[Member, ...]) -> Work:
    named = list(zip(member.bores, part.holes, strict=True))
    pivot = next(h for b, h in named if b.bolt == "pivot")
    ends = [h for b, h in named if b.bolt == "axle"] or [h for _, h in named if h is not pivot]
    axle = max(ends, key=lambda h: abs(h.along_mm - pivot.along_mm))
    wheel = vehicle.wheel[vehicle.bogie[part.bogies[0]].wheel]
    carried = next((m for m in members if m.carries_axle and m is not member), None)
    beyond, with_axle = 0.0, build.axle
    if not member.carries_axle and carried is not None:
        beyond = carried.reach_mm
        with_axle = carried.build.axle if carried.build is not None else None
    room = None
    if with_axle is not None and with_axle.tooth_width_mm is not None and wheel.abreast > 1:
        room = tooth_room_mm(with_axle.wheels_apart_mm, with_axle.tooth_width_mm)
    return Work(part, build, pivot, axle, wheel.radius_mm, beyond, room)
