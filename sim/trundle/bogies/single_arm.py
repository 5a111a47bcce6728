"""One arm, leading or trailing."""

from __future__ import annotations

from typing import Annotated, Literal

from trundle.bogies.answers import Member, Sprung, Station
from trundle.bogies.arms import along_mm, arm_bores, arm_part, fit_springs, sprung
from trundle.bogies.base import ArmParts, Bogie
from trundle.bogies.parts import Parts, WheelPart
from trundle.fields.base import PointMm
from trundle.fields.step import Move
from trundle.springs import ArmSpringKind
from trundle.units import MM


class SingleArm(ArmParts, Bogie):
    """One arm, leading or trailing."""

    kind: Literal["single arm"]
    at_mm: Annotated[PointMm, Move(20, 10)]
    """The pivot, mm."""

    points: Literal["forward", "back"]
    """Which way the arm points from its pivot: back is a trailing arm."""

    spring: ArmSpringKind

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

    def wants_fine_step(self) -> bool:
        """No: the arm hangs on the hull."""
        return False
