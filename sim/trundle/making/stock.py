"""What a part is cut from: form, size, steel, and what a metre of it weighs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import assert_never

from trundle.bogies.section import ArmSection
from trundle.steel import forms
from trundle.steel.coil import STEEL_DENSITY
from trundle.steel.forms import Form


@dataclass(frozen=True)
class Stock:
    """One section and steel. sizes_mm: as a merchant names them (`trundle.steel.forms.words`). steel: "" where nothing
    says it."""

    form: Form
    sizes_mm: tuple[float, ...]
    steel: str = ""

    @property
    def words(self) -> str:
        """As it is asked for."""
        return forms.words(self.form, self.sizes_mm)

    @property
    def area_m2(self) -> float:
        """Of its section [m2]; of plate that of a strip 1 m wide."""
        return forms.area_m2(self.form, self.sizes_mm)

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
