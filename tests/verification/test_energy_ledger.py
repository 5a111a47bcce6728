"""The energy ledger of whole runs: what goes in is what is stored, moved or lost (conservation of energy)."""

from __future__ import annotations

from pathlib import Path

import pytest
from rigs import kerb, roll
from rigs import vehicle as vehicle_of

from trundle.result.run import run
from trundle.spec.course import load_course
from trundle.spec.vehicle import load_vehicle

SCENARIOS = Path(__file__).parents[2] / "scenarios"
VEHICLES = sorted(file.stem for file in (SCENARIOS / "vehicles").glob("*.toml"))
COURSES = sorted((SCENARIOS / "courses").glob("*.toml"))
SHORT_ARMS = Path(__file__).parents[1] / "vehicles" / "short-arms.toml"


@pytest.mark.parametrize("name", VEHICLES)
def test_every_shipped_pair_closes(name: str) -> None:
    """To hold: within 0.5 % of motor work and change of height and motion, at the worst moment of each run
    (0.16 % measured, Teasel into the ditch; in all others 0.11 or less)."""
    vehicle = load_vehicle(SCENARIOS / "vehicles" / f"{name}.toml")
    for file in COURSES:
        assert run(vehicle, load_course(file), near=1).summary["energy_error"] < 0.005, file.stem


@pytest.mark.parametrize("height", [0.05, 0.1, 0.15, 0.2])
def test_over_a_kerb_it_closes_the_better_the_shorter_the_step(height: float) -> None:
    """To hold: within 0.5 % at kerbs to 200 mm, falling with the step: what stays open is no fault of the law. Held to
    0.1 % (0.069 % measured), and to little over half of it at each step half as long (0.15 to 0.54 measured). On short
    arms, whose stops are hit hard; the idler is bolted."""
    vehicle = load_vehicle(SHORT_ARMS)
    errors = [roll(vehicle, kerb(height), 5.0, dt)[1].unaccounted() for dt in (1e-3, 5e-4, 2.5e-4)]
    assert errors[0] < 0.001
    assert errors[1] < 0.6 * errors[0]
    assert errors[2] < 0.6 * errors[1]


@pytest.mark.parametrize("bogie", ["single arm", "paired arms"])
def test_a_crawl_over_an_edge_closes(bogie: str) -> None:
    """160 kg at 0.08 m/s over a kerb of 50 mm, where edges press into the tyres for seconds: within 0.005 % (0.001 %
    measured; with the band's forces off the slope of its length, 0.5 %)."""
    _, log = roll(vehicle_of(bogie, **{"hull.mass_kg": 96}), kerb(0.05, speed=0.08), 46.0, end_m=5.6)
    assert log("run", "x")[-1] > 4.0
    assert log.unaccounted() < 5e-5


@pytest.mark.parametrize("course", ["ripples", "rough-track"])
def test_it_closes_at_any_step(course: str) -> None:
    """Over ground without edges it is below 0.05 % at 0.25 ms."""
    vehicle = load_vehicle(SCENARIOS / "vehicles" / "teasel.toml")
    result = run(vehicle, load_course(SCENARIOS / "courses" / f"{course}.toml"), dt_ms=0.25, near=1)
    assert result.summary["energy_error"] < 0.0005
