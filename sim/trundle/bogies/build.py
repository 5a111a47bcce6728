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
    """The bolt that the road wheels of one station turn on."""

    EXAMPLE: ClassVar[str] = """thread = "M14"
grade = "8.8"
held = "between wheels"
wheels_apart_mm = 44
tooth_width_mm = 30
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    held: Literal["between wheels", "one side", "both sides"]
    """between wheels: the arm in the middle, a wheel on each side. one side: all wheels on one side of the
    arm. both sides: a fork round the wheels."""

    wheels_apart_mm: Annotated[GapMm, Kept("the guide tooth passes there")] = 0.0
    """Clear gap between the two wheels of a pair, where the guide tooth passes, mm."""

    side_gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 2.0
    """Washer between arm and nearest hub ("one side", "both sides"), mm."""

    tooth_width_mm: Annotated[PlateMm, Kept("comes with the track")] | None = None
    """Width of the track's guide tooth, for its clearance, mm."""

    threads_in_bend: bool = False
    """true: threads lie where the bolt is bent (a plain shank there is 1.9 times stronger on 1/2 in)."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the axle."""
        return axle_sketches(self, around)


class PivotBolt(Spec):
    """The bolt that the arm turns on."""

    EXAMPLE: ClassVar[str] = """thread = "M16"
grade = "8.8"
held = "both sides"
sleeve_mm = 42
gap_mm = 2
"""

    thread: Annotated[ThreadName, Sizes((METRIC, INCH))]
    grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))]
    held: Literal["both sides", "one side"]
    """both sides: between two bracket plates. one side: a stub on one plate."""

    sleeve_mm: Annotated[PlateMm, By(5)]
    """Length of the arm's pivot sleeve along the bolt, mm."""

    gap_mm: Annotated[GapMm, Kept("follows from what it joins")] = 1.0
    """Washer or play on each side of the sleeve, mm."""

    threads_in_bend: bool = False

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through the pivot."""
        return pivot_sketches(self, around)


class ArmSection(Spec):
    """Stock of the arm (or beam) and where its holes lie."""

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
    """channel: cut from square tube, its legs upright, pins through both. flat: standing on edge."""

    side_mm: Annotated[PlateMm, Stock(SIDES_MM, along=SECTION_MASS)]
    """Side of the square tube; height of a flat; diameter of a round, mm."""

    thickness_mm: Annotated[PlateMm, Stock(WALLS_MM, along=SECTION_MASS)] | None = None
    """Wall of a tube or channel, thickness of a flat; left out for a solid round, mm."""

    cut: Literal["face", "face and corners"] = "face"
    """Channel only: what the saw takes off the tube."""

    depth_mm: Annotated[PlateMm, By(5)] | None = None
    """Channel only: how deep it is left, in place of `cut`, mm."""

    steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "unknown mild steel"
    pivot_from_end_mm: Annotated[LengthMm, Kept("follows from what it joins")]
    """Datum edge (the pivot's end) to the middle of the pivot hole, mm."""

    axle_to_end_mm: Annotated[LengthMm, Kept("follows from what it joins")]
    """Middle of the axle hole to the other end, mm."""

    holes_from_back_mm: Annotated[PlateMm, By(5)] | None = None
    """Back of the web (lower edge of other stock) to the middle of both holes; left out: the middle, mm."""

    pivot_hole_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Hole for pivot sleeve or bolt; left out: the bolt's own diameter, mm."""

    axle_hole_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Hole for axle sleeve or bolt; left out: the bolt's own diameter, mm."""

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
    """The plate (one of two when the pivot is held on both sides) that hangs from the hull."""

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
    """Thickness, mm."""

    length_mm: Annotated[LengthMm, By(20)]
    """Along the hull, mm."""

    height_mm: Annotated[LengthMm, By(10)]
    """Top edge (against the hull) to bottom edge, mm."""

    pivots_from_bottom_mm: Annotated[LengthMm, By(5)]
    """Bottom edge to the line of the pivot holes, mm."""

    steel: Annotated[PlateSteel, Better((PLATE_STEELS,))] = "unknown mild steel"
    hull_thread: Annotated[ThreadName, Sizes((METRIC, INCH))] | None = None
    """Bolts through the plate into the hull; left out: welded or not said."""

    hull_grade: Annotated[GradeName, Better((BOLT_GRADES, INCH_GRADES))] | None = None
    """Class of those bolts; left out: their strength is taken as class 4.6."""

    hull_bolts_apart_mm: Annotated[LengthMm, By(10)] | None = None
    """Between the two outer hull bolts, even about the plate's middle, mm."""

    hull_bolts_from_top_mm: Annotated[LengthMm, By(5)] | None = None
    """Top edge to the hull bolts, mm."""

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
    """The weld all round the axle sleeve."""

    EXAMPLE: ClassVar[str] = "sleeve_mm = 24\nthroat_mm = 4\n"

    sleeve_mm: Annotated[PlateMm, Kept("follows from what it joins")]
    """Outside diameter of the sleeve, mm."""

    throat_mm: Annotated[PlateMm, By(1)]
    """Throat of the fillet (0.7 of its leg), mm."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """From the side, and cut through."""
        return weld_sketches(self)


class Adjuster(Spec):
    """The screw that moves the leaf's seat (or the torsion bar's anchor)."""

    EXAMPLE: ClassVar[str] = 'thread = "M12"\ntravel_mm = 15\n'

    thread: Annotated[ThreadName, Kept("only sets the spring")]
    travel_mm: Annotated[LengthMm, Kept("only sets the spring")]
    """How far it can move, mm."""

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Cut through its plate."""
        return adjuster_sketches(self)


class ArmBuild(Spec):
    """All of it; what is left out is not checked, which is said."""

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
    pivot: PivotBolt | None = None
    arm: ArmSection | None = None
    bracket: Bracket | None = None
    weld: AxleWeld | None = None
    adjuster: Adjuster | None = None

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
