"""Round bar of spring steel, to be twisted."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from trundle.design.stock.base import Place, StockAtHand, Try, nearest, yield_share
from trundle.fields.stock import SteelName
from trundle.springs.base import Spring
from trundle.springs.figures import Figures
from trundle.springs.torsion_bar import TorsionBar
from trundle.steel.bars import twist_rate
from trundle.steel.materials import UNKNOWN_SCRAP
from trundle.steel.sizes import ROUNDS_MM
from trundle.units import MM

GRIPPED_MM = 60.0
"""Length of a bar that its two grips take up."""

USUAL_BAR_MM = 1_000.0
"""A bar of which nobody says how long it is: bars are sold by the metre."""


class RoundBar(StockAtHand):
    """Round bar of spring steel: a torsion bar on the pivot of each arm."""

    kind: Literal["round bar"] = "round bar"

    diameter_mm: Annotated[float, Field(ge=3, le=60)]
    """Diameter of the bar, mm. Stiffness goes with its fourth power.

    Usual: 5 to 8 on a radio-controlled one, 10 to 18 on a ride-on.
    Measure: calliper, in two directions, rust scraped off.
    If wrong: half a millimetre of 12 is a sixth of the stiffness.
    """

    length_mm: Annotated[float, Field(ge=100, le=6_000)] | None = None
    """The longest piece that fits across the hull, with what the grips take (60 mm), mm. Left out: 1000.

    Measure: from the one side of the hull to where the bar's anchor can be.
    """

    steel: SteelName = UNKNOWN_SCRAP
    """Its spring steel. Left out: unknown scrap, for which a cautious yield is taken."""

    def tries(self, place: Place) -> Iterator[Try]:
        """One to three bars an arm, as long as the rate wants."""
        longest = (self.length_mm or USUAL_BAR_MM) - GRIPPED_MM
        level = place.arm_mm * math.cos(place.stands_rad) * MM
        wanted = place.rate_N_per_mm / MM * level**2  # N.m/rad
        met: set[tuple[int, float]] = set()
        for bars in (1, 2, 3):
            long = bars * twist_rate(self.diameter_mm * MM, 1.0) / wanted / MM
            length = float(10 * round(min(max(long, 12.0 * self.diameter_mm), longest) / 10.0))
            if length < 5.0 * self.diameter_mm or (bars, length) in met:
                continue
            met.add((bars, length))

            def made(deg: float, bars: int = bars, length: float = length) -> Spring:
                return TorsionBar(
                    diameter_mm=self.diameter_mm, length_mm=length, free_angle_deg=deg, bars=bars, steel=self.steel
                )

            yield Try(made, math.degrees(place.stands_rad), 170.0, 0.15 * (bars - 1))

    def share(self, spring: Spring, figures: Figures) -> float:
        """Shear stress over yield in shear."""
        return yield_share(figures)

    def others(self) -> Iterator[StockAtHand]:
        """Other diameters, as long as wanted."""
        for d in nearest(ROUNDS_MM, self.diameter_mm):
            yield self.model_copy(update={"diameter_mm": d, "length_mm": None})

    def words(self) -> str:
        """`round bar of 12 mm (51CrV4)`."""
        return f"round bar of {self.diameter_mm:g} mm ({self.steel})"

    def guesses(self) -> dict[str, str]:
        """The steel of a scrap bar."""
        return {"steel": "nobody tested it"} if self.steel == UNKNOWN_SCRAP else {}
