"""A vehicle whose parts are worked out by hand in tests: Teasel on short arms, all three bogies made alike."""

from __future__ import annotations

from typing import Any

from sheet_parts import teasel_data

from trundle.spec.vehicle import Vehicle, vehicle_from

BUILD: dict[str, Any] = {
    # Threads may be bent: its bolt is then the shortest that reaches through its nut, M14 x 150.
    "axle": {
        "thread": "M14",
        "grade": "8.8",
        "held": "between wheels",
        "wheels_apart_mm": 44.0,
        "tooth_width_mm": 30.0,
        "threads_in_bend": True,
    },
    "pivot": {"thread": "M16", "grade": "8.8", "held": "both sides", "sleeve_mm": 42.0, "sleeve_outside_mm": 24.0},
    "arm": {
        "kind": "square tube",
        "side_mm": 40.0,
        "thickness_mm": 3.0,
        "steel": "S355",
        "pivot_from_end_mm": 22.0,
        "axle_to_end_mm": 24.0,
    },
    "weld": {"sleeve_mm": 24.0, "sleeve_length_mm": 40.0, "throat_mm": 3.0},
    "adjuster": {"thread": "M12", "travel_mm": 15.0},
}
"""Arms of 150 mm: 196 of tube each. Between the hubs, as wide as their treads of 40, 44 mm: sleeve 40, 2 mm beside."""


def by_hand(**settings: Any) -> Vehicle:
    """It, checked; settings: `path__with__dots=value`."""
    data = teasel_data()
    for bogie in data["bogie"].values():
        bogie["build"] = {**{k: dict(v) for k, v in BUILD.items()}, "bracket": bogie["build"]["bracket"]}
        bogie["arm_mass_kg"] = 1.5
    return vehicle_from(data, {k.replace("__", "."): v for k, v in settings.items()})
