"""One working piece of every kind: what the tests that go over all kinds try.

A spring kind with a test file of its own (test_spring_NAME.py) lists its pieces there, in EXAMPLES.
"""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

from own_vehicles import SHORT_ARMS

from trundle.bogies import Bogie
from trundle.spec.reader import parse_toml
from trundle.spec.shipped import find, names
from trundle.spec.vehicle import load_vehicle, vehicle_from
from trundle.springs import (
    AxleRate,
    Coil,
    Leaf,
    LeafAcross,
    PivotRate,
    RubberBlock,
    Spring,
    TorsionBar,
)

_OWN: list[Spring] = [
    PivotRate(rate_Nm_per_deg=2.5, free_angle_deg=50),
    AxleRate(rate_N_per_mm=6, free_angle_deg=55),
    TorsionBar(diameter_mm=13, length_mm=430, free_angle_deg=55, bore_mm=4, bars=2),
    Coil(wire_mm=7, mean_diameter_mm=44, coils=7, free_length_mm=160, on_arm_mm=105, anchor_mm=(85, 105)),
    Leaf(width_mm=36, thickness_mm=5, length_mm=260, bears_at_mm=95, free_angle_deg=48, full_leaves=2),
    RubberBlock(
        mode="compression",
        hardness_irhd=55,
        width_mm=45,
        length_mm=60,
        thickness_mm=60,
        lever_mm=38,
        free_angle_deg=45,
    ),
    LeafAcross(
        width_mm=40,
        thickness_mm=3,
        full_leaves=3,
        length_mm=320,
        free_radius_mm=400,
        seat_above_pivots_mm=8,
        arm_top_mm=20,
    ),
    LeafAcross(
        width_mm=40,
        thickness_mm=3,
        full_leaves=2,
        graduated_leaves=2,
        length_mm=320,
        free_radius_mm=600,
        seat="clamp",
        clamp_mm=40,
        clamp_fit="curved",
        seat_above_pivots_mm=4,
        arm_top_mm=20,
    ),
]


def springs() -> list[Spring]:
    """All pieces of all spring kinds; each carries Teasel on its arms of 150 mm."""
    files = sorted(Path(__file__).parent.glob("test_spring_*.py"))
    return [*_OWN, *(piece for file in files for piece in importlib.import_module(file.stem).EXAMPLES)]


def bogies() -> dict[str, Bogie]:
    """One bogie of every kind that the shipped vehicles have, and a beam without an arm, by a name."""
    found: dict[str, Bogie] = {}
    for name in names("vehicles"):
        for bogie in load_vehicle(find("vehicles", name)).bogie.values():
            found.setdefault(bogie.kind_name(), bogie)
    found["walking beam on the hull"] = found["walking beam"].model_copy(update={"arm": None})
    return found


def teasel_on(spring: Spring) -> Any:
    """Teasel with this spring in all three bogies, as a checked vehicle."""
    data = parse_toml(SHORT_ARMS.read_text(encoding="utf-8"), "teasel")
    for bogie in data["bogie"].values():
        bogie["spring"] = spring.model_dump(mode="json", exclude_none=True)
    return vehicle_from(data)
