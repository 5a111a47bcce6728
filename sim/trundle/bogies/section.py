"""What an arm or beam is cut from, and where its holes lie."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.bogies.build_drawing import section_sketches
from trundle.fields.base import LengthMm, PlacedError, Spec
from trundle.fields.sketch import Around, Sketch
from trundle.fields.step import Along, Better, By, Kept, Stock
from trundle.fields.stock import PlateSteel
from trundle.steel.sections import cut_depth
from trundle.steel.sizes import PLATE_STEELS, SIDES_MM, WALLS_MM
from trundle.units import MM

PlateMm = Annotated[float, Field(gt=0, le=200)]
"""Thickness or width of plate, tube or flat, mm."""

SECTION_MASS = (Along(("arm_mass_kg", "beam_mass_kg"), above=2),)
"""What a section weighs is in the mass of the arm or beam that it is the stock of."""


class ArmSection(Spec):
    """Stock of the arm (or beam) and where its holes lie.

    Also called: arm profile, box section, tube, hollow section, RHS, SHS.
    """

    EXAMPLE: ClassVar[str] = """kind = "channel"
side_mm = 40
thickness_mm = 3
depth_mm = 35
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
    """Diameter of the hole for pivot sleeve or bolt, mm; left out: the sleeve's outside where pivot.sleeve_outside_mm
    gives it, else the bolt's own diameter.

    Usual: left out, or the sleeve's outside, 20 to 32 mm.
    Measure: calliper across the hole, or the drill that made it.
    If wrong: the section at the hole is weaker than is told.
    Also called: bore, pivot bore.
    """

    axle_hole_mm: Annotated[PlateMm, Kept("follows from what it joins")] | None = None
    """Diameter of the hole for axle sleeve or bolt, mm; left out: the outside of the sleeve that is welded in
    (weld.sleeve_mm), else the bolt's own diameter.

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
