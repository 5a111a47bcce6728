"""What the track runs round at its ends and on top: sprocket, idler and its tensioner, return rollers."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from trundle.fields.base import LengthMm, PointMm, Spec
from trundle.fields.shape import disc
from trundle.fields.sketch import Around, Round, Sketch, Span
from trundle.fields.step import By, Kept, Move, Stock, Times
from trundle.spec.track_drawing import idler_sketches, sprocket_sketches, tensioner_sketches
from trundle.steel.sizes import ROUNDS_MM


class EndWheel(Spec):
    """What sprocket and idler have in common: how much they give when they strike the ground."""

    rim_rubber_mm: Annotated[float, Field(ge=0, le=200), By(5, least=0)] = 0.0
    """Rubber on its rim, under the track, from the steel out to the face, mm, less than its radius; 0: a steel rim.

    Usual: 0, or 8 to 20 mm on an idler with a tyre.
    Measure: calliper at the rim's edge.
    If wrong: a blow on the nose or tail seems too hard (too little) or too soft.
    Also called: rim lining, rubber tyre, tire.
    """

    axle_mm: Annotated[float, Field(ge=5, le=200), Stock(ROUNDS_MM)] | None = None
    """Diameter of its axle or shaft, steel, mm. Left out: one that carries half the vehicle at 100 MPa, an estimate.

    Usual: 20 to 40 mm.
    Measure: calliper where it leaves the bearing.
    If wrong: its blows seem too hard (too thick) or too soft: the axle's stiffness goes with the fourth power.
    Also called: shaft, spindle, stub axle.
    """

    overhang_mm: Annotated[float, Field(ge=5, le=1_000), By(10)] | None = None
    """From the nearest bearing or bracket out to the middle of its rim, across the vehicle, mm. Left out: half the
    track's width and 15 mm, an estimate.

    Usual: 50 to 120 mm.
    Measure: tape from the bearing's face to the middle of the rim.
    If wrong: as for axle_mm: the stiffness goes with its cube.
    Also called: cantilever, stick-out, offset.
    """


class Sprocket(EndWheel):
    """The toothed wheel that drives the track; its pitch radius follows from teeth and pitch.

    Also called: drive sprocket, drive wheel, driver, gear.
    """

    EXAMPLE: ClassVar[str] = """end = "rear"
at_mm = [-150, 85]
teeth = 10
axle_mm = 25
overhang_mm = 80
"""

    end: Literal["front", "rear"]
    """At which end of the hull it is; the idler is at the other.

    If wrong: the lower run is pulled taut where it is slack, and the ramp that meets a kerb gives more, or less.
    Also called: front drive, rear drive.
    """

    at_mm: Annotated[PointMm, Move(20, 20)]
    """Its axle: forward of the tail datum, above the belly datum, mm. Behind the tail: below zero.

    Usual: 100 to 200 mm beyond the hull's end, so high that the track's ramp rises at 25 to 45 deg.
    Measure: plumb line from the axle to the floor, tape from the tail's; up from the belly plate.
    If wrong: the track's length and its ramps are wrong; too low it meets a kerb before the wheels do.
    Also called: sprocket position, final drive.
    """

    teeth: Annotated[int, Field(ge=5, le=60), By(1)]
    """Teeth on its circumference, counted all round.

    Usual: 9 to 15.
    Measure: count them.
    If wrong: its radius is wrong in the same share, and with it push, speed and the track's length.
    Also called: tooth count, cogs.
    """

    links_per_tooth: Annotated[int, Field(ge=1, le=3), Kept("the track wants it so")] = 1
    """Links that pass for each tooth (2 on a sprocket that drives every other link).

    Usual: 1.
    Measure: mark a tooth and a link, turn it by one tooth, count the links that pass.
    If wrong: its radius is out by that factor.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in the hull's axes, and cut through."""
        return sprocket_sketches(self, around)


class Tensioner(Spec):
    """A spring behind the idler, pushing it away from the hull against the track.

    Also called: track tensioner, track adjuster, recoil spring, idler spring.
    """

    EXAMPLE: ClassVar[str] = "rate_N_per_mm = 20\npreload_N = 0\ntravel_mm = 30\n"

    rate_N_per_mm: Annotated[float, Field(ge=0.1, le=50_000), Times(1.5)]
    """One side's spring, N per mm that the idler moves back.

    Usual: 10 to 60 N/mm.
    Measure: on a bathroom scale in a vice: kg gained for 10 mm more, times 0.981.
    If wrong: too soft, the track goes slack and can jump teeth; too stiff, a stone that gets into it overloads the
    links.
    Also called: spring rate, idler spring rate.
    """

    preload_N: Annotated[float, Field(ge=0, le=100_000), Times(1.5)]
    """What it pushes with before the idler starts to move back, one side, N; 0: it floats with the track's pull from
    the first.

    Usual: 0, or about twice the pull in the track standing (both runs pull at the idler).
    Measure: how far it was pressed when it was put in x rate_N_per_mm.
    If wrong: too high, it never moves and might as well be bolted; too low, every pull of the drive moves it.
    Also called: pretension, preset.
    """

    travel_mm: Annotated[LengthMm, By(10)]
    """How far the idler can move back, from its outmost place to its stop, mm.

    Usual: 15 to 50 mm.
    Measure: tape between spring seat and stop, track off.
    If wrong: too short, it hits its stop on kerbs and the pull jumps; too long, the track can come off.
    Also called: recoil travel, stroke.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, its idler at its outmost."""
        return tensioner_sketches(self, around)


class Idler(EndWheel):
    """The plain wheel at the other end, which the track turns round and is set by.

    Also called: idler wheel, front idler, tension wheel, return wheel.
    """

    EXAMPLE: ClassVar[str] = """at_mm = [-140, 80]
radius_mm = 80
rim_rubber_mm = 10
axle_mm = 25
overhang_mm = 80
tensioner = { rate_N_per_mm = 20, preload_N = 0, travel_mm = 30 }
"""

    at_mm: Annotated[PointMm, Move(20, 20)]
    """Its axle: forward of the tail datum, above the belly datum, mm. Behind the tail: below zero. To set the track it
    is moved along the hull from there.

    Usual: 100 to 200 mm beyond the hull's end, as high as the sprocket or lower.
    Measure: plumb line from the axle to the floor, tape from the tail's; up from the belly plate; in the middle of its
    slot.
    If wrong: the track seems too long or too short by twice the error.
    Also called: idler position, adjuster slot.
    """

    radius_mm: Annotated[LengthMm, By(10)]
    """Outside radius (the track's inner face runs on it), mm.

    Usual: 60 to 120 mm.
    Measure: calliper or tape across, halved.
    If wrong: the loop's length is out by 3 mm for each mm, and the sag with it.
    Also called: idler size, half the diameter.
    """

    tensioner: Tensioner | None = None
    """Its spring. Left out: the idler is bolted in its slot.

    Also called: track tensioner, adjuster.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side in the hull's axes, and cut through."""
        return idler_sketches(self, around)

    def inside(self, around: Around, table: str = "") -> Around:
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
