"""Steady drives over smooth slopes of vehicles that nobody has tuned: nothing hums, the work of slip never falls."""

from __future__ import annotations

import invented
import passivity
import pytest

SLOPES_DEG = (-25.0, -18.0, -10.0, -4.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0)
VEHICLES = 60
NOW = tuple(range(0, VEHICLES, 7))
"""Those that every run of the tests drives: nine of the ten slopes."""


def quiet(seed: int, share_of_step: float) -> None:
    made = invented.vehicle(seed)
    found = passivity.drive(made, SLOPES_DEG[seed * 7 % len(SLOPES_DEG)], share_of_step)
    assert found.steady_s > 1.5
    assert found.rms_m_s2 < 0.1
    assert found.least_slip_J >= 0.0
    assert found.loose == 0


@pytest.mark.parametrize("seed", NOW)
def test_nothing_hums_on_a_smooth_slope(seed: int) -> None:
    """To hold: seat r.m.s. under 0.1 m/s2 after 3 s, slip work never falls, the track does not begin to hang loose."""
    quiet(seed, 1.0)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [s for s in range(VEHICLES) if s not in NOW])
def test_nothing_hums_on_a_smooth_slope_all(seed: int) -> None:
    """The same for the rest of 60 vehicles."""
    quiet(seed, 1.0)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(VEHICLES))
def test_nothing_hums_at_a_quarter_of_the_step(seed: int) -> None:
    """A hum of the law's own would be there at any step."""
    quiet(seed, 0.25)
