"""Bogies: what stands between hull and road wheels. The questions that every kind answers, and what kinds share."""

from __future__ import annotations

import math
from abc import abstractmethod
from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from pydantic import Field, model_validator

from trundle.bogies.answers import Member, Sprung, Station
from trundle.bogies.arm_drawing import damper_sketches, stops_sketches
from trundle.bogies.build import ArmBuild
from trundle.bogies.parts import Parts
from trundle.errors import InputError, Problem
from trundle.fields.base import LengthMm, PlacedError, PointMm, Spec
from trundle.fields.kind import Kind
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Along, By, Kept, Move, Stock, Times
from trundle.springs.felt_pad import FeltPad, at_axle, plain_pad
from trundle.springs.pad import PadKind
from trundle.steel.sizes import DAMPERS_N_S_PER_MM
from trundle.units import DEG, N_PER_MM

PAD_BEYOND = 1.5
"""Lengths of the arm beyond which no pad is met from its pivot: an arm goes on a little past its axle at most."""

USUAL_PAD = 300.0
"""Rate of a pad of which nothing is said, felt at the axle [N/mm]."""

LOWEST_DEG = 80.0
"""An arm's greatest angle below level."""

AngleDeg = Annotated[float, Field(ge=-LOWEST_DEG, le=LOWEST_DEG)]
"""Arm angle below the hull's horizontal, degrees."""


class Stops(Spec):
    """Where an arm's travel ends, and how hard: the bump stop one of two ways, the droop stop one of four.

    Also called: bump stop, bump rubber, rebound stop, limit strap, travel, bottoming.
    """

    EXAMPLE: ClassVar[str] = """bump_below_level_deg = -4
droop_below_level_deg = 32
pad_rate_N_per_mm = 200
"""

    bump_below_level_deg: Annotated[AngleDeg, By(5)] | None = None
    """How far below level the arm is where its bump pad is met, degrees: from the hull's horizontal through the pivot
    down to the line from pivot to axle. Negative: the axle is higher than the pivot. This or bump_axle_above_pivot_mm.

    Usual: -10 to 10 deg.
    Measure: jack the wheel up until the pad is met, lay a level or a phone on the arm, and take off what it shows on
    the hull.
    If wrong: arms hit their stops too soon or never, and the hull's lowest height is wrong.
    Also called: bump stop angle, jounce.
    """

    bump_axle_above_pivot_mm: Annotated[float, Field(ge=-2_000, le=2_000), By(5)] | None = None
    """The same given as a height: from the pivot's centre up to the axle's centre where the bump pad is met, square to
    the hull's horizontal, mm. Negative: the axle is below the pivot.

    Usual: -20 to 40 mm.
    Measure: wheel jacked up to the pad, hull level: axle and pivot each from the floor, one taken off the other.
    If wrong: as for bump_below_level_deg.
    Also called: full bump, wheel up.
    """

    droop_below_level_deg: Annotated[AngleDeg, By(5)] | None = None
    """How far below level the arm is where its droop stop is met, degrees: from the hull's horizontal through the pivot
    down to the line from pivot to axle. An angle, no travel: for that there is travel_deg. This or one of the next
    three.

    Usual: 25 to 45 deg.
    Measure: lift the hull until the wheels hang, lay a level or a phone on the arm, and take off what it shows on the
    hull.
    If wrong: the wheel leaves the ground too soon in a dip, or the spring falls loose.
    Also called: droop stop angle, rebound stop.
    """

    droop_axle_above_pivot_mm: Annotated[float, Field(ge=-2_000, le=2_000), By(5)] | None = None
    """The same given as a height: from the pivot's centre up to the axle's centre where the droop stop is met, square
    to the hull's horizontal, mm. Nearly always negative: the axle hangs below the pivot.

    Usual: -60 to -200 mm.
    Measure: wheels hanging, hull level: axle and pivot each from the floor, the pivot's taken off the axle's.
    If wrong: as for droop_below_level_deg.
    Also called: full droop, wheel hanging.
    """

    travel_deg: Annotated[float, Field(ge=1, le=160), By(5)] | None = None
    """In place of the droop stop: how far the arm turns down from its bump stop to its droop stop, degrees.

    Usual: 20 to 45 deg.
    Measure: lay a level or a phone on the arm at both stops, and take one angle off the other.
    If wrong: as for droop_below_level_deg.
    Also called: arm travel, swing.
    """

    travel_mm: Annotated[float, Field(ge=1, le=4_000), By(5)] | None = None
    """In place of the droop stop: how far the axle comes down from its bump stop to its droop stop, square to the
    hull's horizontal, mm.

    Usual: 60 to 200 mm.
    Measure: axle from the floor with the hull on stands, wheel pushed up and wheel hanging; one taken off the other.
    If wrong: as for droop_below_level_deg.
    Also called: wheel travel, suspension travel.
    """

    pad_rate_N_per_mm: Annotated[float, Field(ge=1, le=50_000), Times(2)] | None = USUAL_PAD
    """Stiffness of the pads of both stops, felt at the axle, N per mm: the same however far they are pressed. In its
    place a `pad` may say how they grow harder.

    Usual: 40 to 400 N/mm.
    Measure: press the pad in a vice on a bathroom scale, N over mm; where it does not sit at the axle, times the
    square of (pivot to pad over pivot to axle).
    If wrong: the hits on the stops are too hard or too soft.
    Also called: bump rubber rate.
    """

    pad: PadKind | None = None
    """The pads of both stops as they are made or were measured, where they sit. In place of pad_rate_N_per_mm.

    Also called: progressive bump stop, bump rubber, snubber, jounce bumper.
    """

    pad_from_pivot_mm: Annotated[LengthMm, By(10)] | None = None
    """Only with `pad`: how far from the arm's pivot it is met, along the arm, mm. Left out: at the axle.

    Usual: half to all of arm_mm.
    Measure: rule along the arm from the middle of the pivot bolt to the middle of the mark that the pad leaves.
    If wrong: stiffness at the axle goes with its square: 10 % is a fifth; and the pad is flat sooner or later.
    Also called: bump stop position, motion ratio.
    """

    pad_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.5
    """Share of the energy that a hit at 0.5 m/s loses in the pad.

    Usual: 0.4 to 0.6 for rubber, 0.1 for steel.
    Measure: drop a steel ball on the pad: 1 less the height that it comes back to over that it fell from.
    If wrong: the arm comes off the stop too fast or too slowly; little else.
    Also called: damping of the rubber.
    """

    @model_validator(mode="before")
    @classmethod
    def _no_rate_beside_a_pad(cls, given: Any) -> Any:
        """The usual rate is for a pad of which nothing is said."""
        said = isinstance(given, Mapping) and given.get("pad") is not None and "pad_rate_N_per_mm" not in given
        return {**given, "pad_rate_N_per_mm": None} if said else given

    @model_validator(mode="after")
    def _one_pad(self) -> Stops:
        if (self.pad is None) == (self.pad_rate_N_per_mm is None):
            raise PlacedError(
                "give the pad once: pad_rate_N_per_mm is felt at the axle, a pad has its own",
                "pad" if self.pad is not None else "pad_rate_N_per_mm",
                allowed="one of pad_rate_N_per_mm, pad",
            )
        if self.pad_from_pivot_mm is not None and self.pad is None:
            raise PlacedError(
                "says where a pad is, and there is none: pad_rate_N_per_mm is felt at the axle",
                "pad_from_pivot_mm",
                allowed="with pad",
            )
        if self.pad_rate_N_per_mm is None:
            self.model_fields_set.discard("pad_rate_N_per_mm")  # the file left it out
        return self

    @model_validator(mode="after")
    def _each_stop_once(self) -> Stops:
        for end, ways in (("bump", _BUMP), ("droop", _DROOP)):
            given = [name for name in ways if getattr(self, name) is not None]
            if len(given) != 1:
                raise PlacedError(
                    f"give the {end} stop once ({' and '.join(given) or 'it is not'} given)",
                    given[-1] if given else ways[0],
                    allowed=f"one of {', '.join(ways)}",
                )
        return self

    def axle_heights_mm(self, arm_mm: float) -> tuple[float, float]:
        """Axle height from the pivot at droop and at bump [mm], as the file has it."""

        def height(deg: float | None, axle: float | None) -> float:
            return -arm_mm * math.sin(math.radians(deg)) if deg is not None else float(axle or 0.0)

        bump = height(self.bump_below_level_deg, self.bump_axle_above_pivot_mm)
        if self.travel_mm is not None:
            return bump - self.travel_mm, bump
        if self.travel_deg is not None:
            at = math.degrees(math.asin(max(-1.0, min(1.0, -bump / arm_mm))))
            return height(at + self.travel_deg, None), bump
        return height(self.droop_below_level_deg, self.droop_axle_above_pivot_mm), bump

    def angles_rad(self, arm_mm: float, where: str) -> tuple[float, float]:
        """Bump and droop angle below horizontal [rad].

        Raises InputError if they are out of reach or the wrong way round. where: the arm's place in the file.
        """

        def angle(axle_mm: float, name: str) -> float:
            if abs(axle_mm) >= arm_mm:
                raise InputError(
                    Problem(
                        f"the arm is {arm_mm:g} mm long, its axle cannot be {axle_mm:g} mm from the pivot's height",
                        field=f"{where}.stops.{name}",
                    )
                )
            return -math.asin(axle_mm / arm_mm)

        if self.bump_below_level_deg is not None:
            bump = self.bump_below_level_deg * DEG
        else:
            bump = angle(self.bump_axle_above_pivot_mm or 0.0, "bump_axle_above_pivot_mm")
        if self.droop_below_level_deg is not None:
            droop = self.droop_below_level_deg * DEG
        elif self.travel_deg is not None:
            droop = bump + self.travel_deg * DEG
            if droop > LOWEST_DEG * DEG:
                raise InputError(
                    Problem(
                        f"the arm is {bump / DEG:.1f} deg below level at bump: with this travel its droop stop is "
                        f"{droop / DEG:.1f} deg below level",
                        field=f"{where}.stops.travel_deg",
                        allowed=f"up to {LOWEST_DEG - bump / DEG:.0f}",
                    )
                )
        elif self.travel_mm is not None:
            droop = angle(-arm_mm * math.sin(bump) - self.travel_mm, "travel_mm")
        else:
            droop = angle(self.droop_axle_above_pivot_mm or 0.0, "droop_axle_above_pivot_mm")
        if droop - bump < 1.0 * DEG:
            raise InputError(
                Problem(
                    f"the stops are the wrong way round or too close: the arm is {bump / DEG:.1f} deg below level at "
                    f"bump, {droop / DEG:.1f} deg at droop",
                    field=f"{where}.stops",
                    allowed="droop at least 1 deg lower than bump; how far it travels is travel_deg or travel_mm",
                )
            )
        return bump, droop

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in the hull, on an arm that lies about it."""
        return stops_sketches(*self.axle_heights_mm(around.arm_mm), around, self.pad_place_mm(around.arm_mm))

    def pad_place_mm(self, arm_mm: float) -> float | None:
        """From the pivot to the pad along the arm [mm]; None where it is only known as the axle feels it."""
        return None if self.pad is None else self.pad_from_pivot_mm or arm_mm

    def felt_pad(self, arm_mm: float) -> FeltPad:
        """The pad of either stop, as the axle of such an arm feels it."""
        if self.pad is None:
            rate = float(self.pad_rate_N_per_mm or USUAL_PAD)
            return plain_pad(rate * N_PER_MM, f"pad {rate:.0f} N/mm")
        lever = 1.0 if self.pad_from_pivot_mm is None else self.pad_from_pivot_mm / arm_mm
        return FeltPad(at_axle(self.pad.pieces(), lever), self.pad.in_words(), lever, self.pad.limit())


_BUMP = ("bump_below_level_deg", "bump_axle_above_pivot_mm")
_DROOP = ("droop_below_level_deg", "droop_axle_above_pivot_mm", "travel_deg", "travel_mm")
"""The ways to give each stop."""


class Damper(Spec):
    """A viscous damper, as felt at the axle: what is bolted on elsewhere counts with (its distance from the pivot,
    square to it, over the arm's length) squared. Left out: none.

    Also called: shock, shock absorber, dashpot.
    """

    EXAMPLE: ClassVar[str] = "bump_N_s_per_mm = 0.6\ndroop_N_s_per_mm = 0.9\n"

    bump_N_s_per_mm: Annotated[
        float, Field(ge=0, le=1_000), Stock(DAMPERS_N_S_PER_MM, along=(Along(("droop_N_s_per_mm",)),))
    ] = 0.0
    """Force over axle speed when the wheel rises, one arm's, N per mm/s.

    Usual: 0.2 to 1; for a damping ratio of 0.3: 0.6 x root of (axle's rate in N/mm x kg on the arm / 1000).
    Measure: hang a known mass on the damper, film it: kg x 9.81 / (mm a second).
    If wrong: too little, it goes on bouncing; too much, edges come through to the hull.
    Also called: compression damping, bump damping, jounce.
    """

    droop_N_s_per_mm: Annotated[float, Field(ge=0, le=1_000), Stock(DAMPERS_N_S_PER_MM)] | None = None
    """The same when the wheel falls. Left out: as bump.

    Usual: 1 to 2 times bump_N_s_per_mm.
    Measure: as for bump_N_s_per_mm, pulled.
    If wrong: too much, wheels do not come down between bumps and the hull sinks on to its stops.
    Also called: rebound damping, extension damping.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """On an arm that lies about it; where it is bolted is not its matter."""
        return damper_sketches(around)


class ArmParts(Spec):
    """A sprung arm: its size, stops and damping. (Each kind that has one says which spring is on it.)

    Also called: swing arm, suspension arm, trailing arm.
    """

    arm_mm: Annotated[LengthMm, By(10, along=(Along(("arm_mass_kg",)),))]
    """From the pivot's middle to the axle's middle, along the arm, mm. Of an arm under a beam: to the beam's pivot.

    Usual: 100 to 300 mm.
    Measure: tape from the near edges of the two holes to each other, plus half of each hole.
    If wrong: rates at the axle go with its inverse square: a tenth longer is a sixth softer; travel is wrong too.
    Also called: arm length, swing arm length, lever.
    """

    arm_mass_kg: Annotated[float, Field(ge=0.01, le=500), Kept("what it weighs")]
    """One arm on one side, without wheels, kg.

    Usual: 0.8 to 4 kg.
    Measure: kitchen scale, with sleeve and bolts.
    If wrong: unsprung parts hop at another frequency; little else.
    Also called: arm weight, unsprung mass.
    """

    stops: Stops
    """Where its travel ends, and how hard.

    Also called: bump stop, droop stop.
    """

    damper: Damper = Damper()
    """Its damper. Left out: none.

    Also called: shock absorber, shock.
    """

    pivot_friction_Nm: Annotated[float, Field(ge=0, le=5_000), Kept("a property, not a choice")] = 0.0
    """Dry friction torque in one pivot, N.m.

    Usual: 0.5 to 3 N.m plain bushes, 0.2 ball bearings.
    Measure: spring off, arm level: luggage scale at the axle, pull up slowly, then let down: half the difference in N x
    arm in m.
    If wrong: too much, the hull stands anywhere within a range and small bumps come through; too little, it goes on
    bouncing.
    Also called: bushing friction, stiction.
    """

    build: ArmBuild | None = None
    """How it is made and held: for strength and the sheet. Left out: neither is worked out."""

    @model_validator(mode="after")
    def _stops_in_reach(self) -> ArmParts:
        if (at := self.stops.pad_from_pivot_mm) is not None and at > PAD_BEYOND * self.arm_mm:
            raise PlacedError(
                f"the pad is met {at:g} mm from the pivot of an arm of {self.arm_mm:g} mm",
                "stops",
                "pad_from_pivot_mm",
                allowed=f"up to {PAD_BEYOND * self.arm_mm:g}",
            )
        try:
            self.stops.angles_rad(self.arm_mm, "")
        except InputError as e:
            (problem,) = e.problems
            raise PlacedError(problem.problem, *problem.field.strip(".").split("."), allowed=problem.allowed) from None
        return self


class Bogie(Kind):
    """Any bogie: what stands between hull and road wheels, on one side; the other side has the same.

    Also called: suspension unit, wheel station, undercarriage.
    """

    at_mm: Annotated[PointMm, Move(20, 10)]
    """Where held: forward of the tail datum, above the belly datum, mm. Its pivot, or the middle between its two.

    Usual: -20 to 60 mm up.
    Measure: plumb line from the pivot to the floor, tape from the tail's; up from the belly plate.
    If wrong: loads on the wheels shift and the hull stands nose down or tail down.
    Also called: mounting point, pivot position.
    """

    wheel: str
    """Name of the wheel on all of its stations, as in [wheel.NAME].

    Also called: road wheel.
    """

    build: ArmBuild | None = None
    """How what carries its wheels is made and held: for strength and the sheet. Left out: neither is worked out."""

    @property
    def stations(self) -> int:
        """How many wheel stations it has on one side."""
        return len(self.stations_at(""))

    @abstractmethod
    def add_parts(self, name: str, parts: Parts) -> None:
        """Adds its moving parts. Raises InputError where a spring or stop cannot work."""

    @abstractmethod
    def stations_at(self, name: str) -> tuple[Station, ...]:
        """Where its wheels stand with its arms at mid-travel."""

    @abstractmethod
    def sprung(self, name: str) -> Sprung | None:
        """Its sprung arms; None where the hull rests on it without a spring."""

    @abstractmethod
    def members(self, name: str) -> tuple[Member, ...]:
        """What is made for it: what carries the wheels first, then what carries that."""

    @abstractmethod
    def swings_kg(self) -> float:
        """What its arms and beams weigh on one side, without wheels [kg]."""

    @abstractmethod
    def wants_fine_step(self) -> bool:
        """True if parts hang on parts: such a chain has several times an arm's error at a given step."""
