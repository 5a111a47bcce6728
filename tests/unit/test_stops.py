"""Where an arm's stops are, given as angle, height or travel: one geometry, each stop once."""

from __future__ import annotations

import math
from typing import Any

import pytest
from pydantic import ValidationError

from trundle.bogies.base import Stops
from trundle.errors import InputError

ARM = 150.0


def stops(**fields: Any) -> Stops:
    return Stops.model_validate(fields)


def degrees(made: Stops) -> tuple[float, ...]:
    return tuple(math.degrees(a) for a in made.angles_rad(ARM, "bogie.front"))


@pytest.mark.parametrize(
    "fields",
    [
        {"bump_below_level_deg": 5, "droop_below_level_deg": 35},
        {"bump_below_level_deg": 5, "travel_deg": 30},
        {"bump_axle_above_pivot_mm": -ARM * math.sin(math.radians(5)), "travel_deg": 30},
        {"bump_below_level_deg": 5, "travel_mm": ARM * (math.sin(math.radians(35)) - math.sin(math.radians(5)))},
        {
            "bump_axle_above_pivot_mm": -ARM * math.sin(math.radians(5)),
            "droop_axle_above_pivot_mm": -ARM * math.sin(math.radians(35)),
        },
    ],
)
def test_each_way_gives_the_same_stops(fields: dict[str, float]) -> None:
    """An arm of 150 mm from 5 to 35 degrees below level: heights by the sine."""
    made = stops(**fields)
    assert degrees(made) == pytest.approx((5.0, 35.0))
    droop, bump = made.axle_heights_mm(ARM)
    assert bump == pytest.approx(-13.0734, abs=1e-4)
    assert droop == pytest.approx(-86.0365, abs=1e-4)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"bump_below_level_deg": 5}, "give the droop stop once (it is not given)"),
        ({"travel_mm": 100}, "give the bump stop once (it is not given)"),
        (
            {"bump_below_level_deg": 5, "travel_mm": 80, "travel_deg": 30},
            "give the droop stop once (travel_deg and travel_mm given)",
        ),
        (
            {"bump_below_level_deg": 5, "droop_below_level_deg": 30, "travel_deg": 30},
            "give the droop stop once (droop_below_level_deg and travel_deg given)",
        ),
    ],
)
def test_a_stop_given_twice_or_not_at_all(fields: dict[str, float], words: str) -> None:
    with pytest.raises(ValidationError) as caught:
        stops(**fields)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("fields", "field", "words"),
    [
        ({"bump_below_level_deg": 5, "travel_mm": 140}, "travel_mm", "cannot be -153.073 mm from the pivot's height"),
        ({"bump_below_level_deg": 5, "travel_deg": 90}, "travel_deg", "its droop stop is 95.0 deg below level"),
        ({"bump_below_level_deg": 25, "droop_below_level_deg": 20}, "stops", "how far it travels is travel_deg"),
    ],
)
def test_stops_out_of_reach(fields: dict[str, float], field: str, words: str) -> None:
    """The field that is to be changed is named."""
    with pytest.raises(InputError) as caught:
        stops(**fields).angles_rad(ARM, "bogie.front")
    (problem,) = caught.value.problems
    assert problem.field.endswith(field)
    assert words in str(problem)
