"""Two wheels on a beam that rocks, with or without a sprung arm under it."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from trundle.bogies.answers import Bore, Member, Sprung, Station
from trundle.bogies.arm_drawing import axle_wheels, beam_shapes
from trundle.bogies.arms import (
    along_mm,
    arm_bores,
    arm_part,
    arm_standing,
    arm_view,
    around_arm,
    bracket_view,
    fit_springs,
    sprung,
)
from trundle.bogies.base import ArmParts, Bogie
from trundle.bogies.parts import Parts, SwingPart, WheelPart
from trundle.fields.base import LengthMm, PointMm
from trundle.fields.shape import Shape
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span, Turn
from trundle.fields.sketch_parts import between, placed, polar, thin
from trundle.fields.step import Along, By, Kept, Move, Times
from trundle.springs import ArmSpringKind
from trundle.springs.felt_pad import plain_pad
from trundle.units import DEG, MM, N_PER_MM

_ENDS = (("fore", 1.0), ("aft", -1.0))


class BeamArm(ArmParts):
    """The sprung arm that carries a walking beam: from its pivot on the hull to the beam's pivot.

    Also called: trailing arm, swing arm.
    """

    EXAMPLE: ClassVar[str] = """points = "back"
arm_mm = 200
arm_mass_kg = 3.6
spring = { kind = "torsion bar", diameter_mm = 16, length_mm = 650, free_angle_deg = 34, steel = "51CrV4" }
stops = { bump_below_level_deg = 4, droop_below_level_deg = 38 }
"""

    points: Literal["forward", "back"]
    """To which side the arm points from its pivot, seen as it drives forward: "back" is a trailing arm.

    If wrong: the beam stands two arm lengths away from where it should.
    Also called: trailing, leading.
    """

    spring: ArmSpringKind
    """The spring on the arm.

    Also called: coil, torsion bar, leaf, rubber, shock.
    """

    @property
    def sign(self) -> float:
        """1 if it points forward, -1 back."""
        return 1.0 if self.points == "forward" else -1.0

    def inside(self, around: Around, table: str = "") -> Around:
        """What lies about its spring, stops and damper."""
        return around_arm(self, around, around.name, around.at_mm, self.sign)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, in the hull, without its beam."""
        arm = arm_standing(self, around, around.name, around.at_mm, self.sign)
        shapes, marks = arm_view(self, self.spring, (arm,))
        own = (Note("points", arm.along(0.6 * self.arm_mm)),)
        return (Sketch("arm of a walking beam", "side", shapes, (*own, *marks), in_hull=True),)


class WalkingBeam(Bogie):
    """Two wheels on a beam that rocks on one pivot; the pivot rides on a sprung arm or on the hull.

    Also called: rocker, rocker beam, equaliser, equalizer, balance beam, tandem.
    """

    EXAMPLE: ClassVar[str] = """kind = "walking beam"
at_mm = [440, 45]
wheels_apart_mm = 240
axles_below_pivot_mm = 20
beam_mass_kg = 3.2
tilt_deg = 22
wheel = "road"

[arm]
points = "back"
arm_mm = 200
arm_mass_kg = 3.6
spring = { kind = "torsion bar", diameter_mm = 16, length_mm = 650, free_angle_deg = 34, steel = "51CrV4" }
stops = { bump_below_level_deg = 4, droop_below_level_deg = 38 }
"""

    kind: Literal["walking beam"]
    at_mm: Annotated[PointMm, Move(20, 10)]
    """Its hull pivot: forward of the tail datum, above the belly datum, mm. The arm's, or the beam's own if there is no
    arm.

    Usual: 0 to 80 mm up.
    Measure: plumb line from the pivot to the floor, tape from the tail's; up from the belly plate.
    If wrong: both axles are out by as much: loads on the wheels shift, and the hull stands nose down or tail down.
    Also called: pivot position, mounting point, wheelbase.
    """

    wheels_apart_mm: Annotated[LengthMm, By(20, along=(Along(("beam_mass_kg",)),))]
    """Between the two axles, middle to middle, along the beam, mm. Its pivot is half-way.

    Usual: 2.2 to 3 times the wheels' radius.
    Measure: tape between the near edges of the two axle holes, plus one hole.
    If wrong: a wheel stands elsewhere; told too short the wheels touch.
    Also called: axle spacing, beam length, wheel centres.
    """

    axles_below_pivot_mm: Annotated[float, Field(ge=-500, le=1_000), By(10)] = 0.0
    """How far the axles lie below the beam's pivot, square to the beam, mm; negative: above it.

    Usual: 0 to 30 mm.
    Measure: straightedge from axle to axle, square from it to the pivot's middle.
    If wrong: the hull stands too high or too low by as much; a pivot far above the axles lets pull and brake tilt the
    beam.
    Also called: beam drop, crank.
    """

    beam_mass_kg: Annotated[float, Field(ge=0.01, le=500), Kept("what it weighs")]
    """One beam on one side, without wheels, kg.

    Usual: 1.5 to 5 kg.
    Measure: bathroom or kitchen scale, with sleeves and bolts.
    If wrong: unsprung parts hop at another frequency; little else.
    Also called: beam weight, unsprung mass.
    """

    tilt_deg: Annotated[float, Field(ge=0.5, le=80), By(5)] = 25.0
    """How far the beam rocks either way from level before it meets a stop (its arm at mid-travel), degrees.

    Usual: 15 to 30 deg.
    Measure: lift one end until it stops, phone or level on the beam, less what it shows on the hull.
    If wrong: too little, one wheel leaves the ground on a kerb; too much, a wheel can strike the hull or the track.
    Also called: rocking angle, articulation.
    """

    pad_rate_N_per_mm: Annotated[float, Field(ge=1, le=50_000), Times(2)] = 300.0
    """Stiffness of those stops, felt at the axle, N per mm.

    Usual: 100 to 400 N/mm.
    Measure: press the pad in a vice on a bathroom scale, N over mm; times (pivot to pad over pivot to axle) squared.
    If wrong: hits on the stops are too hard or too soft.
    Also called: bump rubber rate.
    """

    pad_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.5
    """Share of the energy that a hit at 0.5 m/s loses there.

    Usual: 0.4 to 0.6 for rubber, 0.1 for steel.
    Measure: drop a steel ball on the pad from 13 mm: 1 less the height that it comes back to over 13.
    If wrong: the beam comes off its stop too fast or too slowly; little else.
    Also called: damping of the rubber.
    """

    pivot_friction_Nm: Annotated[float, Field(ge=0, le=5_000), Kept("a property, not a choice")] = 0.0
    """Dry friction torque in the beam's pivot, N.m.

    Usual: 0.5 to 3 N.m plain bushes, 0.2 ball bearings.
    Measure: wheels off the ground: luggage scale at one axle, what just begins to tilt it, N x half of wheels_apart_mm
    in m.
    If wrong: little: too much, the beam does not follow small bumps.
    Also called: bushing friction, stiction.
    """

    arm: BeamArm | None = None
    """The sprung arm. Left out: the beam pivots on the hull itself.

    Also called: trailing arm.
    """

    def add_parts(self, name: str, parts: Parts) -> None:
        """The sprung arm, if there is one, then the beam."""
        x, y = self.at_mm[0] * MM, self.at_mm[1] * MM
        parent, level = 0, 0.0
        if self.arm is not None:
            sign = self.arm.sign
            arm = arm_part(self.arm, f"{name}.arm", name, x, y, sign, f"bogie.{name}.arm")
            parts.swings.append(arm)
            parent = len(parts.swings)
            fit_springs(parts, self.arm.spring, self.arm, [parent - 1], name)
            x, y = sign * arm.radius, 0.0
            # The beam's stops are on the arm, set so that it rocks evenly about level with the arm at mid-travel.
            level = -sign * 0.5 * (arm.bump + arm.droop)
        parts.swings.append(self._beam(name, parent, x, y, level))

    def _beam(self, name: str, parent: int, x: float, y: float, level: float) -> SwingPart:
        half, drop = 0.5 * self.wheels_apart_mm * MM, self.axles_below_pivot_mm * MM
        return SwingPart(
            name=f"{name}.beam",
            what="beam",
            bogie=name,
            parent=parent,
            pivot_x=x,
            pivot_y=y,
            sign=1.0,
            radius=half,
            mass=self.beam_mass_kg,
            com_x=0.0,
            com_y=-drop,
            own_inertia=self.beam_mass_kg * (2.0 * half) ** 2 / 12.0,
            wheels=[WheelPart(f"{name}.{end}", self.wheel, sign * half, -drop) for end, sign in _ENDS],
            bump=level - self.tilt_deg * DEG,
            droop=level + self.tilt_deg * DEG,
            pad=plain_pad(self.pad_rate_N_per_mm * N_PER_MM, f"pad {self.pad_rate_N_per_mm:.0f} N/mm"),
            pad_loss=self.pad_loss,
            friction=self.pivot_friction_Nm,
            field=f"bogie.{name}",
            shapes=beam_shapes(half / MM, drop / MM),
        )

    def stations_at(self, name: str) -> tuple[Station, ...]:
        """At both ends of the level beam."""
        x, y = self.at_mm
        low = high = 0.0
        if self.arm is not None:
            low, high = self.arm.stops.axle_heights_mm(self.arm.arm_mm)
            x += along_mm(self.arm, self.arm.sign)
        middle = y + 0.5 * (low + high) - self.axles_below_pivot_mm
        return tuple(
            Station(f"{name}.{end}", x + sign * 0.5 * self.wheels_apart_mm, middle, y + low, y + high)
            for end, sign in _ENDS
        )

    def sprung(self, name: str) -> Sprung | None:
        """The arm under the beam, if there is one."""
        return None if self.arm is None else sprung(self.arm, self.arm.spring, 1, f"bogie.{name}.arm")

    def members(self, name: str) -> tuple[Member, ...]:
        """The beam; then its arm, which carries the beam's pivot and no axle."""
        apart, drop = self.wheels_apart_mm, self.axles_below_pivot_mm
        beam = Member(
            name=name,
            path=f"bogie.{name}",
            what="beam",
            build=self.build,
            each_side=1,
            bores=(
                Bore("axle, aft", 0.0, 0.0, "axle", False),
                Bore("pivot", 0.5 * apart, drop, "pivot", True),
                Bore("axle, fore", apart, 0.0, "axle", True),
            ),
            pivots_mm=(0.0,) if self.arm is None else (),
            pivots=1,
            axles=2,
            reach_mm=0.5 * apart,
            sprung=None,
            carries=1,
            ends=2,
        )
        if self.arm is None:
            return (beam,)
        arm = Member(
            name=f"{name}.arm",
            path=f"bogie.{name}.arm",
            what="arm",
            build=self.arm.build,
            each_side=1,
            bores=arm_bores(self.arm, self.arm.spring),
            pivots_mm=(0.0,),
            pivots=1,
            axles=0,
            reach_mm=self.arm.arm_mm,
            sprung=self.sprung(name),
            carries=2,
            ends=1,
        )
        return beam, arm

    def swings_kg(self) -> float:
        """The beam, and its arm if there is one."""
        return self.beam_mass_kg + (0.0 if self.arm is None else self.arm.arm_mass_kg)

    def wants_fine_step(self) -> bool:
        """On an arm, yes: a chain of two pivots."""
        return self.arm is not None

    def inside(self, around: Around, table: str = "") -> Around:
        """What lies about the arm under it; about what the beam is made of, the beam."""
        if table == "build":
            half = 0.5 * self.wheels_apart_mm
            return replace(around, at_mm=self.at_mm, arm_mm=half, both_ends=True, pivots_apart_mm=0.0)
        return replace(around, at_mm=self.at_mm, name=f"{around.name}.arm")

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, in the hull, on its arm if it has one."""
        half, drop = 0.5 * self.wheels_apart_mm, self.axles_below_pivot_mm
        middle, carried = self.at_mm, 0.0
        under: tuple[Shape, ...] = bracket_view(self.build, [self.at_mm]) if self.arm is None else ()
        if self.arm is not None:
            arm = arm_standing(self.arm, around, f"{around.name}.arm", self.at_mm, self.arm.sign)
            middle, carried = arm.axle, arm.turn_deg
            under, _ = arm_view(self.arm, self.arm.spring, (arm,))
        rocks = around.arms_deg.get(f"{around.name}.beam")
        turn = 0.0 if rocks is None else carried - rocks
        fore, aft = (polar(polar(middle, sign * half, turn), -drop, turn + 90.0) for _, sign in _ENDS)
        beam = tuple(s.moved(turn * DEG, np.array(middle)) for s in beam_shapes(half, drop))
        level = polar(middle, half, 0.0)
        marks: tuple[Mark, ...] = (
            *placed("at_mm", self.at_mm),
            Span("wheels_apart_mm", aft, fore),
            Span("axles_below_pivot_mm", polar(middle, -half, turn), aft),
            Turn("tilt_deg", middle, 1.1 * half, 0.0, self.tilt_deg),
            Note("beam_mass_kg", between(middle, fore, 0.6)),
            Note("pad_rate_N_per_mm", between(middle, aft, 0.7)),
            Note("pad_loss", between(middle, aft, 0.7)),
            Note("pivot_friction_Nm", middle),
            Note("kind", between(middle, fore, 0.35)),
            Note("build", between(middle, aft, 0.4)),
            Note("arm", between(self.at_mm, middle, 0.5)),
            Note("wheel", aft),
        )
        tilted = (thin((middle, level)), thin((middle, polar(middle, half, self.tilt_deg))))
        shapes: tuple[Shape, ...] = (*axle_wheels(around, (fore, aft)), *under, *beam, *tilted)
        return (Sketch("walking beam", "side", shapes, marks, in_hull=True),)
