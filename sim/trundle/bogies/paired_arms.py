"""Two arms on one bracket, pointing fore and aft."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.bogies.answers import Member, Sprung, Station
from trundle.bogies.arm_drawing import axle_wheels
from trundle.bogies.arms import along_mm, arm_bores, arm_part, arm_standing, arm_view, around_arm, fit_springs, sprung
from trundle.bogies.base import ArmParts, Bogie
from trundle.bogies.parts import Parts, WheelPart
from trundle.fields.base import PointMm
from trundle.fields.sketch import Around, Note, Sketch, Span
from trundle.fields.sketch_parts import placed
from trundle.fields.step import By, Move
from trundle.springs import SpringKind
from trundle.units import MM

_ENDS = (("fore", 1.0), ("aft", -1.0))


class PairedArms(ArmParts, Bogie):
    """Two arms on one bracket, pointing fore and aft, each sprung or sharing one leaf.

    Also called: scissor bogie, twin arms, double arm, paired trailing and leading arm.
    """

    EXAMPLE: ClassVar[str] = """kind = "paired arms"
at_mm = [330, 10]
pivots_apart_mm = 60
arm_mm = 200
arm_mass_kg = 1.8
wheel = "road"
stops = { bump_below_level_deg = -4, droop_below_level_deg = 32 }

[spring]
kind = "leaf across"
width_mm = 40
thickness_mm = 2
full_leaves = 9
length_mm = 440
free_radius_mm = 700
seat = "point"
seat_above_pivots_mm = 22
arm_top_mm = 20
steel = "51CrV4"
"""

    kind: Literal["paired arms"]
    at_mm: Annotated[PointMm, Move(20, 10)]
    """Pivots' middle: forward of the tail datum, above the belly datum, mm. On the line of both.

    Usual: -10 to 40 mm up.
    Measure: plumb line half-way between the two pivots, tape from the tail's; up from the belly plate.
    If wrong: both axles are out by as much: loads on the wheels shift, and the hull stands nose down or tail down.
    Also called: bracket position, mounting point, wheelbase.
    """

    pivots_apart_mm: Annotated[float, Field(ge=0, le=3_000), By(10, least=0)]
    """Distance between the two pivots, middle to middle (0: one common pin), mm.

    Usual: 0, or 40 to 100 mm.
    Measure: calliper over both bolts, less one bolt.
    If wrong: the wheels stand apart by as much more, and a leaf across meets its arms elsewhere.
    Also called: pivot spacing, hole spacing.
    """

    spring: SpringKind
    """One for each arm, or a leaf across both.

    Also called: coil, leaf, torsion bar, shock.
    """

    @model_validator(mode="after")
    def _bracket_has_both_holes(self) -> PairedArms:
        if self.build is not None:
            self.build.needs_length(self.pivots_apart_mm)
        return self

    def add_parts(self, name: str, parts: Parts) -> None:
        """The fore arm, then the aft one."""
        x, y, half = self.at_mm[0] * MM, self.at_mm[1] * MM, 0.5 * self.pivots_apart_mm * MM
        arms = []
        for end, sign in _ENDS:
            part = arm_part(self, f"{name}.{end}", name, x + sign * half, y, sign, f"bogie.{name}")
            part.wheels.append(WheelPart(part.name, self.wheel, sign * part.radius, 0.0))
            arms.append(len(parts.swings))
            parts.swings.append(part)
        fit_springs(parts, self.spring, self, arms, name, self.pivots_apart_mm * MM)

    def stations_at(self, name: str) -> tuple[Station, ...]:
        """At the ends of both arms."""
        x, y = self.at_mm
        low, high = self.stops.axle_heights_mm(self.arm_mm)
        return tuple(
            Station(
                f"{name}.{end}",
                x + sign * 0.5 * self.pivots_apart_mm + along_mm(self, sign),
                y + 0.5 * (low + high),
                y + low,
                y + high,
            )
            for end, sign in _ENDS
        )

    def sprung(self, name: str) -> Sprung | None:
        """Both arms."""
        return sprung(self, self.spring, 2, f"bogie.{name}", self.pivots_apart_mm)

    def members(self, name: str) -> tuple[Member, ...]:
        """The two arms, alike, on one bracket."""
        half = 0.5 * self.pivots_apart_mm
        pivots = (-half, half) if half > 0.0 else (0.0,)
        return (
            Member(
                name=name,
                path=f"bogie.{name}",
                what="arm",
                build=self.build,
                each_side=2,
                bores=arm_bores(self, self.spring),
                pivots_mm=pivots,
                pivots=len(pivots),
                axles=2,
                reach_mm=self.arm_mm,
                sprung=self.sprung(name),
                carries=1,
                ends=1,
            ),
        )

    def swings_kg(self) -> float:
        """Both arms."""
        return 2.0 * self.arm_mass_kg

    def wants_fine_step(self) -> bool:
        """No: both arms hang on the hull."""
        return False

    def inside(self, around: Around, table: str = "") -> Around:
        """What lies about its spring, stops and damper: the fore arm."""
        x, y = self.at_mm
        fore = x + 0.5 * self.pivots_apart_mm
        return around_arm(self, around, f"{around.name}.fore", (fore, y), 1.0, self.pivots_apart_mm)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, in the hull."""
        (x, y), half = self.at_mm, 0.5 * self.pivots_apart_mm
        fore, aft = (
            arm_standing(self, around, f"{around.name}.{end}", (x + sign * half, y), sign) for end, sign in _ENDS
        )
        shapes, marks = arm_view(self, self.spring, (fore, aft))
        own = (
            *placed("at_mm", self.at_mm),
            Span("pivots_apart_mm", aft.pivot, fore.pivot, "x"),
            Note("kind", aft.along(0.5 * self.arm_mm)),
            Note("wheel", aft.axle),
        )
        wheels = axle_wheels(around, (fore.axle, aft.axle))
        return (Sketch("paired arms", "side", (*wheels, *shapes), (*own, *marks), in_hull=True),)
