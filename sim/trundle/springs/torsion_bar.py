"""A torsion bar (or a bundle of equal ones) on the pivot of one arm."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, disc, line
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import Count, SpanMm, SteelName, StockMm, TurnDeg
from trundle.springs.answers import Adjuster, ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.base import ArmSpring
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.steel.bars import twist_rate, twist_stress
from trundle.steel.materials import UNKNOWN_SCRAP, steel
from trundle.steel.sizes import ROUNDS_MM, SPRING_STEELS
from trundle.units import DEG, MM


class TorsionBar(ArmSpring):
    """Torque = G J / L x (free angle - arm angle), both ways: the bar is gripped at both ends.

    `free_angle_deg` is the anchor preload: turn the anchor one degree and it moves one degree.
    """

    kind: Literal["torsion bar"] = "torsion bar"

    diameter_mm: Annotated[StockMm, Stock(ROUNDS_MM)]
    """Diameter of the round bar, mm."""

    length_mm: Annotated[SpanMm, By(50)]
    """Length that twists, between the inner edges of the grips, mm."""

    free_angle_deg: Annotated[TurnDeg, By(2)]
    """Arm angle below horizontal with the bar untwisted, set at the anchor, deg."""

    bore_mm: Annotated[float, Field(ge=0, le=500), Kept("follows from what it joins")] = 0.0
    """Hole through a hollow bar, mm."""

    bars: Annotated[Count, By(1, least=1)] = 1
    """Equal bars side by side on this arm, each twisted alike."""

    steel: Annotated[SteelName, Better((SPRING_STEELS,))] = UNKNOWN_SCRAP
    """Spring steel it is made of."""

    @model_validator(mode="after")
    def _bore_inside(self) -> TorsionBar:
        if self.bore_mm >= self.diameter_mm:
            raise PlacedError(
                f"bore_mm {self.bore_mm:g} leaves nothing of a {self.diameter_mm:g} mm bar",
                "bore_mm",
                allowed=f"below {self.diameter_mm:g}",
            )
        return self

    @property
    def rate_Nm_per_rad(self) -> float:
        """Torque per twist of all bars together [N.m/rad]."""
        return self.bars * twist_rate(self.diameter_mm * MM, self.length_mm * MM, self.bore_mm * MM)

    def _torque(self, angle_rad: Floats) -> Floats:
        return np.asarray(self.rate_Nm_per_rad * (self.free_angle_deg * DEG - angle_rad))

    def law(self, arm: Arm) -> PivotLaw:
        """The bar's law on this arm."""
        angles = arm.angles()
        return PivotLaw(angles, self._torque(angles))

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, twist, surface shear stress and stored energy at `angle_rad` [rad]."""
        torque = float(self._torque(np.array([angle_rad]))[0])
        twist = self.free_angle_deg * DEG - angle_rad
        stress = twist_stress(self.diameter_mm * MM, self.length_mm * MM, twist)
        notes = ("the bar is twisted against its working direction",) if twist < 0 else ()
        return SpringFigures(
            torque,
            0.0,
            twist,
            "rad",
            stress,
            "shear",
            0.5 * torque * twist,
            steel(self.steel).shear_yield_Pa,
            partial(tuple, notes),
        )

    def bears_m(self, mount: Mount) -> float:
        """It turns the pivot itself."""
        return 0.0

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(steel(self.steel))

    def stock(self) -> tuple[StockRow, ...]:
        """Every bar, with what its grips hold still to be added."""
        stock = f"round {self.diameter_mm:g}" + (f", bore {self.bore_mm:g}" if self.bore_mm else "")
        return (StockRow("torsion bar", self.bars, stock, self.steel, f"{self.length_mm:g} + both grips"),)

    def adjuster(self) -> Adjuster | None:
        """Its anchor, turned by the degree."""
        return Adjuster("free_angle_deg", 1.0, "1 deg", None)

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It stays straight."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: it sits in the pivot."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """The bar end-on; the spread between the two strokes is its twist."""
        turn = pose.sign * (pose.angles_rad[0] - self.free_angle_deg * DEG)
        radius = max(0.5 * self.diameter_mm, 8.0)
        a = np.linspace(0.0, turn, 16) + 0.5 * np.pi
        arc = np.stack([np.cos(a), np.sin(a)], axis=1)
        strokes = [line("mark", radius * np.array([[0.0, 0.0], 2.6 * end])) for end in (arc[0], arc[-1])]
        return disc("spring", 0.0, 0.0, radius), line("mark", 2.2 * radius * arc), *strokes
