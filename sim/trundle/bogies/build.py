"""How an arm is made and held: optional tables for strength, cut list and templates, [bogie.front.build]."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.bogies.build_drawing import (
    adjuster_sketches,
    axle_sketches,
    bracket_sketches,
    build_sketches,
    pivot_sketches,
    section_sketches,
    weld_sketches,
)
from trundle.fields.base import LengthMm, PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Along, Better, By, Kept, Sizes, Stock
from trundle.fields.stock import GradeName, PlateSteel, ThreadName
from trundle.steel.bolts import thread
from trundle.steel.sections import cut_depth
from trundle.steel.sizes import BOLT_GRADES, INCH, INCH_GRADES, METRIC, PLATE_STEELS, PLATES_MM, SIDES_MM, WALLS_MM
from trundle.units import MM

PlateMm = Annotated[float, Field(gt=0, le=200)]
"""Thickness or width of plate, tube or flat, mm."""

GapMm = Annotated[float, Field(ge=0, le=200)]
"""A gap, mm."""

SECTION_MASS = (Along(("arm_mass_kg", "beam_mass_kg"), above=2),)
"""What a section weighs is in the mass of the arm or beam that it is the stock of."""


class AxleBolt(Spec):
    """The bolt that the road wheels of one station turn on.

    Also called: axle, stub axle, wheel bolt, spindle.
    """

    EXAMPLE: ClassVar[str] = """thread = "M14"
grade = "8.8"
held = "between wheels"
wheels_apart_mm = 44
tooth_width_mm = 30
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    """Its size: a coarse thread, "M12" or "UNC 1/2".

    Usual: M12 to M16 (UNC 1/2 to 5/8).
    Measure: calliper on the plain shank; a thread gauge or a nut tells metric from inch.
    If wrong: bending stress goes with the cube of the diameter: a size less is 1.5 times the stress.
    Also called: bolt size, bolt diameter.
    """

    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    """Its property class, as stamped on the head: "8.8"; of inch bolts "grade 5" (three strokes), "grade 8" (six).

    Usual: 8.8.
    Measure: read the head; one without a mark is "unmarked", as weak as 4.6.
    If wrong: its margin is wrong in the ratio of the yields (8.8 over 4.6: 2.7).
    Also called: bolt grade, strength class, property class.
    """

    held: Literal["between wheels", "one side", "both sides"]
    """between wheels: the arm in the middle, a wheel on each side. one side: all wheels on one side of the arm. both
    sides: a fork round the wheels.

    If wrong: the bolt is bent by several times more, or less, than is told.
    Also called: cantilever, overhung, fork, double shear, single shear.
    """

    wheels_apart_mm: Annotated[GapMm, Kept("the guide tooth passes there")] = 0.0
    """Clear gap between the two wheels of a pair, from tread to tread, where the guide tooth passes, mm.

    Usual: the tooth's width and 8 to 16 mm.
    Measure: calliper between the tyres.
    If wrong: too little, the tooth climbs the tyres; too much, the axle bolt is bent more.
    Also called: wheel spacing, tooth clearance.
    """

    side_gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 2.0
    """Washer between arm and nearest hub, along the bolt ("one side", "both sides"), mm.

    Usual: 1.5 to 4 mm.
    Measure: calliper on the washers, or feeler gauge.
    If wrong: the bolt sticks out, and bends, by as much more or less.
    Also called: spacer, washer thickness.
    """

    tooth_width_mm: Annotated[PlateMm, Kept("comes with the track")] | None = None
    """Width of the track's guide tooth at its foot, across the vehicle, mm, for its clearance. Left out: that is not
    checked.

    Usual: 20 to 35 mm.
    Measure: calliper across the tooth.
    If wrong: it is told to clear the tyres where it climbs them.
    Also called: guide horn width, guide lug.
    """

    threads_in_bend: bool = False
    """true: threads lie where the bolt is bent (a plain shank there is 1.9 times stronger on 1/2 in).

    If wrong: false where threads are bent, and the bolt breaks at about half of what is told.
    Also called: fully threaded, set screw.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the axle."""
        return axle_sketches(self, around)


class PivotBolt(Spec):
    """The bolt that the arm turns on.

    Also called: pivot pin, hinge bolt, kingpin, clevis pin.
    """

    EXAMPLE: ClassVar[str] = """thread = "M16"
grade = "8.8"
held = "both sides"
sleeve_mm = 42
gap_mm = 2
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    """Its size: a coarse thread, "M16" or "UNC 5/8".

    Usual: M14 to M20 (UNC 1/2 to 3/4).
    Measure: calliper on the plain shank; a thread gauge or a nut tells metric from inch.
    If wrong: bending stress goes with the cube of the diameter: a size less is 1.5 times the stress.
    Also called: bolt size, bolt diameter.
    """

    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    """Its property class, as stamped on the head: "8.8"; of inch bolts "grade 5" (three strokes), "grade 8" (six).

    Usual: 8.8.
    Measure: read the head; one without a mark is "unmarked", as weak as 4.6.
    If wrong: its margin is wrong in the ratio of the yields (8.8 over 4.6: 2.7).
    Also called: bolt grade, strength class, property class.
    """

    held: Literal["both sides", "one side"]
    """both sides: between two bracket plates. one side: a stub on one plate.

    If wrong: a stub is bent several times as much as a bolt between two plates.
    Also called: double shear, single shear, clevis, cantilever.
    """

    sleeve_mm: Annotated[PlateMm, By(5)]
    """Length of the arm's pivot sleeve along the bolt, across the vehicle, mm.

    Usual: 40 to 70 mm.
    Measure: calliper over its two faces.
    If wrong: longer bends the bolt more; told too short, its margin looks better than it is.
    Also called: bushing length, boss, pivot tube.
    """

    gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 1.0
    """Washer or play on each side of the sleeve, mm.

    Usual: 0.5 to 2 mm.
    Measure: feeler gauge between sleeve and plate; calliper on the washer.
    If wrong: the bolt is bent by a little more or less.
    Also called: side play, shim, end float.
    """

    threads_in_bend: bool = False
    """true: threads lie where the bolt is bent, inside the sleeve or at a plate's face.

    If wrong: false where threads are bent, and the bolt breaks at about half of what is told.
    Also called: fully threaded, set screw.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the pivot."""
        return pivot_sketches(self, around)


class ArmSection(Spec):
    """Stock of the arm (or beam) and where its holes lie.

    Also called: arm profile, box section, tube, hollow section, RHS, SHS.
    """

    EXAMPLE: ClassVar[str] = """kind = "square tube"
side_mm = 40
thickness_mm = 3
steel = "S355"
pivot_from_end_mm = 22
axle_to_end_mm = 24
pivot_hole_mm = 24
axle_hole_mm = 24
"""

    kind: Literal["channel", "square tube", "flat", "round"]
    """channel: cut from square tube, its legs upright, pins through both. square tube; flat: standing on edge; round:
    bar, or tube with thickness_mm.

    If wrong: an open channel twists many times as easily as the tube that it was cut from.
    Also called: profile, box section, U section, flat bar, round bar.
    """

    side_mm: Annotated[PlateMm, Stock(SIDES_MM, along=SECTION_MASS)]
    """Outside: side of the square tube; height of a flat; diameter of a round, mm.

    Usual: 30 to 50 mm tube, 40 to 80 mm flat.
    Measure: calliper across it.
    If wrong: bending stress of a tube goes with about the square of it.
    Also called: tube size, height, outside diameter.
    """

    thickness_mm: Annotated[PlateMm, Stock(WALLS_MM, along=SECTION_MASS)] | None = None
    """Wall of a tube or channel, thickness of a flat, mm; left out for a solid round.

    Usual: 2.5 to 5 mm wall, 6 to 12 mm flat.
    Measure: calliper at a sawn end, clear of the weld seam.
    If wrong: stress goes about in inverse proportion.
    Also called: wall thickness, gauge.
    """

    cut: Literal["face", "face and corners"] = "face"
    """Channel only: what the saw takes off the tube: its face, or the face with both corners' rounding.

    If wrong: the legs are taken as deeper or shallower by one to two walls.
    """

    depth_mm: Annotated[PlateMm, By(5)] | None = None
    """Channel only: how deep it is left, from the back of its web to the legs' edges, in place of `cut`, mm.

    Usual: the tube's side less 1 to 2 walls.
    Measure: calliper over a leg.
    If wrong: bending stress goes with about its square.
    Also called: leg height, flange height.
    """

    steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "unknown mild steel"
    """Steel of the stock, for its yield.

    Usual: S235, tube often S355; "unknown mild steel" from the scrap heap.
    Measure: the merchant's paper, or the stamp on the tube.
    If wrong: its margin is wrong in the ratio of the yields (S355 over S235: 1.5).
    Also called: grade, mild steel, yield.
    """

    pivot_from_end_mm: Annotated[LengthMm, Kept("follows from what it joins")]
    """Datum edge (the pivot's end) to the middle of the pivot hole, along the arm, mm.

    Usual: half of side_mm, or a little more.
    Measure: calliper from end to the hole's edge, plus half the hole.
    If wrong: the cut list's length and the template are wrong; arm_mm is not.
    Also called: edge distance, end distance.
    """

    axle_to_end_mm: Annotated[LengthMm, Kept("follows from what it joins")]
    """Middle of the axle hole to the other end, along the arm, mm.

    Usual: half of side_mm, or a little more.
    Measure: calliper from end to the hole's edge, plus half the hole.
    If wrong: the cut list's length and the template are wrong; too little, the hole tears out.
    Also called: edge distance, end distance.
    """

    holes_from_back_mm: Annotated[PlateMm, By(5)] | None = None
    """Back of the web (lower edge of other stock) up to the middle of both holes, mm; left out: the middle.

    Usual: left out.
    Measure: calliper from the edge to the hole's edge, plus half the hole.
    If wrong: the arm is bent and twisted by its offset more, or less; wheels stand a little higher or lower.
    Also called: hole height.
    """

    pivot_hole_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Diameter of the hole for pivot sleeve or bolt, mm; left out: the bolt's own diameter.

    Usual: left out, or the sleeve's outside, 20 to 32 mm.
    Measure: calliper across the hole, or the drill that made it.
    If wrong: the section at the hole is weaker than is told.
    Also called: bore, pivot bore.
    """

    axle_hole_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Diameter of the hole for axle sleeve or bolt, mm; left out: the bolt's own diameter.

    Usual: left out, or the sleeve's outside, 20 to 28 mm.
    Measure: calliper across the hole, or the drill that made it.
    If wrong: the section at the hole is weaker than is told.
    Also called: bore, axle bore.
    """

    @model_validator(mode="after")
    def _whole(self) -> ArmSection:
        if self.thickness_mm is None and self.kind != "round":
            raise PlacedError(f'a "{self.kind}" needs thickness_mm', "thickness_mm")
        if self.kind != "channel" and self.depth_mm is not None:
            raise PlacedError(f'a "{self.kind}" has no depth_mm', "depth_mm", allowed='none, or kind = "channel"')
        height = self.side_mm if self.depth_mm is None else self.depth_mm
        if self.holes_from_back_mm is not None and self.holes_from_back_mm >= height:
            raise PlacedError(
                f"holes_from_back_mm {self.holes_from_back_mm:g} lies off the {height:g} mm section",
                "holes_from_back_mm",
                allowed=f"below {height:g}",
            )
        return self

    @property
    def wall_m(self) -> float:
        """Wall of a tube or channel, thickness of a flat [m]; only a solid round has none."""
        assert self.thickness_mm is not None
        return self.thickness_mm * MM

    @property
    def height_mm(self) -> float:
        """Height of the section as it stands on the vehicle [mm]."""
        if self.kind != "channel":
            return self.side_mm
        return self.depth_mm if self.depth_mm is not None else cut_depth(self.side_mm * MM, self.wall_m, self.cut) / MM

    @property
    def width_mm(self) -> float:
        """Width of the section across the vehicle [mm]."""
        return self.wall_m / MM if self.kind == "flat" else self.side_mm

    @property
    def holes_up_mm(self) -> float:
        """Back of the web, or lower edge, to the middle of the holes [mm]."""
        return self.holes_from_back_mm if self.holes_from_back_mm is not None else 0.5 * self.height_mm

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side with its holes, and cut across."""
        return section_sketches(self, around)


class Bracket(Spec):
    """The plate (one of two when the pivot is held on both sides) that hangs from the hull.

    Also called: pivot bracket, mounting plate, hanger, lug, ear.
    """

    EXAMPLE: ClassVar[str] = """plate_mm = 8
length_mm = 150
height_mm = 110
pivots_from_bottom_mm = 26
steel = "S235"
hull_thread = "M10"
hull_grade = "8.8"
hull_bolts_apart_mm = 110
hull_bolts_from_top_mm = 18
"""

    plate_mm: Annotated[PlateMm, Stock(PLATES_MM)]
    """Thickness of one plate, across the vehicle, mm.

    Usual: 5 to 10 mm.
    Measure: calliper at its edge.
    If wrong: stress in it goes in inverse proportion, sideways with the square.
    Also called: plate thickness.
    """

    length_mm: Annotated[LengthMm, By(20)]
    """Of the plate, along the hull, mm.

    Usual: 80 to 160 mm; at least the pivots' distance and three bolt diameters.
    Measure: calliper or tape along its top edge.
    If wrong: holes are told too near its ends, or its hull bolts too lightly loaded.
    Also called: plate length.
    """

    height_mm: Annotated[LengthMm, By(10)]
    """Top edge (against the hull) to bottom edge, mm.

    Usual: 80 to 140 mm.
    Measure: calliper or tape, square to the top edge.
    If wrong: the pivot's lever on the hull bolts is wrong.
    Also called: plate height, depth.
    """

    pivots_from_bottom_mm: Annotated[LengthMm, By(5)]
    """Bottom edge up to the line of the pivot holes, mm.

    Usual: 1.5 to 2 times the pivot bolt's diameter.
    Measure: calliper from the edge to the hole's edge, plus half the hole.
    If wrong: too little, the bolt tears out at the bottom; the plate is templated wrong.
    Also called: edge distance.
    """

    steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "unknown mild steel"
    """Steel of the plate, for its yield.

    Usual: S235; "unknown mild steel" from the scrap heap.
    Measure: the merchant's paper.
    If wrong: its margin is wrong in the ratio of the yields.
    Also called: grade, mild steel, yield.
    """

    hull_thread: Annotated[ThreadName, Sizes((METRIC, INCH))] | None = None
    """Size of the bolts through the plate into the hull; left out: welded or not said.

    Usual: M8 to M12.
    Measure: calliper on the shank; a thread gauge or a nut tells metric from inch.
    If wrong: their load is held against another bolt; holes are templated wrong.
    Also called: mounting bolts, fixing bolts.
    """

    hull_grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))] | None = None
    """Class of those bolts, as stamped on the head; left out: their strength is taken as class 4.6.

    Usual: 8.8.
    Measure: read the head.
    If wrong: their margin is wrong in the ratio of the yields.
    Also called: bolt grade, property class.
    """

    hull_bolts_apart_mm: Annotated[LengthMm, By(10)] | None = None
    """Between the two outer hull bolts, middle to middle along the hull, even about the plate's middle, mm. Left out,
    as the next: with hull_thread.

    Usual: two thirds of length_mm or more.
    Measure: calliper over both bolts, less one bolt.
    If wrong: closer together they are pulled harder by the same blow, in inverse proportion.
    Also called: bolt spacing, hole spacing.
    """

    hull_bolts_from_top_mm: Annotated[LengthMm, By(5)] | None = None
    """Top edge down to the hull bolts' middle, mm. Left out: with hull_thread.

    Usual: 1.5 to 2 bolt diameters.
    Measure: calliper from the edge to the hole's edge, plus half the hole.
    If wrong: the pivot's lever on them is wrong; the plate is templated wrong.
    Also called: edge distance.
    """

    @model_validator(mode="after")
    def _fits(self) -> Bracket:
        if self.pivots_from_bottom_mm >= self.height_mm:
            raise PlacedError(
                "pivots_from_bottom_mm lies above the plate's top edge",
                "pivots_from_bottom_mm",
                allowed=f"below {self.height_mm:g}",
            )
        given = (self.hull_thread, self.hull_bolts_apart_mm, self.hull_bolts_from_top_mm)
        if any(g is not None for g in given) and not all(g is not None for g in given):
            raise ValueError("give hull_thread, hull_bolts_apart_mm and hull_bolts_from_top_mm, or none of them")
        if self.hull_grade is not None and self.hull_thread is None:
            raise PlacedError("hull_grade is of bolts that are not given", "hull_grade", allowed="with hull_thread")
        if self.hull_bolts_apart_mm is not None and self.hull_bolts_apart_mm >= self.length_mm:
            raise PlacedError(
                "hull_bolts_apart_mm is wider than the plate",
                "hull_bolts_apart_mm",
                allowed=f"below {self.length_mm:g}",
            )
        return self

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, its edge beside it."""
        return bracket_sketches(self, around)


class AxleWeld(Spec):
    """The weld all round the axle sleeve, where it goes through the arm's side. Left out: it is not checked.

    Also called: fillet weld, weld bead, seam.
    """

    EXAMPLE: ClassVar[str] = "sleeve_mm = 24\nthroat_mm = 4\n"

    sleeve_mm: Annotated[PlateMm, Kept("follows from what it joins")]
    """Outside diameter of the sleeve, mm.

    Usual: the axle bolt and 8 to 12 mm: 20 to 28 mm.
    Measure: calliper across it.
    If wrong: the weld's stress in bending goes with the inverse of its square.
    Also called: boss, bush, axle tube.
    """

    throat_mm: Annotated[PlateMm, By(1)]
    """Throat of the fillet: from its root square to its face (0.7 of its leg), mm.

    Usual: 3 to 4 mm, not more than 0.7 of the thinner wall.
    Measure: leg of the bead by calliper or weld gauge, times 0.7.
    If wrong: given as the leg, the weld seems 1.4 times as strong as it is.
    Also called: weld size, a-dimension, leg.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, and cut through."""
        return weld_sketches(self)


class Adjuster(Spec):
    """The screw that moves the leaf's seat (or the torsion bar's anchor).

    Also called: preload screw, jacking screw, ride height adjuster.
    """

    EXAMPLE: ClassVar[str] = 'thread = "M12"\ntravel_mm = 15\n'

    thread: Annotated[ThreadName, Kept("only sets the spring")]
    """Its size: a coarse thread, "M12" or "UNC 1/2".

    Usual: M10 to M16.
    Measure: calliper on the thread; a thread gauge tells its pitch.
    If wrong: the sheet tells more or fewer turns than are left.
    Also called: screw size.
    """

    travel_mm: Annotated[LengthMm, Kept("only sets the spring")]
    """How far it can move the seat, from all the way out to all the way in, mm.

    Usual: 10 to 25 mm.
    Measure: calliper at both ends of its thread's reach.
    If wrong: the sheet tells turns that the screw has not.
    Also called: stroke, adjustment range.
    """

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through its plate."""
        return adjuster_sketches(self)


class ArmBuild(Spec):
    """How an arm is made and held: each table is asked for its strength and the sheet; what is left out is not checked,
    which is said.

    Also called: construction, fabrication, hardware.
    """

    EXAMPLE: ClassVar[str] = """pivot = { thread = "M16", grade = "8.8", held = "both sides", sleeve_mm = 42 }
weld = { sleeve_mm = 24, throat_mm = 4 }
adjuster = { thread = "M12", travel_mm = 15 }

[axle]
thread = "M14"
grade = "8.8"
held = "between wheels"
wheels_apart_mm = 44
tooth_width_mm = 30

[arm]
kind = "square tube"
side_mm = 40
thickness_mm = 3
steel = "S355"
pivot_from_end_mm = 22
axle_to_end_mm = 24

[bracket]
plate_mm = 8
length_mm = 150
height_mm = 110
pivots_from_bottom_mm = 26
hull_thread = "M10"
hull_bolts_apart_mm = 110
hull_bolts_from_top_mm = 18
"""

    axle: AxleBolt | None = None
    """The bolt that the wheels turn on. Left out: not checked.

    Also called: axle bolt.
    """

    pivot: PivotBolt | None = None
    """The bolt that the arm turns on. Left out: not checked.

    Also called: pivot bolt.
    """

    arm: ArmSection | None = None
    """Stock of the arm or beam, and its holes. Left out: neither cut nor checked.

    Also called: arm section, profile.
    """

    bracket: Bracket | None = None
    """The plate that it hangs from. Left out: neither cut nor checked.

    Also called: pivot bracket.
    """

    weld: AxleWeld | None = None
    """The weld round the axle's sleeve. Left out: not checked.

    Also called: fillet weld.
    """

    adjuster: Adjuster | None = None
    """The screw that sets its spring. Left out: no turns are told.

    Also called: preload screw.
    """

    @model_validator(mode="after")
    def _hole_in_plate(self) -> ArmBuild:
        if self.bracket is None or self.pivot is None:
            return self
        hole, height = 0.5 * thread(self.pivot.thread).diameter_m / MM, self.bracket.height_mm
        if not hole < self.bracket.pivots_from_bottom_mm < height - hole:
            fits = f"above {hole:g}, below {height - hole:g}" if 2.0 * hole < height else "a higher plate"
            raise PlacedError(self._over("edge"), "bracket", "pivots_from_bottom_mm", allowed=fits)
        if self.bracket.length_mm <= 2.0 * hole:
            raise PlacedError(self._over("end"), "bracket", "length_mm", allowed=f"above {2.0 * hole:g}")
        return self

    def needs_length(self, pivots_apart_mm: float) -> None:
        """Raises PlacedError, below the bogie's table, where the holes of two pivots so far apart [mm] run over the
        bracket's ends."""
        if self.bracket is None or self.pivot is None:
            return
        least = pivots_apart_mm + thread(self.pivot.thread).diameter_m / MM
        if self.bracket.length_mm <= least:
            raise PlacedError(self._over("end"), "build", "bracket", "length_mm", allowed=f"above {least:g}")

    def _over(self, side: str) -> str:
        return f"the hole for the {self.pivot.thread if self.pivot else ''} pivot runs over the plate's {side}"

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """The arm on its bracket."""
        return build_sketches(self, around)
