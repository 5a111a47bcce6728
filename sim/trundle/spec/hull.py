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
    """Everything the springs carry: plates, motor, battery, riders. Arms, wheels and track come on top."""

    EXAMPLE: ClassVar[str] = """mass_kg = 180
com_mm = [760, 230]
length_mm = 1500
height_mm = 450
belly_mm = [[0, 140], [110, 0], [1390, 0], [1510, 130]]
belly_sheet_mm = 3
belly_span_mm = 350
belly_width_mm = 450
seat_mm = [680, 300]
"""

    mass_kg: Annotated[float, Field(default_factory=_of_the_whole, ge=LEAST_KG, le=5_000), Kept("what it weighs")]
    """What the springs carry: hull, motor, battery and whoever rides, without arms, wheels and track, kg. This, or
    all_up_kg.

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
    """Its centre of mass: forward of the tail datum, above the belly datum, mm. Of the hull with riders, without arms,
    wheels and track, whichever mass is given."""

    pitch_inertia_kg_m2: Annotated[float, Field(ge=0.01, le=50_000), Kept("what it weighs")] | None = None
    """About its centre of mass. Left out: estimated as that of an even box, length_mm by height_mm."""

    length_mm: Annotated[LengthMm, Kept("the hull is as it is built")]
    """Overall length of the hull box, mm."""

    height_mm: Annotated[LengthMm, Kept("the hull is as it is built")]
    """Overall height of the hull box with its load, mm."""

    belly_mm: Annotated[PolylineMm, Kept("the hull is as it is built")]
    """The underside from tail to nose, as points [forward, up] with forward increasing, mm."""

    seat_mm: Annotated[PointMm, Move(100, 0)]
    """Where the rider sits (or the load that must not be shaken stands, or the camera mast), mm."""

    at_seat: Literal["rider", "load", "mast"] = "rider"
    """What is at the seat: a rider, a load, or the foot of a camera mast. Jolts, and what holds against them, are told
    of it."""

    seat_kg: Annotated[float, Field(ge=0.1, le=5_000), Kept("what it weighs")] | None = None
    """Its mass, part of mass_kg, kg: for the force that holds it. Left out: 75 kg for a rider, an estimate; for a load
    or mast that force is then not given."""

    held_by: HeldBy | None = None
    """What holds it: a rider nothing, his grip, a lap belt or a harness; a load nothing, lashings or bolts; a mast its
    bolts. Left out: a rider's grip, lashings, bolts."""

    mast_mm: Annotated[LengthMm, Kept("what it is for")] | None = None
    """Of a mast: how high above its foot its centre of mass is, mm, for the moment that bends the foot."""

    belly_rate_N_per_mm: Annotated[float, Field(ge=10, le=100_000), Kept("measured")] | None = None
    """How hard the belly pushes back where it touches the ground, N per mm pressed in, if it has been measured. Left
    out: worked out from the plate (belly_sheet_mm and so on) and from how the hull rings."""

    belly_sheet_mm: Annotated[float, Field(ge=0.5, le=50), Stock(PLATES_MM)] | None = None
    """Thickness of the belly plate, steel, mm. Left out: 3 mm, an estimate."""

    belly_span_mm: Annotated[LengthMm, Times(2, less_only=True)] | None = None
    """How far the belly plate spans along the hull between frames, ribs or other stiff lines, mm. Left out: a quarter
    of length_mm, an estimate."""

    belly_width_mm: Annotated[LengthMm, Kept("the hull is as it is built")] | None = None
    """How wide it spans between the hull's sides, mm. Left out: 0.4 of length_mm, an estimate."""

    belly_steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "S235"
    """Its steel: at what load a blow dents it for good."""

    belly_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property, not a choice")] = 0.5
    """Share of the energy that a blow on the belly at 0.5 m/s loses. The default is an estimate; peaks hang little
    on it."""

    ring_Hz: Annotated[float, Field(ge=20, le=500), Kept("measured")] | None = None
    """Lowest tone at which the hull rings when it is struck at an end, loaded, Hz: how much it gives itself under a
    blow, and how short a blow means something. Left out: 80 Hz, an estimate."""

    blow_rates: Literal["soft", "middle", "hard"] = "middle"
    """Which end of the range of the rates of belly, sprocket and idler a run takes: what is not measured has one."""

    belly_grip: Annotated[float, Field(ge=0, le=1.5), Kept("a property, not a choice")] = 0.4
    """Friction of the belly plate on the ground."""

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
        """From the side in its own axes; what is at the seat; its belly plate."""
        return hull_sketches(self)
