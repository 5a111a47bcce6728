"""One arm, leading or trailing."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from trundle.bogies.answers import Member, Sprung, Station
from trundle.bogies.arm_drawing import axle_wheels
from trundle.bogies.arms import along_mm, arm_bores, arm_part, arm_standing, arm_view, around_arm, fit_springs, sprung
from trundle.bogies.base import ArmParts, Bogie
from trundle.bogies.parts import Parts, WheelPart
from trundle.fields.base import PointMm
from trundle.fields.sketch import Around, Note, Sketch
from trundle.fields.sketch_parts import placed
from trundle.fields.step import Move
from trundle.springs import ArmSpringKind
from trundle.units import MM


class SingleArm(ArmParts, Bogie):
    """One arm on one pivot, leading or trailing, with its own spring and one wheel station.

    Also called: trailing arm (points = "back"), leading arm (points = "forward"), swing arm, torsion arm, road arm,
    independent suspension.
    """

    EXAMPLE: ClassVar[str] = """kind = "single arm"
points = "back"
at_mm = [320, 20]
arm_mm = 200
arm_mass_kg = 1.8
wheel = "road"
spring = { kind = "torsion bar", diameter_mm = 16, length_mm = 500, free_angle_deg = 40, steel = "51CrV4" }
stops = { bump_below_level_deg = 0, droop_below_level_deg = 35 }
"""

    kind: Literal["single arm"]
    at_mm: Annotated[PointMm, Move(20, 10)]
    """Its pivot: forward of the tail datum, above the belly datum, mm.

    Usual: 0 to 60 mm up.
    Measure: plumb line from the pivot to the floor, tape from the tail's; up from the belly plate.
    If wrong: the axle is out by as much: loads on the wheels shift, and the hull stands nose down or tail down.
    Also called: pivot position, mounting point, wheelbase.
    """

    points: Literal["forward", "back"]
    """To which side the arm points from its pivot, seen as it drives forward: "back" is a trailing arm, "forward" a
    leading one.

    If wrong: the wheel stands two arm lengths away from where it should; a leading arm digs into kerbs.
    Also called: trailing, leading.
    """

    spring: ArmSpringKind
    """The spring on the arm.

    Also called: coil, torsion bar, leaf, rubber, shock.
    """

    @property
    def _sign(self) -> float:
        return 1.0 if self.points == "forward" else -1.0

    def add_parts(self, name: str, parts: Parts) -> None:
        """The arm."""
        part = arm_part(self, name, name, self.at_mm[0] * MM, self.at_mm[1] * MM, self._sign, f"bogie.{name}")
        part.wheels.append(WheelPart(name, self.wheel, self._sign * part.radius, 0.0))
        parts.swings.append(part)
        fit_springs(parts, self.spring, self, [len(parts.swings) - 1], name)

    def stations_at(self, name: str) -> tuple[Station, ...]:
        """At the arm's end."""
        x, y = self.at_mm
        low, high = self.stops.axle_heights_mm(self.arm_mm)
        return (Station(name, x + along_mm(self, self._sign), y + 0.5 * (low + high), y + low, y + high),)

    def sprung(self, name: str) -> Sprung | None:
        """The arm."""
        return sprung(self, self.spring, 1, f"bogie.{name}")

    def members(self, name: str) -> tuple[Member, ...]:
        """The arm on its bracket."""
        return (
            Member(
                name=name,
                path=f"bogie.{name}",
                what="arm",
                build=self.build,
                each_side=1,
                bores=arm_bores(self, self.spring),
                pivots_mm=(0.0,),
                pivots=1,
                axles=1,
                reach_mm=self.arm_mm,
                sprung=self.sprung(name),
                carries=1,
                ends=1,
            ),
        )

    def swings_kg(self) -> float:
        """The arm."""
        return self.arm_mass_kg

    def wants_fine_step(self) -> bool:
        """No: the arm hangs on the hull."""
        return False

    def inside(self, around: Around, table: str = "") -> Around:
        """What lies about its spring, stops and damper."""
        return around_arm(self, around, around.name, self.at_mm, self._sign)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, in the hull."""
        arm = arm_standing(self, around, around.name, self.at_mm, self._sign)
        shapes, marks = arm_view(self, self.spring, (arm,))
        own = (
            *placed("at_mm", self.at_mm),
            Note("kind", arm.along(0.4 * self.arm_mm)),
            Note("points", arm.along(0.6 * self.arm_mm)),
            Note("wheel", arm.axle),
        )
        return (
            Sketch("single arm", "side", (*axle_wheels(around, (arm.axle,)), *shapes), (*own, *marks), in_hull=True),
        )
