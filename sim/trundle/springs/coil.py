"""A helical coil between a seat on the arm and a seat on the hull."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import CoilSteelName, SpanMm, StockMm
from trundle.springs.answers import MadeOf, StockRow
from trundle.springs.pressed_coil import PressedCoil, coil_steel, drawn_as
from trundle.steel import coil as formulas
from trundle.steel.materials import UNKNOWN_SCRAP, Steel
from trundle.steel.sizes import SPRING_STEELS, WIRES_MM
from trundle.steel.wire import WIRES
from trundle.units import MM


class Coil(PressedCoil):
    """A coil of round wire, by what it is wound of."""

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

    steel: Annotated[CoilSteelName, Better((SPRING_STEELS, WIRES))] = UNKNOWN_SCRAP
    """Spring steel it is made of: drawn wire (EN 10270-1 SL, SM, SH), or one that is hardened after winding."""

    @model_validator(mode="after")
    def _is_drawn(self) -> Coil:
        drawn_as(self.steel, self.wire_mm)
        return self

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

    @property
    def free_m(self) -> float:
        """Length off the vehicle [m]."""
        return self.free_length_mm * MM

    @property
    def wound_of(self) -> tuple[float, float, Steel]:
        """Wire and mean diameter [m], and its steel."""
        return self.wire_mm * MM, self.mean_diameter_mm * MM, coil_steel(self.steel, self.wire_mm * MM)

    @property
    def drawn_as_mm(self) -> tuple[float, float, float]:
        """As it is wound."""
        return self.wire_mm, self.mean_diameter_mm, self.coils + self.end_coils

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(coil_steel(self.steel, self.wire_mm * MM))

    def stock(self) -> tuple[StockRow, ...]:
        """The coil as a spring maker takes the order."""
        outside, turns = self.mean_diameter_mm + self.wire_mm, self.coils + self.end_coils
        stock = f"coil, wire {self.wire_mm:g}, {outside:g} outside, {turns:g} turns"
        return (StockRow("coil", 1, stock, self.steel, f"{self.free_length_mm:g} free"),)

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()
