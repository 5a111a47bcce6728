"""A bonded rubber block between arm and hull, in shear or compression."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from trundle.fields.shape import Shape, area
from trundle.fields.step import By
from trundle.fields.stock import Count, SpanMm, StockMm, TurnDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.bearing import refuse
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.steel import rubber
from trundle.units import DEG, MM


class RubberBlock(ArmSpring):
    """An estimate from hardness and size: force = rate x lever x (free angle - arm angle), at the lever.

    Compression pushes only and is linear here (real rubber stiffens beyond about a fifth of its thickness);
    shear is bonded on both faces, so it holds both ways, and is good to about half its thickness.
    """

    kind: Literal["rubber block"] = "rubber block"

    mode: Literal["compression", "shear"]
    """How the block is loaded."""

    hardness_irhd: Annotated[float, Field(ge=rubber.HARDNESS_RANGE[0], le=rubber.HARDNESS_RANGE[1]), By(10)]
    """Hardness, IRHD or Shore A."""

    width_mm: Annotated[StockMm, By(10)]
    """One side of the bonded face, mm."""

    length_mm: Annotated[StockMm, By(10)]
    """Other side of the bonded face, mm."""

    thickness_mm: Annotated[StockMm, By(5)]
    """Thickness of rubber between the bonded plates, mm."""

    lever_mm: Annotated[SpanMm, By(10)]
    """Pivot to the middle of the block, mm."""

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle below horizontal at which the block carries nothing, deg."""

    blocks: Annotated[Count, By(1, least=1)] = 1
    """Equal blocks side by side."""

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
        stock = f"rubber {self.hardness_irhd:g} IRHD, {self.width_mm:g} x {self.length_mm:g}"
        return (StockRow("rubber block", self.blocks, stock, "", f"{self.thickness_mm:g} thick"),)

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
