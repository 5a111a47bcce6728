"""A bought coil against the coil that is wound to the same, and drawn wire against its standard's table."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from kind_parts import teasel_on
from pydantic import ValidationError

from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.papers.springs import spring_sheets
from trundle.springs import Arm, BoughtCoil, Coil
from trundle.steel.wire import WIRES, drawn_wire, tensile_Pa
from trundle.units import MM, MPA

DEG = math.pi / 180

WOUND: dict[str, Any] = {
    "wire_mm": 7,
    "mean_diameter_mm": 44,
    "free_length_mm": 160,
    "on_arm_mm": 105,
    "anchor_mm": (85, 105),
    "steel": "EN 10270-1 SM",
}
COIL = Coil(coils=7, **WOUND)
BOUGHT: dict[str, Any] = {
    **WOUND,
    "rate_N_per_mm": COIL.rate_N_per_m * MM,
    "solid_length_mm": COIL.solid_m / MM,
}
UNKNOWN = {k: v for k, v in BOUGHT.items() if k not in ("wire_mm", "mean_diameter_mm", "steel")}
EXAMPLES = [BoughtCoil(**BOUGHT), BoughtCoil(**UNKNOWN)]
ARM = Arm(0.150, -4 * DEG, 47 * DEG, 15 * DEG)


@pytest.mark.parametrize("angle_deg", [-10.0, 11.0, 20.0, 32.0])
def test_it_is_the_coil_of_its_rate(angle_deg: float) -> None:
    """Hooke's law knows no more than rate, free and solid length; the stress is Wahl's of wire and diameter."""
    wound, bought = COIL.figures(angle_deg * DEG, ARM), BoughtCoil(**BOUGHT).figures(angle_deg * DEG, ARM)
    bare = BoughtCoil(**UNKNOWN).figures(angle_deg * DEG, ARM)
    for name in ("torque_Nm", "load_N", "deflection", "energy_J"):
        assert getattr(bought, name) == pytest.approx(getattr(wound, name), rel=1e-12)
        assert getattr(bare, name) == pytest.approx(getattr(wound, name), rel=1e-12)
    assert bought.stress_Pa == pytest.approx(wound.stress_Pa, rel=1e-12)
    assert bare.stress_Pa == 0.0
    assert np.allclose(BoughtCoil(**UNKNOWN).law(ARM).torque_Nm, COIL.law(ARM).torque_Nm, rtol=1e-12)


@pytest.mark.parametrize(
    ("name", "mm", "MPa"),
    [
        ("EN 10270-1 SL", 2.0, 1520), ("EN 10270-1 SL", 5.0, 1260), ("EN 10270-1 SL", 10.0, 1060),
        ("EN 10270-1 SM", 1.0, 1980), ("EN 10270-1 SM", 4.0, 1530), ("EN 10270-1 SM", 8.0, 1310),
        ("EN 10270-1 SH", 2.0, 1980), ("EN 10270-1 SH", 3.0, 1830), ("EN 10270-1 SH", 6.0, 1580),
    ],
)  # fmt: skip
def test_drawn_wire(name: str, mm: float, MPa: float) -> None:
    """Least tensile strength by EN 10270-1, table 3, from memory; the table is rounded to 10 MPa."""
    assert tensile_Pa(name, mm * MM) / MPA == pytest.approx(MPa, abs=15.0)


def test_allowed_shear_of_a_cold_coiled_spring() -> None:
    """0.56 of the tensile strength, EN 13906-1, from memory; stronger by grade, weaker by diameter."""
    for name in WIRES:
        assert drawn_wire(name, 5.0 * MM).shear_yield_Pa == pytest.approx(0.56 * tensile_Pa(name, 5.0 * MM))
    by_grade = [tensile_Pa(name, 5.0 * MM) for name in WIRES]
    assert by_grade == sorted(by_grade)
    assert tensile_Pa("EN 10270-1 SH", 8.0 * MM) < tensile_Pa("EN 10270-1 SH", 4.0 * MM)


def test_its_steel_reaches_the_sheet() -> None:
    """The margin is held against the wire's own strength; of an unknown wire the sheet says what would give it."""
    (known, *_) = spring_sheets(stand_level(teasel_on(BoughtCoil(**BOUGHT))))
    assert known.steel is not None
    assert known.steel.name == "EN 10270-1 SM"
    assert known.yield_MPa == pytest.approx(0.56 * (1980.0 - 740.0 * math.log10(7.0)), rel=1e-9)
    (unknown, *_) = spring_sheets(stand_level(teasel_on(BoughtCoil(**UNKNOWN))))
    assert unknown.steel is None
    assert "wire_mm and mean_diameter_mm" in unknown.no_steel


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"solid_length_mm": 160}, "leaves no stroke"),
        ({"wire_mm": None}, "needs both wire_mm and mean_diameter_mm"),
        ({"mean_diameter_mm": 10}, "too tight for 7 mm wire"),
        ({"steel": "EN 10270-1 SL", "wire_mm": 12, "mean_diameter_mm": 60}, "SL is not drawn to 12 mm"),
        ({"steel": "EN 10270-1"}, "unknown steel"),
    ],
)
def test_what_is_no_coil_is_refused(changes: dict[str, Any], says: str) -> None:
    with pytest.raises(ValidationError, match=says):
        BoughtCoil(**{**BOUGHT, **changes})


def test_drawn_wire_is_for_coils_only() -> None:
    """A leaf of wire is refused where it is read, with the steels that a leaf may have."""
    from trundle.springs import Leaf

    with pytest.raises(ValidationError, match="unknown steel"):
        Leaf(width_mm=36, thickness_mm=5, length_mm=260, bears_at_mm=95, free_angle_deg=48, steel="EN 10270-1 SM")


def test_a_coil_that_is_loose_everywhere_is_refused() -> None:
    with pytest.raises(InputError, match="never touches both seats"):
        BoughtCoil(**{**UNKNOWN, "free_length_mm": 90, "solid_length_mm": 60}).law(ARM)
