"""A vehicle file with everything that the sheet can use, invented for the tests."""

from __future__ import annotations

from typing import Any

from own_vehicles import SHORT_ARMS

from trundle.spec.reader import parse_toml
from trundle.spec.vehicle import Vehicle, vehicle_from

BUILD: dict[str, Any] = {
    "axle": {
        "thread": "M12",
        "grade": "8.8",
        "held": "between wheels",
        "wheels_apart_mm": 44.0,
        "tooth_width_mm": 30.0,
    },
    "pivot": {"thread": "M14", "grade": "8.8", "held": "both sides", "sleeve_mm": 42.0},
    "arm": {
        "kind": "channel",
        "side_mm": 40.0,
        "thickness_mm": 4.0,
        "steel": "S235",
        "pivot_from_end_mm": 22.0,
        "axle_to_end_mm": 24.0,
        "holes_from_back_mm": 18.0,
    },
    "bracket": {
        "plate_mm": 8.0,
        "length_mm": 150.0,
        "height_mm": 110.0,
        "pivots_from_bottom_mm": 26.0,
        "hull_thread": "M10",
        "hull_bolts_apart_mm": 110.0,
        "hull_bolts_from_top_mm": 18.0,
    },
    "weld": {"sleeve_mm": 18.0, "throat_mm": 3.0},
    "adjuster": {"thread": "M12", "travel_mm": 15.0},
}


def teasel_data() -> dict[str, Any]:
    """Teasel on short arms with one way of making all three bogies."""
    data = parse_toml(SHORT_ARMS.read_text(encoding="utf-8"), "teasel")
    for bogie in data["bogie"].values():
        bogie["build"] = {k: dict(v) for k, v in BUILD.items()}
    return data


def built(**settings: Any) -> Vehicle:
    """The same, checked; settings: `path__with__dots=value`."""
    return vehicle_from(teasel_data(), {k.replace("__", "."): v for k, v in settings.items()})
