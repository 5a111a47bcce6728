"""How an arm is made and held: optional tables for strength, cut list and templates, [bogie.front.build]."""

from __future__ import annotations

from typing import Annotated, ClassVar

from pydantic import model_validator

from trundle.bogies.build_drawing import bracket_sketches, build_sketches
from trundle.bogies.joints import Adjuster, AxleBolt, AxleWeld, PivotBolt
from trundle.bogies.section import ArmSection, PlateMm
from trundle.fields.base import LengthMm, PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Better, By, Sizes, Stock
from trundle.fields.stock import GradeName, PlateSteel, ThreadName
from trundle.steel.bolts import thread
from trundle.steel.sizes import BOLT_GRADES, INCH, INCH_GRADES, METRIC, PLATE_STEELS, PLATES_MM
from trundle.units import MM


class Bracket(Spec):
    """The plate (one of two when the pivot is held on both sides) that hangs from the hull.

    Also called: pivot bracket, mounting plate, hanger, lug, ear, tab, gusset.
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


class ArmBuild(Spec):
    """How an arm is made and held: each table is asked for its strength and the sheet; what is left out is not checked,
    which is said.

    Also called: construction, fabrication, hardware.
    """

    EXAMPLE: ClassVar[str] = """weld = { sleeve_mm = 24, sleeve_length_mm = 50, throat_mm = 3 }
adjuster = { thread = "M12", travel_mm = 15 }

[pivot]
thread = "M16"
grade = "8.8"
held = "both sides"
sleeve_mm = 46
sleeve_outside_mm = 24

[axle]
thread = "M14"
grade = "8.8"
held = "between wheels"
wheels_apart_mm = 52
tooth_width_mm = 36

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

    @property
    def pivot_hole_mm(self) -> float | None:
        """The arm's hole at its pivot: as given, for its sleeve, for its bolt [mm]; None: nothing says."""
        if self.arm is not None and self.arm.pivot_hole_mm is not None:
            return self.arm.pivot_hole_mm
        if self.pivot is None:
            return None
        outside = self.pivot.sleeve_outside_mm
        return outside if outside is not None else thread(self.pivot.thread).diameter_m / MM

    @property
    def axle_hole_mm(self) -> float | None:
        """The arm's hole at its axle: as given, for the sleeve that is welded in, for its bolt [mm]; None: nothing
        says."""
        if self.arm is not None and self.arm.axle_hole_mm is not None:
            return self.arm.axle_hole_mm
        if self.weld is not None:
            return self.weld.sleeve_mm
        return thread(self.axle.thread).diameter_m / MM if self.axle is not None else None

    @property
    def axle_held_mm(self) -> float | None:
        """How long the axle bolt is held by the arm, even about its middle: the welded sleeve, else the arm's width
        [mm]; None where neither is given."""
        if self.weld is not None and self.weld.sleeve_length_mm is not None:
            return self.weld.sleeve_length_mm
        return self.arm.width_mm if self.arm is not None else None

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
