"""A helical coil between a seat on the arm and a seat on the hull."""

from __future__ import annotations

from functools import partial
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.shape import Shape, line
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import SpanMm, SteelName, StockMm
from trundle.springs.answers import ArmHole, Bending, MadeOf, Pose, StockRow
from trundle.springs.bearing import refuse
from trundle.springs.between_seats import BetweenSeats
from trundle.springs.figures import SpringFigures
from trundle.springs.laws import Arm, Floats, Mount, PivotLaw
from trundle.steel import coil as formulas
from trundle.steel.materials import UNKNOWN_SCRAP, steel
from trundle.steel.sizes import SPRING_STEELS, WIRES_MM
from trundle.units import MM

SOLID_TIMES = 20.0
"""A coil pressed solid is this many times stiffer than before. Touching wire is stiffer still; this is enough
to stop the arm within a few mm and keeps the step of a run bounded. A hull should never rest on it."""


class Coil(BetweenSeats):
    """Pushes along the line between its two seats; a loose coil pushes nothing.

    The bending of the coil as its seats tilt is left out. Pressed solid it gets 20 times its rate on top.
    """

    kind: Literal["coil"] = "coil"

    wire_mm: Annotated[StockMm, Stock(WIRES_MM)]
    """Wire diameter, mm."""

    mean_diameter_mm: Annotated[StockMm, By(2)]
    """Coil diameter at the middle of the wire (outside less one wire), mm."""

    coils: Annotated[float, Field(gt=0, le=100), By(1)]
    """Active coils, those that open and close."""

    free_length_mm: Annotated[SpanMm, By(10)]
    """Length off the vehicle, mm."""

    end_coils: Annotated[float, Field(ge=0, le=4), Kept("follows from what it joins")] = 2.0
    """Dead coils at the ends together (2: both ends squared and ground)."""

    steel: Annotated[SteelName, Better((SPRING_STEELS,))] = UNKNOWN_SCRAP
    """Spring steel it is made of."""

    @model_validator(mode="after")
    def _makes_a_coil(self) -> Coil:
        if self.mean_diameter_mm < 2.0 * self.wire_mm:
            raise PlacedError(
                f"a mean diameter of {self.mean_diameter_mm:g} mm is too tight for {self.wire_mm:g} mm wire",
                "mean_diameter_mm",
                allowed=f"{2 * self.wire_mm:g} mm or more",
            )
        if self.free_length_mm <= self.solid_m / MM:
            raise PlacedError(
                f"free_length_mm {self.free_length_mm:g} is not longer than the solid coil, {self.solid_m / MM:g} mm",
                "free_length_mm",
                allowed=f"above {self.solid_m / MM:g}",
            )
        return self

    @property
    def rate_N_per_m(self) -> float:
        """Rate of the coil along its axis [N/m]."""
        return formulas.rate(self.wire_mm * MM, self.mean_diameter_mm * MM, self.coils)

    @property
    def solid_m(self) -> float:
        """Length with all coils touching [m]."""
        return formulas.solid_length(self.wire_mm * MM, self.coils, self.end_coils)

    def push_N(self, length_m: Floats) -> Floats:
        """Force along the coil [N], 0 once it is loose."""
        short = np.maximum(self.free_length_mm * MM - length_m, 0.0)
        solid = np.maximum(self.solid_m - length_m, 0.0)
        return np.asarray(self.rate_N_per_m * (short + SOLID_TIMES * solid))

    def law(self, arm: Arm) -> PivotLaw:
        """The coil's law on this arm.

        Raises InputError if it is loose everywhere, lifts the axle somewhere, or has its seats meet.
        """
        angles = arm.angles()
        torque = self._torque(angles, "coil", self.wire_mm * MM)
        least = float(self._length(angles)[0].min())
        if least >= self.free_length_mm * MM:
            gap = least / MM - self.free_length_mm
            raise refuse(
                f"the coil never touches both seats: they come no closer than {least / MM:.0f} mm, "
                f"{gap:.0f} mm more than its free length",
                "free_length_mm",
            )
        return PivotLaw(angles, torque)

    def figures(self, angle_rad: float, arm: Arm) -> SpringFigures:
        """Torque, coil load, compression, Wahl shear stress, stored energy at `angle_rad` [rad]."""
        length, turn = self._at(angle_rad)
        load = float(self.push_N(np.array([length]))[0])
        short = max(self.free_length_mm * MM - length, 0.0)
        solid = max(self.solid_m - length, 0.0)
        wire, mean = self.wire_mm * MM, self.mean_diameter_mm * MM
        # Past solid the extra load goes through touching wire and bends nothing further.
        twisting = self.rate_N_per_m * (short - solid)
        energy = 0.5 * self.rate_N_per_m * (short**2 + SOLID_TIMES * solid**2)
        notes = []
        if solid > 0:
            notes.append("the coil is pressed solid")
        if not 4.0 <= mean / wire <= 12.0:
            notes.append(f"index D/d = {mean / wire:.1f}: outside 4 to 12 it is hard to wind or tangles")
        if self.free_length_mm * MM > formulas.slender_limit(mean):
            notes.append("slender coil: it can buckle unless guided by a rod or tube")
        return SpringFigures(
            load * turn,
            load,
            short,
            "m",
            formulas.stress(wire, mean, twisting),
            "shear",
            energy,
            steel(self.steel).shear_yield_Pa,
            partial(tuple, notes),
        )

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(self.steel)

    def stock(self) -> tuple[StockRow, ...]:
        """The coil as a spring maker takes the order."""
        outside, turns = self.mean_diameter_mm + self.wire_mm, self.coils + self.end_coils
        stock = f"coil, wire {self.wire_mm:g}, {outside:g} outside, {turns:g} turns"
        return (StockRow("coil", 1, stock, self.steel, f"{self.free_length_mm:g} free"),)

    def bending(self, bump_deflection_m: float) -> Bending | None:
        """It is wound, not bent to a former."""
        return None

    def arm_holes(self) -> tuple[ArmHole, ...]:
        """None: its seat is welded or turned on."""
        return ()

    def remarks(self, mount: Mount) -> tuple[str, ...]:
        """Nothing beyond its figures."""
        return ()

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def shapes(self, pose: Pose) -> tuple[Shape, ...]:
        """Its turns as a zigzag between the seats; a loose coil, shorter than the room it has, stands on the arm."""
        low, high = self._seats_mm(pose)
        between = high - low
        room = max(float(np.hypot(*between)), 1e-6)
        along = between / room
        across = np.array([-along[1], along[0]]) * 0.5 * self.mean_diameter_mm
        n = max(2, round(2.0 * (self.coils + self.end_coils)))
        t = np.linspace(0.0, min(room, self.free_length_mm), n + 1)
        swing = np.where(np.arange(n + 1) % 2 == 0, -1.0, 1.0)
        return (line("spring", low + t[:, None] * along + swing[:, None] * across, self.wire_mm),)
