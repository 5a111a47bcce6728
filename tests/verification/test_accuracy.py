"""Figures of invented vehicles, on which nothing was adjusted, at default step and grid against a quarter of both."""

from __future__ import annotations

import pytest

from tests.verification.accuracy import NEAR, RUNS, compared, covered


@pytest.mark.slow
def test_figures_hold_against_a_quarter_of_step_and_grid() -> None:
    """To hold: of 20 runs 95 % of all figures within 3 % (95.1 % measured; 85 % when the ground was heights on a grid).
    And `--how-sure` covers the difference for nine figures in ten and more (96 % measured)."""
    found = list(compared())
    assert len({o.seed for o in found}) == RUNS
    assert sum(o.share <= NEAR for o in found) >= 0.95 * len(found)
    assert sum(covered(o) for o in found) >= 0.90 * len(found)


def test_figures_hold_on_three_vehicles() -> None:
    """Arms over a kerb, leaves over sleepers, beams over ripples: all figures within 5 % (2.1 % measured), but for the
    peak jolt along, within 7 % (5.4 % measured, over sleepers): the drive is of first order in the step, and a single
    blow's push along goes through it."""
    for off in compared((7, 9, 11)):
        assert off.share < (0.07 if off.figure.name == "peak_seat_forward_g" else 0.05), off
