"""A coil bought by its rate, from a catalogue or off another vehicle."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.sketch import Around, Note, Sketch
from trundle.fields.step import Better, Kept, Times
from trundle.fields.stock import CoilSteelName, SpanMm, StockMm
from trundle.springs.answers import MadeOf, StockRow
from trundle.springs.doubtful import Doubts, On
from trundle.springs.on_arm import Curve
from trundle.springs.pressed_coil import PressedCoil, coil_steel, drawn_as
from trundle.steel import coil as formulas
from trundle.steel.materials import UNKNOWN_SCRAP, Steel
from trundle.steel.sizes import SPRING_STEELS
from trundle.steel.wire import WIRES
from trundle.units import MM, N_PER_MM

DRAWN_MM = (7.0, 45.0, 7.0)
"""Wire, mean diameter and turns that one of unknown sizes is drawn with, mm."""


class BoughtCoil(PressedCoil):
    """A coil known by rate, free and solid length; with its wire and mean diameter its stress is worked out as well.

    Also called: compression spring, valve spring, shock spring.
    """

    EXAMPLE: ClassVar[str] = (
        'kind = "bought coil"\non_arm_mm = 110\nanchor_mm = [85, 105]\nrate_N_per_mm = 24\nfree_length_mm = 150\n'
        'solid_length_mm = 70\nwire_mm = 7\nmean_diameter_mm = 45\nsteel = "EN 10270-1 SM"\n'
    )

    kind: Literal["bought coil"] = "bought coil"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=10_000), Times(1.25)]
    """Load that shortens it by one millimetre, N/mm.

    Usual: 5 to 80.
    Measure: stand it on a bathroom scale under a drill press; press it 20 mm further; the kilograms more, times 0.49.
    If wrong: ride height and heave are wrong with it: twice the rate is half the sag.
    """

    free_length_mm: Annotated[SpanMm, Kept("comes with the spring that is bought")]
    """Length off the vehicle, nothing on it, end to end, mm.

    Usual: two to three times its outside diameter.
    Measure: calliper or rule from end to end, standing free.
    If wrong: the hull stands higher or lower by the difference times the arm's leverage.
    """

    solid_length_mm: Annotated[SpanMm, Kept("comes with the spring that is bought")]
    """Length with every coil touching, mm.

    Usual: 40 to 60 % of the free length.
    Measure: press it in a vice until the coils touch (between boards, nobody in line with it); or wire times all turns.
    If wrong: it goes solid before the bump stop, and a hard blow goes straight into arm and hull.
    Also called: coil bind, solid height, block length
    """

    wire_mm: Annotated[StockMm, Kept("comes with the spring that is bought")] | None = None
    """Wire diameter, mm. Left out: its stress is not known.

    Usual: 4 to 10.
    Measure: calliper across the wire, paint scraped off.
    If wrong: the stress goes with its third power: 10 % is a third.
    """

    mean_diameter_mm: Annotated[StockMm, Kept("comes with the spring that is bought")] | None = None
    """Coil diameter at the middle of the wire: outside less one wire, mm. Left out: its stress is not known.

    Usual: 5 to 9 wires.
    Measure: calliper over the outside, less one wire.
    If wrong: the stress is wrong by as much.
    """

    steel: Annotated[CoilSteelName, Better((SPRING_STEELS, WIRES))] = UNKNOWN_SCRAP
    """What it is wound of: drawn wire (EN 10270-1 SL, SM, SH) or a spring steel. Counts only with wire and diameter.

    Usual: EN 10270-1 SM for a catalogue spring; unknown scrap for one off a car.
    Measure: the catalogue, or the seller; nothing in a garage tells drawn wires apart.
    If wrong: the margin of the spring is wrong, nothing else.
    """

    @model_validator(mode="after")
    def _is_a_coil(self) -> BoughtCoil:
        if self.solid_length_mm >= self.free_length_mm:
            raise PlacedError(
                f"solid_length_mm {self.solid_length_mm:g} leaves no stroke of {self.free_length_mm:g} mm free",
                "solid_length_mm",
                allowed=f"below {self.free_length_mm:g}",
            )
        if (self.wire_mm is None) != (self.mean_diameter_mm is None):
            absent = "wire_mm" if self.wire_mm is None else "mean_diameter_mm"
            raise PlacedError(
                f"stress needs both wire_mm and mean_diameter_mm; {absent} is missing", absent, allowed="both, or none"
            )
        if self.wire_mm is not None and self.mean_diameter_mm is not None:
            if self.mean_diameter_mm < 2.0 * self.wire_mm:
                raise PlacedError(
                    f"a mean diameter of {self.mean_diameter_mm:g} mm is too tight for {self.wire_mm:g} mm wire",
                    "mean_diameter_mm",
                    allowed=f"{2 * self.wire_mm:g} mm or more",
                )
            drawn_as(self.steel, self.wire_mm)
        return self

    @property
    def rate_N_per_m(self) -> float:
        """As it was bought [N/m]."""
        return self.rate_N_per_mm * N_PER_MM

    @property
    def free_m(self) -> float:
        """Length off the vehicle [m]."""
        return self.free_length_mm * MM

    @property
    def solid_m(self) -> float:
        """Length with all coils touching [m]."""
        return self.solid_length_mm * MM

    @property
    def wound_of(self) -> tuple[float, float, Steel] | None:
        """Wire and mean diameter [m], and its steel; None where they are not given."""
        if self.wire_mm is None or self.mean_diameter_mm is None:
            return None
        return self.wire_mm * MM, self.mean_diameter_mm * MM, coil_steel(self.steel, self.wire_mm * MM)

    @property
    def drawn_as_mm(self) -> tuple[float, float, float]:
        """As many turns as make its solid length."""
        if self.wire_mm is None or self.mean_diameter_mm is None:
            return DRAWN_MM
        return self.wire_mm, self.mean_diameter_mm, self.solid_length_mm / self.wire_mm

    @property
    def dead_coils(self) -> float:
        """Both ends, as most are."""
        return 2.0

    def measured(self) -> frozenset[str]:
        """Its lengths, and its wire where that is given."""
        wound = {"wire_mm", "mean_diameter_mm"} if self.wire_mm is not None else set()
        return frozenset({"free_length_mm", "solid_length_mm", "steel", *wound})

    def made_of(self) -> MadeOf:
        """Its steel where its wire is known."""
        if (wound := self.wound_of) is None:
            return MadeOf(None, "bought by its rate: with wire_mm and mean_diameter_mm its stress is worked out")
        return MadeOf(wound[2])

    def stock(self) -> tuple[StockRow, ...]:
        """As it is asked for at the counter."""
        size = "" if self.wire_mm is None else f", wire {self.wire_mm:g}, mean diameter {self.mean_diameter_mm:g}"
        asked = f"{self.rate_N_per_mm:g} N/mm{size}, solid at {self.solid_length_mm:g}"
        kg = None
        if self.wire_mm is not None:
            wire, mean, turns = self.drawn_as_mm
            kg = formulas.mass_kg(wire * MM, mean * MM, turns, self.free_m)
        return (StockRow("coil", 1, self.free_length_mm, asked=asked, measured="free", mass_kg=kg),)

    def doubtful(self, on: On) -> Doubts:
        """Its seats."""
        yield from self.seats_doubtful(on)

    def unranked(self) -> frozenset[str]:
        """Every field counts."""
        return frozenset()

    def sketches(self, around: Around) -> tuple[Sketch, ...]:
        """As of any coil; and its law."""
        pressed = np.linspace(0.0, 1.06 * (self.free_m - self.solid_m), 80)
        law = Curve(pressed, self.push_N(self.free_m - pressed))
        curve = Sketch("force over how far it is pressed", "curve", law.shapes(), (Note("rate_N_per_mm", law.on(0.5)),))
        return *super().sketches(around), curve
