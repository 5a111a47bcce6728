"""Strip of spring steel, new or from a scrap leaf."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from trundle.design.stock.base import Place, StockAtHand, Try, nearest, yield_share
from trundle.fields.stock import SteelName
from trundle.springs.base import Spring
from trundle.springs.figures import Figures
from trundle.springs.leaf import Leaf
from trundle.springs.leaf_across import LeafAcross
from trundle.steel.materials import E_STEEL, UNKNOWN_SCRAP
from trundle.steel.sizes import LEAF_WIDTHS_MM, LEAVES_MM

MOST_LEAVES = 12
"""Leaves in a stack, at most: more of them are a pile of friction."""

SHORT_OF_AXLE_MM = 12.0
"""A leaf's end stays so far short of the axle, for the wheel's hub."""

CLAMPED_MM = 60.0
"""Length of strip that the clamp of a leaf on one arm takes up."""


class LeafStrip(StockAtHand):
    """Flat strip of spring steel: a leaf from a scrap vehicle spring, or new strip."""

    PAIRS: ClassVar[bool] = True

    kind: Literal["leaf strip"] = "leaf strip"

    width_mm: Annotated[float, Field(ge=10, le=200)]
    """Width of the strip, mm.

    Usual: 30 to 60.
    Measure: calliper across the flat.
    """

    thickness_mm: Annotated[float, Field(ge=1, le=25)]
    """Thickness of one strip, mm. Stiffness goes with its third power.

    Usual: 2 to 6 for these vehicles; leaves of cars have 6 to 10.
    Measure: calliper, rust and paint scraped off, in the middle of a worn leaf.
    If wrong: a tenth thicker is a third stiffer.
    """

    length_mm: Annotated[float, Field(ge=100, le=6_000)] | None = None
    """Length of one piece, along its curve, mm. Left out: long enough.

    Measure: string along the curve, then along a rule; without eyes and holes.
    """

    steel: SteelName = UNKNOWN_SCRAP
    """Its spring steel. Left out: unknown scrap, for which a cautious yield is taken.

    Usual: "unknown scrap" of an old leaf, "51CrV4" or "5160" of new strip that is sold hardened.
    Measure: bend-test a piece, see what the sheet says of unknown scrap.
    """

    def tries(self, place: Place) -> Iterator[Try]:
        """Across a pair, or from a clamp on the hull to one arm; as many leaves as the rate wants."""
        yield from self._on_one(place) if place.apart_mm is None else self._across(place, place.apart_mm)

    def _counts(self, wanted: float) -> tuple[int, ...]:
        """Numbers of leaves about the wanted one."""
        low = min(max(int(wanted), 1), MOST_LEAVES)
        return tuple(sorted({low, min(low + 1, MOST_LEAVES)}))

    @property
    def _one_N_mm2(self) -> float:
        """E I of one leaf [N.mm2]."""
        return E_STEEL * 1e-6 * self.width_mm * self.thickness_mm**3 / 12.0

    def _across(self, place: Place, apart: float) -> Iterator[Try]:
        bears = place.arm_mm * math.cos(place.stands_rad) - SHORT_OF_AXLE_MM
        half = bears + 0.5 * apart
        if self.length_mm is not None and 2.0 * half > self.length_mm:
            half = 0.5 * self.length_mm
            bears = half - 0.5 * apart
        if bears < 0.3 * place.arm_mm:
            return
        rate = place.rate_N_per_mm * (place.arm_mm / bears) ** 2
        for leaves in self._counts(rate * half**3 / (3.0 * self._one_N_mm2)):
            stiff = 3.0 * leaves * self._one_N_mm2 / half**3
            bent = place.load_N * place.arm_mm / bears / stiff
            stack = leaves * self.thickness_mm
            arm_face = -bears * math.tan(place.stands_rad) + place.top_mm / math.cos(place.stands_rad)
            rise = max(place.clear_mm - arm_face + bent, bent)
            if rise > 0.55 * half:
                continue
            # Round figures for the workshop; the arc's chord stays short of the axles.
            radius = float(round(half**2 / (2.0 * rise) / 10.0) * 10)
            length = float(math.floor(2.0 * half / 5.0) * 5)

            def made(down: float, leaves: int = leaves, radius: float = radius, length: float = length) -> Spring:
                return LeafAcross(
                    width_mm=self.width_mm,
                    thickness_mm=self.thickness_mm,
                    full_leaves=leaves,
                    length_mm=length,
                    free_radius_mm=radius,
                    seat_above_pivots_mm=-down,
                    arm_top_mm=place.top_mm,
                    steel=self.steel,
                )

            middle = arm_face - bent + stack + rise
            yield Try(made, -middle - 150.0, -middle + 150.0, 0.02 * leaves)

    def _on_one(self, place: Place) -> Iterator[Try]:
        bears = 0.8 * place.arm_mm * math.cos(place.stands_rad)
        rate = place.rate_N_per_mm * (place.arm_mm / bears) ** 2
        most = 1.6 * place.arm_mm
        if self.length_mm is not None:
            most = min(most, self.length_mm - CLAMPED_MM)
        for length in {float(5 * round(share * most / 5.0)) for share in (1.0, 0.8, 0.65)}:
            if length < 0.5 * place.arm_mm:
                continue
            for leaves in self._counts(rate * length**3 / (3.0 * self._one_N_mm2)):

                def made(deg: float, leaves: int = leaves, length: float = length) -> Spring:
                    return Leaf(
                        width_mm=self.width_mm,
                        thickness_mm=self.thickness_mm,
                        full_leaves=leaves,
                        length_mm=length,
                        bears_at_mm=round(bears, 1),
                        free_angle_deg=deg,
                        arm_top_mm=place.top_mm,
                        steel=self.steel,
                    )

                yield Try(made, math.degrees(place.stands_rad), 74.0, 0.02 * leaves)

    def share(self, spring: Spring, figures: Figures) -> float:
        """Bending stress over yield."""
        return yield_share(figures)

    def others(self) -> Iterator[StockAtHand]:
        """Other thicknesses, then other widths."""
        for t in nearest(LEAVES_MM, self.thickness_mm):
            yield self.model_copy(update={"thickness_mm": t, "length_mm": None})
        for w in nearest(LEAF_WIDTHS_MM, self.width_mm):
            for t in (self.thickness_mm, *nearest(LEAVES_MM, self.thickness_mm)[:4]):
                yield self.model_copy(update={"width_mm": w, "thickness_mm": t, "length_mm": None})

    def words(self) -> str:
        """`leaf strip 40 x 3 mm (unknown scrap)`."""
        return f"leaf strip {self.width_mm:g} x {self.thickness_mm:g} mm ({self.steel})"

    def guesses(self) -> dict[str, str]:
        """The steel of a scrap leaf."""
        return {"steel": "nobody tested it"} if self.steel == UNKNOWN_SCRAP else {}
