"""A baseline with ranges: luck never fails an unchanged vehicle, and a small change of it is found."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from trundle.bogies.paired_arms import PairedArms
from trundle.engine.length import default_step_s
from trundle.errors import InputError
from trundle.result.inputs import load_vehicle
from trundle.spec.shipped import find
from trundle.springs.leaf_across import LeafAcross
from trundle.study import baseline as guard
from trundle.study.baseline import Baseline, allowed, compare, open_baseline
from trundle.study.case import Files, payload_of, run_case
from trundle.study.kept import Kept, KeptRun, read_kept, write_kept
from trundle.study.ranges import Range
from trundle.study.runs import flat

Variation = tuple[int | None, float, float]
"""Seed of the draws (None: the usual ones), ground grid [mm], share of the usual step."""

SHORT: tuple[Variation, ...] = ((1, 5.0, 1.0), (2, 2.5, 0.8), (3, 5.0, 0.5), (None, 2.0, 1.0))


def declared(folder: Path, vehicle: str, course: str) -> Baseline:
    """A baseline as somebody makes it who sets no tolerance, of a vehicle's file in `folder`."""
    file = folder / f"{vehicle}.toml"
    if not file.exists():
        file.write_text(find("vehicles", vehicle).read_text())
    (folder / "own.toml").write_text(f'vehicles = ["{file.name}"]\ncourses = ["{course}"]\n')
    return open_baseline(folder / "own.toml")


def figures_of(chosen: Baseline, **options: Any) -> Kept:
    """What is kept of it; in this process."""
    files = Files()
    rows = [{"state": "done", "reason": "", **flat(run_case(payload_of(case, options, files)))} for case in chosen.plan]
    return guard._kept(chosen, pd.DataFrame(rows))


def varied(chosen: Baseline, vehicle: str, variation: Variation) -> Kept:
    seed, ground_mm, share = variation
    dt_ms = 1e3 * share * default_step_s(load_vehicle(vehicle))
    return figures_of(chosen, near_seed=seed, ground_mm=ground_mm, dt_ms=dt_ms, near=8)


def lost(chosen: Baseline, was: Kept, now: Kept) -> list[str]:
    found = compare(chosen.name, was, now, chosen.allowances)
    return [f"{r['figure']} {r['was']} {r['now']}" for r in found.moved.to_dict("records") if r["loss"]]


@pytest.mark.parametrize(("vehicle", "course"), [("barrow", "kerb-50"), ("mole", "sleepers")])
def test_an_unchanged_vehicle_holds_at_other_draws_grids_and_steps(tmp_path: Path, vehicle: str, course: str) -> None:
    chosen = declared(tmp_path, vehicle, course)
    was = figures_of(chosen)
    for variation in SHORT:
        assert lost(chosen, was, varied(chosen, vehicle, variation)) == [], variation


@pytest.mark.slow
@pytest.mark.parametrize("course", ["kerb-50", "sleepers"])
@pytest.mark.parametrize("vehicle", ["teasel", "barrow", "mole", "otter", "wren"])
def test_two_hundred_checks_of_unchanged_vehicles(tmp_path: Path, vehicle: str, course: str) -> None:
    """Twenty of each of ten pairs: other draws of speed and start, grids and steps."""
    chosen = declared(tmp_path, vehicle, course)
    was = figures_of(chosen)
    for seed in range(20):
        variation = (seed + 1, (5.0, 2.5, 2.0)[seed % 3], (1.0, 0.8, 0.5)[(seed // 3) % 3])
        assert lost(chosen, was, varied(chosen, vehicle, variation)) == [], variation


@pytest.mark.parametrize(
    "change",
    [
        {"bogie.front.at_mm": 5.0},
        {"bogie.middle.at_mm": 5.0},
        {"bogie.*.spring.thickness_mm": 0.95},
    ],
)
def test_a_pivot_5_mm_off_and_a_leaf_5_per_cent_thinner_are_found(tmp_path: Path, change: dict[str, float]) -> None:
    vehicle = load_vehicle("teasel")
    chosen = declared(tmp_path, "teasel", "kerb-50")
    was = figures_of(chosen)
    ((path, by),) = change.items()
    if path.endswith("at_mm"):
        x, y = vehicle.bogie[path.split(".")[1]].at_mm
        settings: dict[str, Any] = {path: [x - by, y]}
    else:
        bogie = vehicle.bogie["front"]
        assert isinstance(bogie, PairedArms)
        spring = bogie.spring
        assert isinstance(spring, LeafAcross)
        settings = {path: round(by * spring.thickness_mm, 3)}
    from dataclasses import replace

    moved = replace(chosen, plan=replace(chosen.plan, settings=settings))
    assert lost(chosen, was, figures_of(moved)) != []


@pytest.mark.parametrize("distribution", ["standard_normal", "random", "standard_exponential"])
def test_medians_of_the_same_are_hardly_ever_as_far_apart_as_is_allowed(distribution: str) -> None:
    """300,000 pairs of eight draws each, and three at most: a check compares some thousand figures."""
    rng = np.random.default_rng(7)
    a, b = (np.sort(getattr(rng, distribution)((300_000, 8)), axis=1) for _ in range(2))
    apart = np.abs(0.5 * (a[:, 3] + a[:, 4]) - 0.5 * (b[:, 3] + b[:, 4]))
    assert (apart > a[:, 7] - a[:, 0] + b[:, 7] - b[:, 0]).sum() <= 3
    one = Range(1.0, 0.9, 1.3), Range(2.0, 1.8, 2.1)
    assert allowed("peak_seat_g", *one, {"every": "3%"}) == pytest.approx(0.4 + 0.3)
    assert allowed("peak_seat_g", *one, {"every": "90%"}) == pytest.approx(0.9)


def run(ended: str = "", over: int | None = 8, **figures: Range) -> KeptRun:
    return KeptRun("v", "c", ended, figures, 8, over)


def kept(*runs: KeptRun) -> Kept:
    return Kept({}, {"v": {}}, {"c": {}}, {}, {}, runs)


def moved(was: KeptRun, now: KeptRun) -> list[tuple[str, str]]:
    found = compare("own", kept(was), kept(now), {"every": "3%"}).moved
    return [(str(r["figure"]), str(r["verdict"])) for r in found.to_dict("records")]


def test_what_the_ranges_explain_has_not_moved() -> None:
    """A median 20 % higher, with ranges of 15 and 10 %; and the same without ranges."""
    was, now = Range(100.0, 92.0, 107.0), Range(120.0, 115.0, 125.0)
    assert moved(run(peak_seat_g=was), run(peak_seat_g=now)) == []
    points = Range(100.0, 100.0, 100.0), Range(120.0, 120.0, 120.0)
    assert moved(run(peak_seat_g=points[0]), run(peak_seat_g=points[1])) == [("peak_seat_g", "worse")]


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        (Range(1.2, 1.05, 1.4), Range(0.95, 0.8, 0.99), [("least_margin", "worse")]),  # held in all, now yields in all
        (Range(1.2, 0.95, 1.4), Range(0.95, 0.8, 0.99), []),  # one yielded before
        (Range(1.2, 1.05, 1.4), Range(0.95, 0.8, 1.05), []),  # one holds yet
    ],
)
def test_what_begins_to_yield_is_told_however_wide_the_ranges(
    was: Range, now: Range, said: list[tuple[str, str]]
) -> None:
    """By 0.25, where both ranges together are wider."""
    assert moved(run(least_margin=was), run(least_margin=now)) == said


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ((8, ""), (6, ""), []),
        ((8, ""), (4, "stalled"), [("completed", "worse")]),
        ((8, ""), (0, "stalled"), [("completed", "worse")]),
        ((5, ""), (4, "stalled"), []),
        ((0, "stalled"), (8, ""), [("completed", "better")]),
        ((0, "stalled"), (0, "overturned"), [("completed", "changed")]),
    ],
)
def test_how_many_get_over(was: tuple[int, str], now: tuple[int, str], said: list[tuple[str, str]]) -> None:
    assert moved(run(was[1], was[0]), run(now[1], now[0])) == said


def test_a_kept_file_has_a_figure_in_a_line_and_comes_back(tmp_path: Path) -> None:
    """Ranges in one line each, so that a change shows as such in a diff; what has none as a number."""
    whole = kept(run(peak_seat_g=Range(4.5, 3.9, 5.2), ride_height_mm=Range(159.0, 159.0, 159.0)))
    write_kept(tmp_path / "own.kept.json", whole)
    text = (tmp_path / "own.kept.json").read_text()
    assert '"peak_seat_g": [4.5, 3.9, 5.2],\n' in text
    assert '"ride_height_mm": 159.0\n' in text
    assert read_kept(tmp_path / "own.kept.json") == whole


def test_an_older_file_is_read_as_points(tmp_path: Path) -> None:
    """Layout 1 has a number for each figure, of one run."""
    content = {
        "format": 1, "identity": {}, "history": [], "hashes": {}, "settings": {},
        "runs": [{"vehicle": "v", "course": "c", "ended": "", "figures": {"peak_seat_g": 4.5}}],
        "vehicles": {}, "courses": {},
    }  # fmt: skip
    (tmp_path / "own.kept.json").write_text(json.dumps(content))
    (found,) = read_kept(tmp_path / "own.kept.json").runs
    assert found == KeptRun("v", "c", "", {"peak_seat_g": Range(4.5, 4.5, 4.5)}, 1, None)
    assert found.share == 1.0


@pytest.mark.parametrize("wrong", [[4.5, 5.0, 5.2], [4.5, 3.9], [4.5, 3.9, 5.2, 6.0], "4.5"])
def test_a_range_that_is_none_is_said(tmp_path: Path, wrong: Any) -> None:
    write_kept(tmp_path / "own.kept.json", kept(run(peak_seat_g=Range(4.5, 3.9, 5.2))))
    content = json.loads((tmp_path / "own.kept.json").read_text())
    content["runs"][0]["figures"]["peak_seat_g"] = wrong
    (tmp_path / "own.kept.json").write_text(json.dumps(content))
    with pytest.raises(InputError, match="is damaged"):
        read_kept(tmp_path / "own.kept.json")
