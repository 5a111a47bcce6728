"""Any answers at all: a file that stands, or a refusal that names the cause; never a fault of the program."""

from __future__ import annotations

import pytest

from tests.unit.random_answers import random_answers
from trundle.design.answers import paths_of_answers
from trundle.design.proposal import proposed
from trundle.design.told import told
from trundle.design.written import file_text
from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.spec.vehicle import load_vehicle


def check(seed: int) -> bool:
    """Whether a design was proposed."""
    answers = random_answers(seed)
    refused: InputError | None = None
    try:
        proposal = proposed(answers)
    except InputError as e:
        refused = e
    if refused is not None:
        (problem,) = refused.problems
        assert problem.field in paths_of_answers(), f"{seed}: {refused}"
        assert problem.allowed, f"{seed}: {refused}"
        return False
    vehicle = load_vehicle("x.toml", text=file_text(proposal, "x.toml", "2026-11-28"))
    at = stand_level(vehicle)
    assert at.residual_N < 1e-3 * at.assembly.weight_N, seed
    assert abs(float(at.assembly.idler_mm[0] if at.assembly.idler_mm else 0.0)) < 10_000.0
    assert told(proposal), seed
    heave = proposal.stood.heave_Hz
    # What does not ride well is said, with the figure.
    assert 2.0 <= heave <= 4.0 or any("Hz" in fault for fault in proposal.judged.faults), seed
    return True


@pytest.mark.parametrize("seed", range(12))
def test_answers(seed: int) -> None:
    check(seed)


@pytest.mark.slow
def test_three_hundred_answers() -> None:
    """More than half of them can be built."""
    made = [check(seed) for seed in range(100, 400)]
    assert sum(made) > 150
