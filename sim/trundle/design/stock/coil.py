"""A coil spring, known by what it is wound of or by its rate."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, model_validator

from trundle.design.stock.base import Place, StockAtHand, Try, nearest, yield_share
from trundle.design.stock.between import FURTHEST, anchor, seat_for
from trundle.fields.base import PlacedError
from trundle.fields.stock import CoilSteelName
from trundle.springs.base import Spring
from trundle.springs.bought_coil import BoughtCoil
from trundle.springs.coil import Coil
from trundle.springs.figures import Figures
from trundle.springs.pressed_coil import PressedCoil
from trundle.steel import coil as formulas
from trundle.steel.materials import UNKNOWN_SCRAP
from trundle.steel.sizes import WIRES_MM
from trundle.units import MM, N_PER_MM

END_COILS = 2.0
"""Dead coils of a compression spring with both ends squared."""

FEWEST_COILS = 3.0
"""A coil is not cut down to fewer active ones: its ends would not stay flat."""


def coil_share(spring: Spring, figures: Figures) -> float:
    """Stress over yield, or travel used up over the coil's own, whichever is more."""
    assert isinstance(spring, PressedCoil)
    used = figures.top_deflection / max(spring.free_m - spring.solid_m, 1e-6)
    return max(yield_share(figures), 0.95 * used)


class CoilAtHand(StockAtHand):
    """A coil, measured with a calliper: one for each arm."""

    kind: Literal["coil"] = "coil"

    wire_mm: Annotated[float, Field(ge=1, le=25)]
    """Wire diameter, mm. Stiffness goes with its fourth power.

    Usual: 4 to 12.
    Measure: calliper across the wire, paint scraped off.
    If wrong: a tenth more is half as stiff again.
    """

    outside_mm: Annotated[float, Field(ge=5, le=250)]
    """Outside diameter of the coil, mm.

    Usual: six to ten wires.
    Measure: calliper over the outside of the turns.
    """

    coils: Annotated[float, Field(ge=1.5, le=60)]
    """Turns that open and close: all that you count, less the two at the ends that lie flat.

    Usual: 5 to 12.
    Measure: count along a line drawn down the spring; the flat end turns do not count.
    """

    free_length_mm: Annotated[float, Field(ge=20, le=1_000)]
    """Length with nothing on it, mm.

    Usual: two to three times its outside diameter.
    Measure: rule from end to end, standing free.
    """

    steel: CoilSteelName = UNKNOWN_SCRAP
    """What it is wound of. Left out: unknown scrap, for which a cautious yield is taken.

    Usual: "unknown scrap" off another vehicle, "EN 10270-1 SM" from a catalogue.
    """

    @model_validator(mode="after")
    def _is_a_coil(self) -> CoilAtHand:
        if self.outside_mm < 3.0 * self.wire_mm:
            raise PlacedError(
                f"outside_mm {self.outside_mm:g} is too tight for wire of {self.wire_mm:g} mm",
                "outside_mm",
                allowed=f"{3.0 * self.wire_mm:g} or more",
            )
        solid = (self.coils + END_COILS) * self.wire_mm
        if self.free_length_mm <= 1.1 * solid:
            raise PlacedError(
                f"{self.coils:g} turns and two flat ends of {self.wire_mm:g} mm wire are {solid:g} mm long when they "
                f"touch: {self.free_length_mm:g} mm leaves no travel",
                "free_length_mm",
                allowed=f"above {1.1 * solid:.0f}",
            )
        return self

    @property
    def _rate_N_per_mm(self) -> float:
        return formulas.rate(self.wire_mm * MM, (self.outside_mm - self.wire_mm) * MM, self.coils) / N_PER_MM

    def tries(self, place: Place) -> Iterator[Try]:
        """As it is; and cut down where it is too soft as it is."""
        yield self._seated(place, self.coils)
        needed = place.rate_N_per_mm / FURTHEST**2
        if self._rate_N_per_mm < 0.98 * needed:
            for share in (1.0, 0.8):
                left = round(2.0 * self.coils * self._rate_N_per_mm / needed * share) / 2.0
                if FEWEST_COILS <= left < self.coils:
                    yield self._seated(place, left)

    def _seated(self, place: Place, coils: float) -> Try:
        at = seat_for(self._rate_N_per_mm * self.coils / coils, place)
        ends = END_COILS * self.wire_mm
        free = (self.free_length_mm - ends) * coils / self.coils + ends

        def made(pressed: float) -> Spring:
            return Coil(
                wire_mm=self.wire_mm,
                mean_diameter_mm=self.outside_mm - self.wire_mm,
                coils=coils,
                free_length_mm=round(free, 1),
                on_arm_mm=at,
                anchor_mm=anchor(at, place.top_mm, free - pressed, place.stands_rad),
                above_arm_mm=place.top_mm,
                steel=self.steel,
            )

        cut = f"cut each coil from {self.coils:g} down to {coils:g} active turns" if coils < self.coils else ""
        travel = free - (coils + END_COILS) * self.wire_mm
        return Try(made, 0.0, 0.97 * travel, 0.4 if cut else 0.0, cut)

    def share(self, spring: Spring, figures: Figures) -> float:
        """Stress or travel, whichever is nearer its end."""
        return coil_share(spring, figures)

    def others(self) -> Iterator[StockAtHand]:
        """Other wires, the coil in proportion: outside, travel and turns stay."""
        for wire in nearest(WIRES_MM, self.wire_mm):
            if self.outside_mm >= 4.0 * wire:
                more = (self.coils + END_COILS) * (wire - self.wire_mm)
                yield self.model_copy(
                    update={"wire_mm": wire, "free_length_mm": round(self.free_length_mm + max(more, 0.0))}
                )

    def words(self) -> str:
        """`coil of 6.5 mm wire, 56 mm outside, 8 turns, 150 mm free (unknown scrap)`."""
        return (
            f"coil of {self.wire_mm:g} mm wire, {self.outside_mm:g} mm outside, {self.coils:g} turns, "
            f"{self.free_length_mm:g} mm free ({self.steel})"
        )

    def guesses(self) -> dict[str, str]:
        """The steel of a scrap coil, and its ends."""
        return {"steel": "nobody tested it"} if self.steel == UNKNOWN_SCRAP else {}


class CoilByRate(StockAtHand):
    """A coil known by rate, free and solid length, as a catalogue gives it: one for each arm."""

    kind: Literal["coil by rate"] = "coil by rate"

    rate_N_per_mm: Annotated[float, Field(gt=0, le=10_000)]
    """Load that shortens it by one millimetre, N/mm.

    Usual: 5 to 80.
    Measure: stand it on a bathroom scale under a drill press; press it 20 mm further; the kilograms more, times 0.49.
    """

    free_length_mm: Annotated[float, Field(ge=20, le=1_000)]
    """Length with nothing on it, mm."""

    solid_length_mm: Annotated[float, Field(ge=5, le=1_000)]
    """Length with all turns touching, mm.

    Usual: 40 to 60 % of the free length.
    Measure: wire diameter times all turns.
    """

    @model_validator(mode="after")
    def _has_travel(self) -> CoilByRate:
        if self.solid_length_mm >= 0.95 * self.free_length_mm:
            raise PlacedError(
                f"solid_length_mm {self.solid_length_mm:g} leaves no travel of {self.free_length_mm:g} mm free",
                "solid_length_mm",
                allowed=f"below {0.95 * self.free_length_mm:.0f}",
            )
        return self

    def tries(self, place: Place) -> Iterator[Try]:
        """One seat, where the lever gives the wanted rate."""
        at = seat_for(self.rate_N_per_mm, place)

        def made(pressed: float) -> Spring:
            return BoughtCoil(
                rate_N_per_mm=self.rate_N_per_mm,
                free_length_mm=self.free_length_mm,
                solid_length_mm=self.solid_length_mm,
                on_arm_mm=at,
                anchor_mm=anchor(at, place.top_mm, self.free_length_mm - pressed, place.stands_rad),
                above_arm_mm=place.top_mm,
            )

        yield Try(made, 0.0, 0.97 * (self.free_length_mm - self.solid_length_mm))

    def share(self, spring: Spring, figures: Figures) -> float:
        """Travel used up; no stress is known."""
        return coil_share(spring, figures)

    def others(self) -> Iterator[StockAtHand]:
        """Rates in steps of a quarter."""
        for k in (1.25, 0.8, 1.6, 0.63, 2.0, 0.5, 2.5, 0.4, 3.2, 0.32, 4.0, 0.25):
            yield self.model_copy(update={"rate_N_per_mm": float(f"{self.rate_N_per_mm * k:.2g}")})

    def words(self) -> str:
        """`coil of 24 N/mm, 150 mm free, 70 mm solid`."""
        return (
            f"coil of {self.rate_N_per_mm:g} N/mm, {self.free_length_mm:g} mm free, {self.solid_length_mm:g} mm solid"
        )

    def guesses(self) -> dict[str, str]:
        """None."""
        return {}
