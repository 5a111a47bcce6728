"""Tolerance studies: the statistics against closed forms and known probabilities."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from study_fakes import threshold_run

from trundle.errors import InputError
from trundle.study.limits import parse_limit
from trundle.study.runs import How
from trundle.study.tolerance import chances, drivers, parse_tolerance, sample, tolerance_study


def drawn(**columns: object) -> pd.DataFrame:
    frame = pd.DataFrame(columns)
    return frame.assign(state="done", reason="", completed=True)


@pytest.mark.parametrize(("bad", "runs"), [(0, 20), (1, 20), (7, 64), (64, 64), (300, 1000)])
def test_the_interval_is_wilsons(bad: int, runs: int) -> None:
    """Wilson, J. Am. Stat. Assoc. 22 (1927) 209: centre (p + z2/2n)/(1 + z2/n) and its half width; z from the
    normal table, 1.959964 at 95 %. Closed form, so only the table's seven digits are lost."""
    hits = np.r_[np.ones(bad, dtype=int), np.zeros(runs - bad, dtype=int)]
    row = chances(drawn(bump_stop_hits=hits)).set_index("what").loc["bump stop hit"]
    p, z = bad / runs, 1.959964
    centre = (p + z * z / (2 * runs)) / (1 + z * z / runs)
    half = z * math.sqrt(p * (1 - p) / runs + z * z / (4 * runs**2)) / (1 + z * z / runs)
    assert row["chance"] == p
    assert row["low"] == pytest.approx(centre - half, abs=1e-6)
    assert row["high"] == pytest.approx(centre + half, abs=1e-6)


def test_rank_correlation_is_spearmans() -> None:
    """Without ties: 1 - 6 sum d2 / (n (n2 - 1)), d the difference of ranks (Spearman 1904)."""
    rng = np.random.default_rng(3)
    a, b = rng.normal(size=80), rng.normal(size=80)
    figure = np.exp(a + 0.5 * b)
    found = drivers(drawn(a=a, b=b, peak_seat_g=figure), ["a", "b"]).set_index("field")["rank_correlation"]
    for name, x in (("a", a), ("b", b)):
        d = np.argsort(np.argsort(x)) - np.argsort(np.argsort(figure))
        assert found[name] == pytest.approx(1 - 6 * (d**2).sum() / (80 * (80**2 - 1)), abs=1e-12)
    assert list(found.index) == ["a", "b"], "the stronger one first"


def test_a_known_probability_is_met_closer_than_by_chance() -> None:
    """Area of the quarter circle, pi/4. 1024 independent draws would have a standard error of 0.0128
    (sqrt(p (1 - p) / n)). For an edge in two dimensions a scrambled net's goes as n^-3/4 (He and Wang 2015,
    from memory), n^1/4 = 5.7 times less but for a constant; at least three times less is asked for."""
    error = []
    for seed in range(10):
        points = sample(1024, 2, seed)
        error.append(abs((points**2).sum(axis=1).__le__(1.0).mean() - math.pi / 4))
    assert np.sqrt(np.mean(np.square(error))) < 0.0128 / 3
    assert max(error) < 0.0128


def test_the_sample_fills_every_side_evenly() -> None:
    """A Sobol set of 2^m points has one in each of 2^m equal slices of every axis (a (t, m, s)-net)."""
    points = sample(64, 12, seed=1)
    for column in points.T:
        assert sorted(np.floor(column * 64).astype(int)) == list(range(64))
    assert np.array_equal(points, sample(64, 12, seed=1))
    assert not np.array_equal(points, sample(64, 12, seed=2))


def test_a_study_finds_the_chance_and_the_driver() -> None:
    """265 kg within 5 % is 251.75 to 278.25 kg, evenly likely: over 270 kg with chance 8.25 / 26.5.
    One dimension of a 128-point Sobol set is right to one point in 128."""
    found = tolerance_study(
        "teasel",
        ["yard"],
        ["hull.mass_kg=5%", "drive.grip=0.1"],
        samples=128,
        limits=[parse_limit("seat_rms_m_s2<0.3")],
        how=How(function=threshold_run),
    )
    chance = found.chances.set_index("what")
    assert chance.loc["bump stop hit", "chance"] == pytest.approx(8.25 / 26.5, abs=1 / 128)
    assert chance.loc["bump stop hit", "low"] < 8.25 / 26.5 < chance.loc["bump stop hit", "high"]
    # grip 0.65 to 0.85, so 1 - grip is 0.15 to 0.35: 0.3 or more with chance 0.25
    assert chance.loc["seat_rms_m_s2<0.3 not held", "chance"] == pytest.approx(0.25, abs=1 / 128)
    assert chance.loc["does not reach the end", "bad"] == 0
    top = found.drivers.groupby("figure").first()
    assert top.loc["peak_wheel_load_N", "field"] == "hull.mass_kg"
    assert top.loc["peak_wheel_load_N", "rank_correlation"] == pytest.approx(1.0)
    assert top.loc["seat_rms_m_s2", "field"] == "drive.grip"
    assert top.loc["seat_rms_m_s2", "rank_correlation"] == pytest.approx(-1.0)
    assert "peak_seat_g" not in top.index, "a figure that never moves has no driver"
    spread = found.spread.set_index("figure")
    assert spread.loc["peak_wheel_load_N", "nominal"] == 265**2
    assert spread.loc["peak_wheel_load_N", "least"] >= 251.75**2
    assert spread.loc["peak_wheel_load_N", "most"] <= 278.25**2


def test_a_wildcard_is_one_dimension_per_part() -> None:
    """Each arm is made on its own, so each is off on its own."""
    found = tolerance_study("teasel", ["yard"], ["bogie.*.arm_mm=2"], samples=8, how=How(function=threshold_run))
    assert found.fields == ("bogie.front.arm_mm", "bogie.middle.arm_mm", "bogie.rear.arm_mm")
    arms = found.study.table.loc[1:, list(found.fields)]
    assert arms.min().min() >= 198
    assert arms.max().max() <= 202
    assert (arms.nunique() == 8).all()


@pytest.mark.parametrize(
    ("tolerance", "said"),
    [
        ("hull.mass_kg", "not a tolerance"),
        ("hull.mass_kg=-1", "above 0"),
        ("hull.mass_kg=0%", "above 0"),
        ("hull.mass_kg=200%", "not a tolerance"),
        ("hull.mass_kg=5 mm", "not a tolerance"),
        ("hull.mas_kg=5%", 'did you mean "mass_kg"'),
        ("name=5%", "not a number"),
        ("bogie.front.at_mm=2", "not a number"),
        ("drive.push_N=5%", "not written in the file"),
    ],
)
def test_what_is_no_tolerance_is_said(tolerance: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        tolerance_study("teasel", ["yard"], [tolerance], samples=8, how=How(function=threshold_run))


def test_amounts_are_read() -> None:
    assert parse_tolerance("a.b = 5%").amount == 0.05
    assert (parse_tolerance("a.b=2").amount, parse_tolerance("a.b=2").is_share) == (2.0, False)
