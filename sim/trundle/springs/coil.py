"""A helical coil between a seat on the arm and a seat on the hull."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.step import Better, By, Kept, Stock
from trundle.fields.stock import CoilSteelName, SpanMm, StockMm
from trundle.springs.answers import MadeOf, StockRow
from trundle.springs.doubtful import Doubts, On
from trundle.springs.pressed_coil import PressedCoil, coil_steel, drawn_as
from trundle.steel import coil as formulas
from trundle.steel.materials import UNKNOWN_SCRAP, Steel
from trundle.steel.sizes import SPRING_STEELS, WIRES_MM
from trundle.steel.wire import WIRES
from trundle.units import MM


class Coil(PressedCoil):
    """A coil of round wire, by what it is wound of, pressed between two seats.

    Also called: coil spring, compression spring, helical spring
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "coil"\non_arm_mm = 110\nanchor_mm = [85, 105]\nabove_arm_mm = 15\nwire_mm = 7\nmean_diameter_mm = 45\n'
        'coils = 9\nfree_length_mm = 150\nsteel = "EN 10270-1 SM"\n'
    )

    kind: Literal["coil"] = "coil"

    wire_mm: Annotated[StockMm, Stock(WIRES_MM)]
    """Wire diameter, mm.

    Usual: 4 to 10.
    Measure: calliper across the wire, paint scraped off.
    If wrong: rate goes with its fourth power: 5 % too thick and the spring is a fifth too stiff.
    Also called: bar diameter, wire gauge
    """

    mean_diameter_mm: Annotated[StockMm, By(2)]
    """Diameter of the coil at the middle of the wire, outside less one wire, mm: not the outside.

    Usual: 5 to 9 wires.
    Measure: calliper over the outside, less one wire.
    If wrong: rate goes with its third power: the outside put in for it makes a coil of 7 mm wire and 50 mm a third too
    soft.
    Also called: coil diameter, pitch diameter
    """

    coils: Annotated[float, Field(gt=0, le=100), By(1)]
    """Active coils: those that open and close, all turns less the dead ones.

    Usual: 5 to 10.
    Measure: count all turns from tip to tip, quarter turns too, less end_coils. Check: press it on a bathroom scale
    under a drill press, kilograms more for 20 mm more, x 0.49, is the rate on the sheet.
    If wrong: the rate is wrong by as much: 7 for 8 is 14 %.
    Also called: active turns, working coils, number of coils
    """

    free_length_mm: Annotated[SpanMm, By(10)]
    """Length off the vehicle, nothing on it, end to end, mm.

    Usual: two to three times its outside diameter.
    Measure: calliper or rule from end to end, standing free.
    If wrong: the hull stands higher or lower by the difference times the arm's leverage.
    Also called: uncompressed length
    """

    end_coils: Annotated[float, Field(ge=0, le=4), Kept("follows from what it joins")] = 2.0
    """Dead coils, both ends together: those that lie on their neighbour and do not open.

    Usual: 2: both ends bent in and ground flat.
    Measure: feeler gauge: count how far from each tip the turns touch.
    If wrong: the rate is as wrong as `coils`, and it goes solid earlier or later.
    Also called: inactive coils, closed ends
    """

    steel: Annotated[CoilSteelName, Better((SPRING_STEELS, WIRES))] = UNKNOWN_SCRAP
    """What it is wound of: drawn wire (EN 10270-1 SL, SM, SH), or a spring steel that is hardened after winding.

    Usual: EN 10270-1 SM for one from a catalogue or wound cold; unknown scrap for one off a vehicle.
    Measure: the seller; else press it solid once, in a vice between boards, nobody in line with it: if it comes back
    shorter by a hair, its yield was passed, at the stress that the sheet gives for solid.
    If wrong: the margin of the spring is wrong, not how the vehicle stands.
    Also called: material, grade, wire
    """

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

    @property
    def dead_coils(self) -> float:
        """As it is wound."""
        return self.end_coils

    def measured(self) -> frozenset[str]:
        """What it is wound of, and its length."""
        return frozenset({"wire_mm", "mean_diameter_mm", "coils", "end_coils", "free_length_mm", "steel"})

    def made_of(self) -> MadeOf:
        """Its spring steel."""
        return MadeOf(coil_steel(self.steel, self.wire_mm * MM))

    def stock(self) -> tuple[StockRow, ...]:
        """The coil as a spring maker takes the order."""
        outside, turns = self.mean_diameter_mm + self.wire_mm, self.coils + self.end_coils
        asked = f"wire {self.wire_mm:g}, {outside:g} outside, {turns:g} turns"
        return (
            StockRow(
                "coil", 1, self.free_length_mm, steel=self.steel, asked=asked, measured="free",
                mass_kg=formulas.mass_kg(self.wire_mm * MM, self.mean_diameter_mm * MM, turns, self.free_m),
            ),
        )  # fmt: skip

    def doubtful(self, on: On) -> Doubts:
        """Its seats."""
        yield from self.seats_doubtful(on)

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()
