"""The track and what it runs on."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.fields.base import LengthMm, PlacedError, PointMm, Spec
from trundle.fields.shape import disc
from trundle.fields.sketch import Around, Round, Sketch, Span
from trundle.fields.step import By, Kept, Move, Stock, Times
from trundle.spec.track_drawing import (
    idler_sketches,
    pitch_radius_mm,
    sprocket_sketches,
    tensioner_sketches,
    track_sketches,
)
from trundle.steel.rubber import HARDNESS_RANGE
from trundle.steel.sizes import ROUNDS_MM

LEAST_LINKS, MOST_LINKS = 10, 1_000
"""Links that a track may have."""

MOST_ROLLERS = 10
"""Return rollers that it may have; the model keeps room for as many (model.arrays)."""


class EndWheel(Spec):
    """What sprocket and idler have in common: how much they give when they strike the ground."""

    rim_rubber_mm: Annotated[float, Field(ge=0, le=200), By(5, least=0)] = 0.0
    """Rubber on its rim, under the track, mm, less than its radius; 0: a steel rim."""

    axle_mm: Annotated[float, Field(ge=5, le=200), Stock(ROUNDS_MM)] | None = None
    """Diameter of its axle or shaft, steel, mm. Left out: one that carries half the vehicle at 100 MPa, an estimate."""

    overhang_mm: Annotated[float, Field(ge=5, le=1_000), By(10)] | None = None
    """From the nearest bearing or bracket to the middle of its rim, mm. Left out: half the track's width and 15 mm, an
    estimate."""


class Sprocket(EndWheel):
    """The toothed wheel that drives the track; its pitch radius follows from teeth and pitch."""

    EXAMPLE: ClassVar[str] = """end = "front"
at_mm = [1640, 90]
teeth = 10
axle_mm = 25
overhang_mm = 80
"""

    end: Literal["front", "rear"]
    at_mm: Annotated[PointMm, Move(20, 20)]
    """Its axle, mm."""

    teeth: Annotated[int, Field(ge=5, le=60), By(1)]
    links_per_tooth: Annotated[int, Field(ge=1, le=3), Kept("the track wants it so")] = 1
    """Links that pass for each tooth (2 on a sprocket that drives every other link)."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in the hull's axes, and cut through."""
        return sprocket_sketches(self, around)


class Tensioner(Spec):
    """A spring behind the idler, pushing it away from the hull against the track."""

    EXAMPLE: ClassVar[str] = "rate_N_per_mm = 20\npreload_N = 0\ntravel_mm = 30\n"

    rate_N_per_mm: Annotated[float, Field(ge=0.1, le=50_000), Times(1.5)]
    """One side's spring, N per mm."""

    preload_N: Annotated[float, Field(ge=0, le=100_000), Times(1.5)]
    """What it pushes with before the idler starts to move back, one side, N."""

    travel_mm: Annotated[LengthMm, By(10)]
    """How far the idler can move back, mm."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, its idler at its outmost."""
        return tensioner_sketches(self, around)


class Idler(EndWheel):
    """The plain wheel at the other end."""

    EXAMPLE: ClassVar[str] = """at_mm = [-140, 80]
radius_mm = 80
rim_rubber_mm = 10
axle_mm = 25
overhang_mm = 80
tensioner = { rate_N_per_mm = 20, preload_N = 0, travel_mm = 30 }
"""

    at_mm: Annotated[PointMm, Move(20, 20)]
    radius_mm: Annotated[LengthMm, By(10)]
    """Outside radius (the track's inner face runs on it), mm."""

    tensioner: Tensioner | None = None

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in the hull's axes, and cut through."""
        return idler_sketches(self, around)

    def inside(self, around: Around) -> Around:
        """Where its tensioner pushes."""
        return replace(around, at_mm=self.at_mm)


class Roller(Spec):
    """A return roller under the top run.

    Also called: top roller, carrier roller.
    """

    EXAMPLE: ClassVar[str] = "at_mm = [700, 210]\nradius_mm = 30\n"

    at_mm: Annotated[PointMm, Move(50, 10)]
    """Its axle: forward of the tail datum, above the belly datum, mm.

    Usual: half-way along a top run that is longer than 1 m, so high that the track clears the road wheels at bump.
    Measure: from the hull's rearmost edge along the floor (plumb line), and from the belly plate up.
    If wrong: too low, the top run hangs on the road wheels; too high, the idler's spring carries it for nothing.
    """

    radius_mm: Annotated[LengthMm, Kept("only carries the top run")]
    """Of the face that the track runs on, mm: half of what a calliper reads across it.

    Usual: 25 to 40.
    Measure: calliper across the face, halved.
    If wrong: the loop's length is wrong by about as much, and with it the sag.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """In the hull's axes."""
        x, y = self.at_mm
        marks = (
            Span("at_mm", (0.0, y), (x, y), "x", "forward"),
            Span("at_mm", (x, 0.0), (x, y), "y", "up"),
            Round("radius_mm", (x, y), self.radius_mm),
        )
        return (Sketch("return roller", "side", (disc("steel", x, y, self.radius_mm),), marks, in_hull=True),)


class Track(Spec):
    """One side's track. Give `links` with `pitch_mm`; and how it is set: sag_mm or tension_N."""

    EXAMPLE: ClassVar[str] = """links = 70
pitch_mm = 60
mass_kg_per_m = 4
thickness_mm = 15
pad_mm = 8
width_mm = 150
tooth_mm = 35
link_steel_mm2 = 120
sag_mm = 10
tension_limit_N = 6000

[sprocket]
end = "front"
at_mm = [1640, 90]
teeth = 10

[idler]
at_mm = [-140, 80]
radius_mm = 80
tensioner = { rate_N_per_mm = 20, preload_N = 0, travel_mm = 30 }

[[roller]]
at_mm = [750, 190]
radius_mm = 30
"""

    links: Annotated[int, Field(ge=LEAST_LINKS, le=MOST_LINKS), Kept("follows from where its ends are")]
    pitch_mm: Annotated[LengthMm, Kept("comes with the track")]
    mass_kg_per_m: Annotated[float, Field(ge=0.05, le=200), Kept("comes with the track")]
    """One track, kg per metre."""

    thickness_mm: Annotated[float, Field(ge=1, le=200), Kept("comes with the track")]
    """From the face the wheels run on to the face on the ground, mm."""

    width_mm: Annotated[LengthMm, Kept("comes with the track")]
    tooth_mm: Annotated[float, Field(ge=0, le=300), Kept("comes with the track")]
    """Height of the guide tooth above the face the wheels run on, mm."""

    stretch_N: Annotated[float, Field(ge=1e4, le=1e9), Kept("comes with the track")] | None = None
    """Pull in one track over its relative stretch (EA), N. Left out: from link_steel_mm2."""

    link_steel_mm2: Annotated[float, Field(ge=1, le=20_000), Kept("comes with the track")] | None = None
    """Steel section that carries the pull in one link (side plates or cords), mm2."""

    sag_mm: Annotated[float, Field(ge=0.5, le=500), By(5)] | None = None
    """How far the longest top span hangs, standing, mm."""

    tension_N: Annotated[float, Field(ge=5, le=200_000), Times(1.5)] | None = None
    """Pull in one track, standing, N."""

    tension_limit_N: Annotated[float, Field(ge=1, le=1_000_000), Kept("comes with the track")] | None = None
    """Pull in one track above which a warning is wanted, N."""

    rolling_drag: Annotated[float, Field(ge=0, le=0.5), Kept("a property, not a choice")] = 0.03
    """What it takes to keep track and road wheels rolling, as a share of the load on the road wheels at any speed. The
    default is an estimate."""

    end_rate_N_per_mm: Annotated[float, Field(ge=10, le=100_000), Kept("measured")] | None = None
    """How hard sprocket or idler push back when they meet the ground with 1000 N, N per mm, if it has been measured.
    Left out: worked out from the rubber (pad_mm, rim_rubber_mm), axle and bracket, and how the hull rings."""

    end_loss: Annotated[float, Field(ge=0, le=0.95), Kept("a property of the rubber")] = 0.35
    """Share of the energy that a blow on sprocket or idler at 0.5 m/s loses. The default is an estimate."""

    pad_mm: Annotated[float, Field(ge=0, le=200), By(3, least=0)] | None = None
    """Rubber on its ground face, mm: of a rubber track all of thickness_mm, of bare steel links 0. Left out: all of it
    with stretch_N, half of it with link_steel_mm2, an estimate."""

    rubber_hardness_irhd: Annotated[float, Field(ge=HARDNESS_RANGE[0], le=HARDNESS_RANGE[1]), By(10)] = 65.0
    """Hardness of that rubber and of the rims', IRHD (about Shore A)."""

    sprocket: Sprocket
    idler: Idler
    roller: Annotated[tuple[Roller, ...], Field(strict=False, max_length=MOST_ROLLERS)] = ()

    @model_validator(mode="after")
    def _set_once(self) -> Track:
        if (self.sag_mm is None) == (self.tension_N is None):
            raise PlacedError("say how it is set once: sag_mm or tension_N", "tension_N", allowed="one of the two")
        if (self.stretch_N is None) == (self.link_steel_mm2 is None):
            raise PlacedError(
                "say how it stretches once: stretch_N or link_steel_mm2", "stretch_N", allowed="one of the two"
            )
        if self.pad_mm is not None and self.pad_mm > self.thickness_mm:
            raise PlacedError(
                f"pad_mm is {self.pad_mm:g}, more than the whole track (thickness_mm {self.thickness_mm:g})",
                "pad_mm",
                allowed=f"up to {self.thickness_mm:g}",
            )
        return self

    @model_validator(mode="after")
    def _rims_inside(self) -> Track:
        ends = (("sprocket", self.sprocket, self.sprocket_radius_m * 1e3), ("idler", self.idler, self.idler.radius_mm))
        for name, end, radius_mm in ends:
            if end.rim_rubber_mm >= radius_mm:
                raise PlacedError(
                    f"rim_rubber_mm is {end.rim_rubber_mm:g}, but the {name} has a radius of {radius_mm:.0f} mm in all",
                    name,
                    "rim_rubber_mm",
                    allowed=f"below {radius_mm:.0f}",
                )
        return self

    @model_validator(mode="after")
    def _ends_give_once(self) -> Track:
        if self.end_rate_N_per_mm is None:
            return self
        stated = ["pad_mm"] if self.pad_mm is not None else []
        stated += ["rubber_hardness_irhd"] if "rubber_hardness_irhd" in self.model_fields_set else []
        for name, end in (("sprocket", self.sprocket), ("idler", self.idler)):
            stated += [f"{name}.{f}" for f in EndWheel.model_fields if f in end.model_fields_set]
        if stated:
            raise PlacedError(
                f"say how the ends give once: end_rate_N_per_mm, or what they are made of ({', '.join(stated)})",
                "end_rate_N_per_mm",
                allowed="one of the two",
            )
        return self

    @property
    def length_m(self) -> float:
        """Links times pitch, unstretched [m]."""
        return self.links * self.pitch_mm * 1e-3

    @property
    def idler_at_front(self) -> bool:
        """True where the idler is the front end and the sprocket the rear one."""
        return self.sprocket.end == "rear"

    @property
    def idler_sign(self) -> float:
        """Direction along the hull in which the idler is set out, away from the sprocket: 1 forward, -1 back."""
        return 1.0 if self.idler_at_front else -1.0

    @property
    def stiffness_N(self) -> float:
        """EA of one track [N]. From a steel section: a quarter of E A, for bending eyes and pin play."""
        if self.stretch_N is not None:
            return self.stretch_N
        assert self.link_steel_mm2 is not None
        return 0.25 * 206e3 * self.link_steel_mm2

    @property
    def sprocket_radius_m(self) -> float:
        """Pitch radius p / (2 sin(pi/N)) of the sprocket [m] (chain drives, any machine-design handbook)."""
        return pitch_radius_mm(self.pitch_mm, self.sprocket.links_per_tooth, self.sprocket.teeth) * 1e-3

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The loop in the hull's axes; links close by; one cut through."""
        return track_sketches(self, around)

    def inside(self, around: Around) -> Around:
        """Its links, and on which side its idler is."""
        return replace(
            around,
            track_thickness_mm=self.thickness_mm,
            track_width_mm=self.width_mm,
            pitch_mm=self.pitch_mm,
            sign=self.idler_sign,
        )
