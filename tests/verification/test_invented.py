"""Invented vehicles: every seed gives one, the same each time, and all kinds are among them."""

from __future__ import annotations

import pytest
from invented import BOGIES, SPRINGS, course, vehicle

from trundle.engine.simulate import at_start
from trundle.result.run import run
from trundle.terrain.ground import lay


def test_all_kinds_and_sizes_are_among_them() -> None:
    """Forty seeds: every bogie and spring kind, with a track and without, from light to heavy; none stands on its
    belly or on its bump stops (at_start refuses that), and the same seed gives the same file."""
    made = [vehicle(seed) for seed in range(40)]
    bogies = {b.kind for v in made for b in v.bogie.values()}
    arms = [b.arm if b.kind == "walking beam" else b for v in made for b in v.bogie.values()]
    assert bogies == {k for k in BOGIES if k != "bare beam"}
    assert {a.spring.kind for a in arms if a is not None} == set(SPRINGS)
    assert None in arms
    assert {v.track is None for v in made} == {True, False}
    masses = sorted(v.hull.mass_kg for v in made)
    assert 30.0 <= masses[0] < 60.0
    assert 400.0 < masses[-1] <= 600.0
    assert vehicle(11) == made[11]


@pytest.mark.parametrize("seed", [3, 8])
def test_it_drives_over_its_course(seed: int) -> None:
    made = vehicle(seed)
    over = course(seed, made)
    assert at_start(made, lay(over)).standing.residual_N < 1e-3 * made.hull.mass_kg
    assert run(made, over, near=1).completed
