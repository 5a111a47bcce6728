"""The range of eight near runs holds the median of many that are drawn at random: in 95 of 100 cases.

Of eight independent draws the chance that all lie on one side of the median is 2 / 2^8, so that 99.2 % hold it; the
eight are not drawn but spread out evenly, which is no worse where a figure goes with speed or start.
"""

from __future__ import annotations

import pytest
from near_odds import COURSES, Pair, compared

from trundle.spec.shipped import names


def share(pairs: list[Pair]) -> float:
    return 1.0 - sum(len(p.outside) for p in pairs) / sum(p.cases for p in pairs)


def test_the_range_of_eight_holds_the_median_of_eighty() -> None:
    """Two light vehicles over a kerb."""
    pairs = [compared(vehicle, "kerb-50", many=80) for vehicle in ("barrow", "mole")]
    assert min(p.cases for p in pairs) > 20
    assert share(pairs) >= 0.95, [p.outside for p in pairs]


@pytest.mark.slow
def test_the_range_of_eight_holds_the_median_of_four_hundred() -> None:
    """Every shipped vehicle over two courses."""
    pairs = [compared(vehicle, course) for vehicle in names("vehicles") for course in COURSES]
    assert share(pairs) >= 0.95, [(p.vehicle, p.course, p.outside) for p in pairs if p.outside]
