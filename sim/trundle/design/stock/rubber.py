"""Blocks of rubber between steel plates, loaded in shear."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from trundle.design.stock.base import Place, StockAtHand, Try
from trundle.design.stock.between import FURTHEST, NEAREST
from trundle.springs.base import Spring
from trundle.springs.figures import Figures
from trundle.springs.rubber_block import RubberBlock
from trundle.steel import rubber
from trundle.units import MM, N_PER_MM

FARTHEST = 0.5
"""Shear of a bonded block, of its thickness, that it is good to (as the sheet has it)."""

MOST_BLOCKS = 4
"""Blocks on one arm, at most."""


class RubberAtHand(StockAtHand):
    """Rubber blocks bonded between plates (engine mounts, buffers): in shear, one or more for each arm."""

    kind: Literal["rubber block"] = "rubber block"

    hardness_irhd: Annotated[float, Field(ge=rubber.HARDNESS_RANGE[0], le=rubber.HARDNESS_RANGE[1])] = 60.0
    """Hardness, IRHD or Shore A. Left out: 60.

    Usual: 45 to 65; a car tyre has 60 to 65.
    Measure: with a pocket durometer, or beside something that is known.
    """

    width_mm: Annotated[float, Field(ge=10, le=400)]
    """One side of the rubber's bonded face, mm."""

    length_mm: Annotated[float, Field(ge=10, le=400)]
    """Other side of the bonded face, mm."""

    thickness_mm: Annotated[float, Field(ge=5, le=200)]
    """Rubber between its two plates, mm."""

    def tries(self, place: Place) -> Iterator[Try]:
        """One to four blocks, their lever where the rate is right."""
        _, g, _ = rubber.moduli(self.hardness_irhd)
        one = rubber.shear_rate(g, self.width_mm * self.length_mm * MM**2, self.thickness_mm * MM) / N_PER_MM
        for blocks in range(1, MOST_BLOCKS + 1):
            wanted = math.sqrt(place.rate_N_per_mm / (one * blocks))
            if wanted < 0.5 * NEAREST:
                continue
            lever = float(round(min(max(wanted, NEAREST), FURTHEST) * place.arm_mm))

            def made(deg: float, blocks: int = blocks, lever: float = lever) -> Spring:
                return RubberBlock(
                    mode="shear",
                    hardness_irhd=self.hardness_irhd,
                    width_mm=self.width_mm,
                    length_mm=self.length_mm,
                    thickness_mm=self.thickness_mm,
                    lever_mm=lever,
                    free_angle_deg=deg,
                    blocks=blocks,
                )

            yield Try(made, math.degrees(place.stands_rad), 120.0, 0.1 * (blocks - 1))

    def share(self, spring: Spring, figures: Figures) -> float:
        """Shear over what it is good to."""
        return abs(figures.top_deflection) / (FARTHEST * self.thickness_mm * MM)

    def others(self) -> Iterator[StockAtHand]:
        """Thicker and thinner ones, larger and smaller."""
        for size in (1.0, 1.25, 0.8, 1.6, 0.63, 2.0):
            for thick in (1.0, 1.25, 0.8, 1.6, 0.63, 2.0):
                if size * thick != 1.0:
                    yield self.model_copy(
                        update={
                            "width_mm": float(5 * max(round(self.width_mm * size / 5.0), 2)),
                            "length_mm": float(5 * max(round(self.length_mm * size / 5.0), 2)),
                            "thickness_mm": float(5 * max(round(self.thickness_mm * thick / 5.0), 1)),
                        }
                    )

    def words(self) -> str:
        """`rubber block 60 x 60 x 40 mm, 60 IRHD`."""
        return (
            f"rubber block {self.width_mm:g} x {self.length_mm:g}, {self.thickness_mm:g} mm thick, "
            f"{self.hardness_irhd:g} IRHD"
        )

    def guesses(self) -> dict[str, str]:
        """Its hardness, if nobody gave it."""
        return {} if "hardness_irhd" in self.model_fields_set else {"hardness_irhd": "nobody measured it"}
