"""Every shipped vehicle over five courses follows the run that was kept, and a small change of the law does not.

Source of the tolerances: twice what halving the step moves, for each column, half second and figure (see
reference_tolerance.py). A share is a difference in tolerances.
"""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

import numpy as np
import pytest

from tests.verification.reference_files import FOLDER, read
from tests.verification.reference_runs import COURSES, VEHICLES, Trace, roll
from tests.verification.reference_tolerance import Reference, Share, shares, windows
from trundle.spec.shipped import find

PAIRS = [(v, c) for v in VEHICLES for c in COURSES]


@cache
def kept(vehicle: str) -> dict[str, Reference]:
    return read(vehicle)


def worst(reference: Reference, now: Trace) -> Share:
    return max(shares(reference, now), key=lambda s: s.share)


@pytest.mark.parametrize(("vehicle", "course"), PAIRS)
def test_a_run_follows_its_reference(vehicle: str, course: str) -> None:
    """No difference above its tolerance. If the law was meant to change:
    `python -m tests.verification.references --check`, then `--write`."""
    reference = kept(vehicle)[course]
    found = worst(reference, roll(vehicle, course))
    assert found.share <= 1.0, found


@pytest.mark.parametrize(
    ("vehicle", "course", "field", "power"),
    [
        ("barrow", "kerb-50", "drive.grip", 1),
        ("teasel", "kerb-100", "drive.grip", 1),
        ("wren", "kerb-50", "drive.grip", 1),
        ("barrow", "half-round", "bogie.front.spring.rate_Nm_per_deg", 1),
        ("teasel", "kerb-50", "bogie.*.spring.thickness_mm", 3),
        ("otter", "kerb-50", "bogie.*.arm.spring.diameter_mm", 4),
        ("teasel", "kerb-50", "wheel.road.rubber_loss", 1),
        ("otter", "kerb-50", "wheel.road.rubber_loss", 1),
    ],
)
def test_two_percent_of_a_law_is_caught(vehicle: str, course: str, field: str, power: int) -> None:
    """Grip, a spring's rate (a leaf's goes with the cube of its thickness, a bar's with the fourth power of its
    diameter) or a tyre's loss, 2 % up: at least twice the tolerance somewhere (3.4 to 430 measured; on Teasel's soft
    springs over the half-round a tyre's loss hides in it)."""
    stated: dict[str, Any] = tomllib.loads(find("vehicles", vehicle).read_text(encoding="utf-8"))
    for name in field.split("."):
        stated = next(iter(stated.values())) if name == "*" else stated[name]
    changed = {field: stated * 1.02 ** (1 / power)}
    assert worst(kept(vehicle)[course], roll(vehicle, course, settings=changed)).share > 2.0


@pytest.mark.parametrize(
    ("vehicle", "course"),
    [("mole", "ripples"), ("teasel", "half-round"), ("teasel", "kerb-100"), ("wren", "sleepers")],
)
def test_rounding_lies_far_inside(vehicle: str, course: str) -> None:
    """A hull put off by 0.7 nm, thousands of times what rounding does: a hundredth of the tolerance in a calm run,
    inside it in those that are compared only as far as they are calm, or without some of their figures, which it would
    move too far (0.23, figures of Wren's sleepers)."""
    reference = kept(vehicle)[course]
    most = 1.0 if reference.sensitive or reference.left_out else 0.01
    assert worst(reference, roll(vehicle, course, moved_m=(7e-10, -7e-10))).share < most


def test_references_are_whole_and_small() -> None:
    """All pairs, less than a megabyte together. Most runs are compared to their end; those that are not, for three
    seconds at least, and with twenty of their figures."""
    assert sum(f.stat().st_size for f in FOLDER.iterdir()) < 1_000_000
    assert [(v, c) for v in VEHICLES for c in kept(v)] == PAIRS
    every = [r for v in VEHICLES for r in kept(v).values()]
    assert sum(r.sensitive for r in every) <= 7
    for r in every:
        assert r.until_s >= 3.0 or not r.sensitive
        assert len(r.figures_allowed) >= 20
        assert set(r.left_out) | set(r.figures_allowed) == set(r.trace.figures)


def test_a_difference_is_told_with_its_place() -> None:
    """One column moved by three tolerances at one moment, one figure gone: both are found, and nothing else."""
    reference = kept("barrow")["kerb-50"]
    columns = {name: values.copy() for name, values in reference.trace.columns.items()}
    columns["hull.y_mm"][100] += 3.0 * reference.allowed["hull.y_mm"][4]
    figures = {n: v for n, v in reference.trace.figures.items() if n != "peak_seat_g"}
    found = {s.name: s for s in shares(reference, Trace(columns, figures)) if s.share > 0.0}
    assert set(found) == {"hull.y_mm", "peak_seat_g"}
    assert found["hull.y_mm"].share == pytest.approx(3.0, rel=0.1)
    assert found["hull.y_mm"].time_s == pytest.approx(2.01)
    assert found["peak_seat_g"].share == np.inf


def test_a_smaller_ledger_error_is_as_good() -> None:
    reference = kept("teasel")["kerb-50"]
    columns = {n: 0.5 * v if n == "energy.error_J" else v for n, v in reference.trace.columns.items()}
    figures = {**reference.trace.figures, "energy_error": 0.0}
    assert worst(reference, Trace(columns, figures)).share == 0.0


def test_a_window_takes_its_neighbours_in() -> None:
    values = np.zeros(100)
    values[30] = 5.0
    assert windows(values, 4).tolist() == [5.0, 5.0, 5.0, 0.0]
