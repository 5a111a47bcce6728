"""The hull: mass, belly, seat."""

from __future__ import annotations

import itertools
import math
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, SerializerFunctionWrapHandler, field_validator, model_serializer, model_validator

from trundle.fields.base import LengthMm, PlacedError, PointMm, PolylineMm, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Better, Kept, Move, Stock, Times
from trundle.fields.stock import PlateSteel
from trundle.spec.hull_drawing import hull_sketches
from trundle.steel.sizes import PLATE_STEELS, PLATES_MM

HeldBy = Literal["nothing", "grip", "lap belt", "harness", "lashings", "bolts"]

LEAST_KG = 5.0
"""The lightest hull."""

HOLDS_WHAT: dict[str, tuple[HeldBy, ...]] = {
    "rider": ("nothing", "grip", "lap belt", "harness"),
    "load": ("nothing", "lashings", "bolts"),
    "mast": ("bolts",),
}
"""What can hold what is at the seat."""


def _of_the_whole() -> float:
    """The hull's mass until that of the whole vehicle has been taken apart (Hull.without)."""
    return math.nan


class Hull(Spec):
    """Everything the springs carry: plates, motor, battery, riders. Arms, wheels and track come on top. Places on a
    vehicle are [forward, up]: forward of the tail datum (the hull's rearmost edge, as a rule), above the belly datum
    (underside of the flat of the belly), both where the builder wants them.

    Also called: body, chassis, frame, tub, sprung mass.
    """

    EXAMPLE: ClassVar[str] = """mass_kg = 180
com_mm = [760, 230]
length_mm = 1500
height_mm = 450
gauge_mm = 720
belly_mm = [[0, 140], [110, 0], [1390, 0], [1510, 130]]
belly_sheet_mm = 3
belly_span_mm = 350
belly_width_mm = 450
seat_mm = [680, 300]
"""

    mass_kg: Annotated[float, Field(default_factory=_of_the_whole, ge=LEAST_KG, le=5_000), Kept("what it weighs")]
    """The hull with all that is on it, without arms, wheels and tracks, kg: what the springs carry, riders too. This,
    or all_up_kg.

    Usual: 65 to 85 % of what the whole vehicle weighs.
    Measure: weigh the hull before arms, wheels and tracks go on, rider and all; or weigh the whole and give all_up_kg.
    If wrong: ride height, spring stress and frequencies are wrong in the same share.
    Also called: sprung mass, body weight.
    """

    all_up_kg: Annotated[float, Field(ge=LEAST_KG, le=6_000), Kept("what it weighs")] | None = None
    """In place of mass_kg: what the whole vehicle weighs, ready to drive, with riders, arms, wheels and tracks, kg.
    The hull's own mass is then worked out: arms, wheels and tracks are taken off. com_mm stays the hull's own.

    Usual: 60 to 500 kg.
    Measure: all of it on scales, rider aboard: one end after the other with the hull level, both readings added.
    If wrong: as for mass_kg.
    Also called: all-up mass, gross weight, kerb weight, total weight.
    """

    com_mm: Annotated[PointMm, Move(50, 30)]
    """Centre of mass: forward of the tail datum, above the belly datum, mm. Of the hull with riders, without arms,
    wheels and track, whichever mass is given.

    Usual: half-way between the outer wheels within 5 % of length_mm, 0.4 to 0.6 of height_mm up.
    Measure: lengthwise: a scale under each end, front reading / both x distance between them, from the rear one.
    Height, springs blocked: lift one end by some 15 deg; what the low end gains x distance / (weight x tangent of the
    angle) is how high it lies over the supports.
    If wrong: too far back by 50 mm and the tail hangs low, the front wheels run light, it rears on a kerb; height
    shifts what a slope and braking do.
    Also called: centre of gravity, center of gravity, center of mass, CoG, CG, balance point.
    """

    pitch_inertia_kg_m2: Annotated[float, Field(ge=0.01, le=50_000), Kept("what it weighs")] | None = None
    """How hard it is to set nodding: its moment of inertia about a cross axis through its centre of mass, kg.m2. Left
    out: estimated as that of an even box, length_mm by height_mm.

    Usual: 0.8 to 1.2 of mass_kg x (length2 + height2, in metres) / 12: 3 for 40 kg, 40 for 180 kg, 170 for 400 kg.
    Measure: hang it by one end from a bar and time ten small swings: mass x d x (T2/4.02 - d), d from bar to centre of
    mass in metres, T one swing to and fro in seconds.
    If wrong: it nods too slowly or too fast, by half of the error in percent.
    Also called: moment of inertia, polar moment, pitch inertia, rotational inertia, mass moment.
    """

    length_mm: Annotated[LengthMm, Kept("the hull is as it is built")]
    """Overall length of the hull box, from the tail datum forward, mm. Without track, sprocket and idler.

    Usual: 800 to 2500 mm.
    Measure: plumb lines at tail and nose, tape along the floor.
    If wrong: the inertia and belly plate estimated from it are wrong, and what overhangs the wheels.
    Also called: overall length, body length.
    """

    height_mm: Annotated[LengthMm, Kept("the hull is as it is built")]
    """Height of the hull box with its load, from the belly datum up, mm.

    Usual: 350 to 750 mm: a seated rider counts to the shoulders.
    Measure: upright and level across the top, tape down to the belly plate.
    If wrong: the inertia that is estimated from it is wrong; the box is drawn too high.
    Also called: overall height, body height.
    """

    gauge_mm: Annotated[LengthMm, Kept("it changes nothing in the side view")] | None = None
    """From the middle of one track to the middle of the other, mm; without a track from the middle of the wheels of one
    side to that of the other. For turning and tipping. Left out: neither is worked out.

    Usual: 0.5 to 0.7 of the length between the outer axles: 400 to 1100 mm.
    Measure: tape on the ground, from the inner edge of one track to the outer edge of the other.
    If wrong: turning takes force at the tracks in inverse proportion; too wide, it is told to stand on side slopes on
    which it tips over.
    Also called: track width, track gauge, tread, track centres, track centers, wheel track.
    """

    belly_mm: Annotated[PolylineMm, Kept("the hull is as it is built")]
    """The underside from tail to nose, as points [forward, up], mm: forward increasing, from the two datums. Straight
    between the points.

    Usual: four points: tail edge, where its slope meets the flat, where the nose's slope leaves it, nose edge; slopes
    of 30 to 60 deg.
    Measure: straightedge under the flat for zero, plumb line at the tail; tape forward and up to each corner.
    If wrong: it strikes, or clears, an edge that it should not; ground clearance is wrong.
    Also called: floor, underside, skid plate, bash plate, belly pan, hull bottom.
    """

    seat_mm: Annotated[PointMm, Move(100, 0)]
    """The seat: forward of the tail datum, above the belly datum, mm. Where the rider sits, or the load that must not
    be shaken stands, or the camera mast.

    Usual: over the middle of the wheels or a little behind, 200 to 450 mm up.
    Measure: plumb line and tape to the seat's front-to-back middle, pressed in.
    If wrong: jolts are told of another place: away from the middle those of nodding come on top.
    Also called: saddle, load bed, cargo deck, payload.
    """

    at_seat: Literal["rider", "load", "mast"] = "rider"
    """What is at the seat: a rider, a load, or the foot of a camera mast. Jolts, and what holds against them, are told
    of it.

    If wrong: the limits are another's: a rider's comfort of a box, or a load's straps of a rider.
    Also called: driver, passenger, cargo, payload.
    """

    seat_kg: Annotated[float, Field(ge=0.1, le=5_000), Kept("what it weighs")] | None = None
    """Its mass, part of mass_kg, kg: for the force that holds it. Left out: 75 kg for a rider, an estimate; for a load
    or mast that force is then not given.

    Usual: 50 to 110 kg for a rider, dressed; 5 to 50 for a load.
    Measure: bathroom scale.
    If wrong: the force on belt, straps or bolts is wrong in the same share.
    Also called: rider's weight, payload mass.
    """

    held_by: HeldBy | None = None
    """What holds it: a rider nothing, his grip, a lap belt or a harness; a load nothing, lashings or bolts; a mast its
    bolts. Left out: a rider's grip, lashings, bolts.

    If wrong: it is told to slide or lift off where it is held, or the other way about.
    Also called: seat belt, safety belt, strap, tie-down, restraint.
    """

    mast_mm: Annotated[LengthMm, Kept("what it is for")] | None = None
    """Of a mast: how high above its foot its centre of mass is, mm, for the moment that bends the foot. Left out: that
    moment is not told.

    Usual: 300 to 1200 mm.
    Measure: balance mast and head on an edge, tape from there to the foot.
    If wrong: the moment on the foot is wrong in the same share.
    Also called: pole, camera mast, antenna.
    """

    belly_rate_N_per_mm: Annotated[float, Field(ge=10, le=100_000), Kept("measured")] | None = None
    """How hard the belly pushes back where it touches the ground, N per mm pressed in, if it has been measured. Left
    out: worked out from the plate (belly_sheet_mm and so on) and from how the hull rings.

    Usual: left out; 200 to 3000 N/mm where measured.
    Measure: jack with a bathroom scale on it (or a known weight off one end) under the middle of a panel, dial gauge
    beside it: newtons over millimetres.
    If wrong: belly blows go with its root: four times the rate, twice the blow.
    Also called: belly stiffness, floor stiffness.
    """

    belly_sheet_mm: Annotated[float, Field(ge=0.5, le=50), Stock(PLATES_MM)] | None = None
    """Thickness of the belly plate, steel, mm. Left out: 3 mm, an estimate.

    Usual: 2 to 5 mm.
    Measure: calliper at an edge or in a hole; less the paint.
    If wrong: blows and dents are wrong: stiffness goes with its cube, what dents it with its square.
    Also called: floor plate, skid plate, gauge, sheet metal.
    """

    belly_span_mm: Annotated[LengthMm, Times(2, less_only=True)] | None = None
    """How far the belly plate spans along the hull between frames, ribs or other stiff lines, from one to the next, mm.
    Left out: a quarter of length_mm, an estimate.

    Usual: 200 to 500 mm.
    Measure: tape between the weld lines or rivet rows.
    If wrong: the plate is taken as too stiff or too soft, and dents at another load.
    Also called: rib spacing, frame spacing, bay.
    """

    belly_width_mm: Annotated[LengthMm, Kept("the hull is as it is built")] | None = None
    """How wide it spans between the hull's sides, across, mm. Left out: 0.4 of length_mm, an estimate.

    Usual: 300 to 800 mm.
    Measure: tape between the insides of the side plates.
    If wrong: as for belly_span_mm, less.
    Also called: hull width, floor width.
    """

    belly_steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "S235"
    """Its steel: at what load a blow dents it for good.

    Usual: S235, or "unknown mild steel" from the scrap heap.
    Measure: the merchant's paper; a file bites mild steel easily.
    If wrong: dents are told at another load, in the ratio of the yields (S355 over S235: 1.5).
    Also called: plate grade, mild steel.
    """

    belly_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property, not a choice")] = 0.5
    """Share of the energy that a blow on the belly at 0.5 m/s loses. The default is an estimate; peaks hang little on
    it.

    Usual: 0.4 to 0.6.
    Measure: drop a steel ball on the plate from 13 mm: 1 less the height that it comes back to over 13.
    If wrong: it leaves the ground too fast or too slowly after a blow; little else.
    Also called: restitution, damping of the plate.
    """

    ring_Hz: Annotated[float, Field(ge=20, le=500), Kept("measured")] | None = None
    """Lowest tone at which the hull rings when it is struck at an end, loaded, Hz: how much it gives itself under a
    blow, and how short a blow means something. Left out: 80 Hz, an estimate.

    Usual: 50 to 130 Hz, welded or bolted.
    Measure: hull on soft blocks at a quarter of its length from each end, strike an end with a mallet: lowest tone that
    a phone's tuner or spectrum app shows.
    If wrong: hard blows on belly and track ends are too hard (too high a tone) or too soft.
    Also called: natural frequency, resonance, bending frequency, first mode.
    """

    blow_rates: Literal["soft", "middle", "hard"] = "middle"
    """Which end of the range of the rates of belly, sprocket and idler a run takes: what is not measured has one.

    If wrong: soft tells the lowest blow that may be, hard the highest: build for hard.
    Also called: contact stiffness.
    """

    belly_grip: Annotated[float, Field(ge=0, le=1.5), Kept("a property, not a choice")] = 0.4
    """Friction of the belly plate on the ground: force to drag it over its load.

    Usual: 0.3 to 0.5 steel on stone, wood or soil.
    Measure: drag a piece of the plate with a weight on it by a luggage scale: reading over weight.
    If wrong: a hull that sits on its belly comes off, or hangs there, too easily.
    Also called: friction coefficient, sliding friction.
    """

    @model_validator(mode="after")
    def _weighed_once(self) -> Hull:
        if ("mass_kg" in self.model_fields_set) == (self.all_up_kg is not None):
            raise PlacedError(
                "give the mass once: mass_kg (of the hull with riders, without arms, wheels and tracks) or all_up_kg "
                "(of the whole vehicle, ready to drive)",
                "mass_kg",
                allowed="one of the two",
            )
        return self

    @model_serializer(mode="wrap")
    def _as_weighed(self, fields: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """As the builder gave it: a mass that was worked out is none of the fields."""
        found: dict[str, Any] = fields(self)
        if self.all_up_kg is not None:
            found.pop("mass_kg", None)
        return found

    def without(self, parts_kg: float) -> Hull:
        """The hull with its own mass, where all_up_kg is given and arms, wheels and tracks weigh parts_kg."""
        if self.all_up_kg is None:
            return self
        made = self.model_copy(update={"mass_kg": self.all_up_kg - parts_kg})
        made.__pydantic_fields_set__.discard("mass_kg")
        made._seat_weighs_less()
        return made

    def _seat_weighs_less(self) -> None:
        if self.seat_kg is not None and self.seat_kg > self.mass_kg:
            raise PlacedError(
                f"it is part of mass_kg, which is {self.mass_kg:.4g} (it is {self.seat_kg:g})",
                "seat_kg",
                allowed=f"up to {self.mass_kg:.4g}",
            )

    @model_validator(mode="after")
    def _at_the_seat(self) -> Hull:
        self._seat_weighs_less()
        fits = HOLDS_WHAT[self.at_seat]
        if self.held_by is not None and self.held_by not in fits:
            raise PlacedError(
                f'a {self.at_seat} is not held by "{self.held_by}"', "held_by", allowed=", ".join(map(repr, fits))
            )
        if self.mast_mm is not None and self.at_seat != "mast":
            raise PlacedError(f"only a mast has it (at_seat is {self.at_seat})", "mast_mm", allowed='at_seat = "mast"')
        return self

    @model_validator(mode="after")
    def _gives_once(self) -> Hull:
        plate = ("belly_sheet_mm", "belly_span_mm", "belly_width_mm", "belly_steel")
        stated = [name for name in plate if name in self.model_fields_set and getattr(self, name) is not None]
        if self.belly_rate_N_per_mm is not None and stated:
            raise PlacedError(
                f"say how the belly gives once: belly_rate_N_per_mm, or its plate ({', '.join(stated)})",
                "belly_rate_N_per_mm",
                allowed="one of the two",
            )
        return self

    @field_validator("belly_mm")
    @classmethod
    def _belly_runs_forward(cls, points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        if not 2 <= len(points) <= 60:
            raise PlacedError(f"2 to 60 points are wanted (there are {len(points)})", allowed="2 to 60")
        for i, ((x0, _), (x1, _)) in enumerate(itertools.pairwise(points), 1):
            if x1 <= x0:
                raise PlacedError(
                    f"points must run from tail to nose (after {x0:g} comes {x1:g})", i, allowed=f"above {x0:g}"
                )
        return points

    @property
    def inertia_kg_m2(self) -> float:
        """Pitch inertia, as given or m (L2 + H2) / 12 of an even box [kg.m2]."""
        if self.pitch_inertia_kg_m2 is not None:
            return self.pitch_inertia_kg_m2
        return self.mass_kg * (self.length_mm**2 + self.height_mm**2) * 1e-6 / 12.0

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in its own axes; from behind; what is at the seat; its belly plate."""
        return hull_sketches(self, around)
