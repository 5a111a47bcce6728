"""What a part is cut from: form, size, steel, and what a metre of it weighs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, assert_never

from trundle.bogies.section import ArmSection
from trundle.steel.coil import STEEL_DENSITY
from trundle.steel.sections import square_tube
from trundle.units import MM

Form = Literal["square tube", "flat", "round bar", "round tube", "plate", "spring strip"]
"""Plate is bought by the area, all others by the length."""


@dataclass(frozen=True)
class Stock:
    """One section and steel. sizes_mm, as a merchant names them: (side, wall) of a square tube, (height, thickness) of
    a flat, (diameter,) of a round bar, (outside, wall) of a round tube, (thickness,) of plate, (width, thickness) of
    spring strip. steel: "" where nothing says it."""

    form: Form
    sizes_mm: tuple[float, ...]
    steel: str = ""

    @property
    def words(self) -> str:
        """As it is asked for."""
        size = " x ".join(f"{s:g}" for s in self.sizes_mm)
        match self.form:
            case "square tube":
                return f"square tube {self.sizes_mm[0]:g} x {size}"
            case "round tube":
                return f"round tube {size}"
            case "flat" | "round bar" | "plate" | "spring strip":
                return f"{self.form} {size}"
            case _:
                assert_never(self.form)

    @property
    def area_m2(self) -> float:
        """Of its section [m2]; of plate that of a strip 1 m wide."""
        a, *more = (s * MM for s in self.sizes_mm)
        match self.form:
            case "square tube":
                return square_tube(a, more[0]).area_m2
            case "flat" | "spring strip":
                return a * more[0]
            case "round bar":
                return math.pi / 4.0 * a * a
            case "round tube":
                return math.pi * more[0] * (a - more[0])
            case "plate":
                return a
            case _:
                assert_never(self.form)

    @property
    def kg_per_m(self) -> float:
        """Mass of a metre; of plate that of a square metre."""
        return self.area_m2 * STEEL_DENSITY


def stock_of(arm: ArmSection) -> Stock:
    """What an arm is cut from. A channel is sawn from square tube."""
    wall = arm.thickness_mm
    match arm.kind:
        case "channel" | "square tube":
            assert wall is not None
            return Stock("square tube", (arm.side_mm, wall), arm.steel)
        case "flat":
            assert wall is not None
            return Stock("flat", (arm.side_mm, wall), arm.steel)
        case "round":
            if wall is None:
                return Stock("round bar", (arm.side_mm,), arm.steel)
            return Stock("round tube", (arm.side_mm, wall), arm.steel)
        case _:
            assert_never(arm.kind)
