"""The energy ledger of whole runs: what goes in is what is stored, moved or lost (conservation of energy)."""

from __future__ import annotations

from pathlib import Path

import pytest

from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.vehicle import load_vehicle

SCENARIOS = Path(__file__).parents[2] / "scenarios"
VEHICLES = sorted(file.stem for file in (SCENARIOS / "vehicles").glob("*.toml"))
COURSES = sorted((SCENARIOS / "courses").glob("*.toml"))


@pytest.mark.parametrize("name", VEHICLES)
def test_every_shipped_pair_closes(name: str) -> None:
    """Design: within 1 % of the energy put through, at the worst moment of each run. Held to 0.7 % (0.58 % measured,
    Mole, 128 kg, over a 150 mm kerb; others 0.36 %), on ground without edges to 0.15 % (0.1 % measured)."""
    vehicle = load_vehicle(SCENARIOS / "vehicles" / f"{name}.toml")
    for file in COURSES:
        result = run(vehicle, load_course(file))
        assert result.summary["energy_error"] < (
            0.0015 if file.stem in ("garden-path", "ripples", "rough-track") else 0.007
        ), file.stem


@pytest.mark.parametrize("course", ["ripples", "rough-track"])
def test_it_closes_at_any_step(course: str) -> None:
    """What stays open is no fault of the law: over ground without edges it is below 0.1 % at 0.25 ms too."""
    vehicle = load_vehicle(SCENARIOS / "vehicles" / "teasel.toml")
    result = run(vehicle, load_course(SCENARIOS / "courses" / f"{course}.toml"), dt_ms=0.25)
    assert result.summary["energy_error"] < 0.001
