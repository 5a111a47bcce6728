"""A bonded rubber block between arm and hull, in shear or compression."""

from __future__ import annotations

from functools import partial
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from trundle.fields.shape import Shape, area
from trundle.fields.sketch import Around, Mark, Note, Sketch, Span
from trundle.fields.sketch_parts import box
from trundle.fields.step import By
from trundle.fields.stock import Count, SpanMm, StockMm, TurnDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import refuse
from trundle.springs.doubtful import Doubts, On
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.springs.on_arm import above_free, in_hull, on_arm
from trundle.steel import rubber
from trundle.units import DEG, MM


class RubberBlock(ArmSpring):
    """A rubber block bonded between plates on arm and hull. An estimate from hardness and size: force = rate x lever x
    (free angle - arm angle), at the lever. Compression pushes only and is linear here (real rubber stiffens beyond
    about a fifth of its thickness); shear is bonded on both faces, so it holds both ways, and is good to about half its
    thickness.

    Also called: rubber spring, rubber mount, engine mount, bobbin, sandwich mount, elastomer
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "rubber block"\nmode = "compression"\nhardness_irhd = 55\nwidth_mm = 45\nlength_mm = 60\n'
        "thickness_mm = 60\nlever_mm = 60\nfree_angle_deg = 32\n"
    )

    kind: Literal["rubber block"] = "rubber block"

    mode: Literal["compression", "shear"]
    """How the block is loaded. compression: pressed together between its plates; shear: one plate slides along the
    other.

    Usual: compression.
    Measure: look: do its plates come nearer each other as the wheel rises, or pass each other?
    If wrong: a block is 4 to 20 times softer in shear: the hull is on its stops, or stands as on wood.
    """

    hardness_irhd: Annotated[float, Field(ge=rubber.HARDNESS_RANGE[0], le=rubber.HARDNESS_RANGE[1]), By(10)]
    """Hardness, IRHD, about the same number as Shore A.

    Usual: 50 to 65: a tyre's tread is 60 to 65, a rubber band 40.
    Measure: durometer; or moulded in its side. To be sure of the rate: block on a bathroom scale in a vice or drill
    press, press it by a tenth of its thickness: kilograms x 9.81 / mm, against the rate on the sheet.
    If wrong: 10 up makes it one and a half to two times as stiff.
    Also called: Shore A, durometer, shore hardness
    """

    width_mm: Annotated[StockMm, By(10)]
    """One side of the face that is bonded, across the hull, mm.

    Usual: 30 to 80.
    Measure: rule along the rubber, not along the plate.
    If wrong: the rate is wrong by as much in shear, by more in compression.
    """

    length_mm: Annotated[StockMm, By(10)]
    """Other side of the face that is bonded, along the arm, mm.

    Usual: 30 to 80.
    Measure: rule along the rubber, not along the plate.
    If wrong: the rate is wrong by as much in shear, by more in compression.
    """

    thickness_mm: Annotated[StockMm, By(5)]
    """Thickness of the rubber between its plates, nothing on it, mm.

    Usual: 30 to 60: five times what it is to be pressed.
    Measure: calliper over all, less both plates.
    If wrong: the rate is wrong by more than as much; too thin, and it is pressed beyond a fifth of it.
    """

    lever_mm: Annotated[SpanMm, By(10)]
    """From the pivot to the middle of the block, mm.

    Usual: a third to a half of the arm's length.
    Measure: rule from the middle of the pivot bolt to the middle of the rubber.
    If wrong: rate at the axle goes with its square: 10 % is a fifth.
    """

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle at which the block carries nothing, from the hull's horizontal down to the line from pivot to axle,
    deg.

    Usual: 5 to 15 deg lower than the arm stands.
    Measure: lift the hull, phone or level on the arm as it hangs, or where the block just touches.
    If wrong: a degree too low and the hull stands about arm length / 60 too high.
    """

    blocks: Annotated[Count, By(1, least=1)] = 1
    """Equal blocks side by side on this arm.

    Usual: 1 or 2.
    Measure: count them.
    If wrong: two for one is twice the rate.
    """

    @property
    def area_m2(self) -> float:
        """Bonded area of all blocks [m2]."""
        return self.blocks * self.width_mm * MM * self.length_mm * MM

    @property
    def rate_N_per_m(self) -> float:
        """Rate of all blocks together at small strain [N/m]."""
        e0, g, k = rubber.moduli(self.hardness_irhd)
        thick = self.thickness_mm * MM
        if self.mode == "shear":
            return rubber.shear_rate(g, self.area_m2, thick)
        shape = rubber.block_shape(self.width_mm * MM, self.length_mm * MM, thick)
        modulus = rubber.compression_modulus(e0, k, shape, rubber.BULK_PA)
        return rubber.compression_rate(modulus, self.area_m2, thick)

    def _shift(self, angle_rad: Floats) -> Floats:
        shift = np.asarray(self.lever_mm * MM * (self.free_angle_deg * DEG - angle_rad))
        return np.maximum(shift, 0.0) if self.mode == "compression" else shift

    def law(self, arm: Arm) -> PivotLaw:
        """The block's law on this arm. Raises InputError if the arm's range crushes it to nothing."""
        angles = arm.angles()
        shift = self._shift(angles)
        worst, thick = float(np.abs(shift).max()), self.thickness_mm * MM
        if self.mode == "compression" and worst >= thick:
            raise refuse(
                f"the arm's range presses a {self.thickness_mm:g} mm block by {worst / MM:.0f} mm",
                "thickness_mm",
            )
        return PivotLaw(angles, self.rate_N_per_m * shift * self.lever_mm * MM)

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, block load, shift, nominal stress and stored energy at `angle_rad` [rad]."""
        shift = float(self._shift(np.array([angle_rad]))[0])
        load = self.rate_N_per_m * shift
        limit = 0.2 if self.mode == "compression" else 0.5
        notes = []
        if abs(shift) > limit * self.thickness_mm * MM:
            notes.append(
                f"rubber in {self.mode} moves {abs(shift) / (self.thickness_mm * MM):.0%} of its thickness; "
                f"the estimate is good to about {limit:.0%}"
            )
        return SpringFigures(
            load * self.lever_mm * MM,
            load,
            shift,
            "m",
            abs(load) / self.area_m2,
            self.mode,
            0.5 * load * shift,
            notes_of=partial(tuple, notes),
        )

    def bears_m(self, mount: Mount) -> float:
        """At the middle of the block."""
        return self.lever_mm * MM

    def made_of(self) -> MadeOf:
        """Rubber: no yield to hold its stress against."""
        return MadeOf(None, "rubber: its nominal stress has no yield to be held against")

    def stock(self) -> tuple[StockRow, ...]:
        """Every block."""
        asked = f"rubber {self.hardness_irhd:g} IRHD, {self.width_mm:g} x {self.length_mm:g}"
        kg = rubber.DENSITY * self.width_mm * self.length_mm * self.thickness_mm * MM**3
        return (StockRow("rubber block", self.blocks, self.thickness_mm, asked=asked, measured="thick", mass_kg=kg),)

    def adjuster(self) -> Adjuster | None:
        """None."""
        return None

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is moulded."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: its plates are bonded."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    def doubtful(self, on: On) -> Doubts:
        """It is pressed between arm and hull, near the pivot."""
        if self.lever_mm > on.arm_mm:
            yield "lever_mm", f"it is {self.lever_mm:g} mm from the pivot of an arm of {on.arm_mm:g} mm"

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The block between its face on the arm and its face on the hull."""
        rest = self.free_angle_deg * DEG
        ahead = np.array([pose.sign * np.cos(pose.angles_rad[0]), -np.sin(pose.angles_rad[0])])
        lower, along = ahead * self.lever_mm, 0.5 * self.length_mm * ahead
        upper = self.lever_mm * np.array([pose.sign * np.cos(rest), -np.sin(rest)]) + (0.0, self.thickness_mm)
        across = np.array([pose.sign * 0.5 * self.length_mm, 0.0])
        return (area("rubber", np.array([lower - along, lower + along, upper + across, upper - across])),)

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """Between arm and hull from the side; by itself from the side and the front."""
        arm = on_arm(around, above_free(self.free_angle_deg))
        lines, turn = arm.free("free_angle_deg", self.free_angle_deg)
        block = self.shapes(arm.pose())
        marks: tuple[Mark, ...] = (
            Span("lever_mm", (0.0, 0.0), arm.along(self.lever_mm)),
            turn,
            Note("mode", (float(block[0].points[:, 0].mean()), float(block[0].points[:, 1].mean()))),
        )
        # The hull's plate, on the block's upper face.
        fore, aft = sorted(block[0].points[2:, 0].tolist(), reverse=True)
        high = float(block[0].points[2, 1])
        plate = box("steel", aft - 12.0, high, fore + 12.0, high + 6.0)
        on = in_hull(Sketch("on its arm", "side", (*lines, *arm.shapes(), *block, plate), marks), around)
        return on, self._by_itself("side"), self._by_itself("front")

    def _by_itself(self, view: Literal["side", "front"]) -> Sketch:
        """Nothing on it, between its two plates."""
        field, across = ("length_mm", self.length_mm) if view == "side" else ("width_mm", self.width_mm)
        half, high, plate = 0.5 * across, self.thickness_mm, 5.0
        shapes = (
            box("rubber", -half, 0.0, half, high),
            box("steel", -1.15 * half, -plate, 1.15 * half, 0.0),
            box("steel", -1.15 * half, high, 1.15 * half, high + plate),
        )
        marks: tuple[Mark, ...] = (Span(field, (-half, 0.0), (half, 0.0), "x"),)
        if view == "side":
            marks = (
                *marks,
                Span("thickness_mm", (half, 0.0), (half, high), "y"),
                Note("hardness_irhd", (0.0, 0.5 * high)),
                Note("kind", (-0.5 * half, 0.7 * high)),
            )
        else:
            marks = (*marks, Note("blocks", (0.0, 0.6 * high)))
        return Sketch("one block, free", view, shapes, marks)
