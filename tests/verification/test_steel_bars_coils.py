"""Torsion bars and coils against Shigley, SAE HS-796 and Wahl. G = 79.3 GPa; digits as printed."""

import math

import pytest

from trundle.steel import bars, coil

MPA, DEG = 1e6, math.pi / 180


def test_torsion_bar():
    """Shigley; SAE HS-796 (from memory): d = 16, L = 500 mm."""
    assert bars.polar_moment(0.016) == pytest.approx(6433.98e-12, rel=1e-5)
    k = bars.twist_rate(0.016, 0.5)
    assert k == pytest.approx(1020.43, rel=1e-5)
    assert k * DEG == pytest.approx(17.810, rel=1e-4)
    assert bars.twist_stress(0.016, 0.5, DEG) == pytest.approx(22.145 * MPA, rel=1e-4)
    assert k * 25 * DEG == pytest.approx(445.2, rel=1e-3)
    assert bars.twist_stress(0.016, 0.5, 25 * DEG) == pytest.approx(553.6 * MPA, rel=1e-4)


def test_hollow_bar_is_the_difference_of_two_bars():
    """J of a tube = J outside - J of the bore."""
    expect = bars.polar_moment(0.02) - bars.polar_moment(0.012)
    assert bars.polar_moment(0.02, 0.012) == pytest.approx(expect)


def test_coil_rate_and_stress():
    """machinecalcs.com guide to Wahl's factor: d 8, D 50, 6 coils; F = 1500 N."""
    assert coil.rate(0.008, 0.05, 6) == pytest.approx(54.135e3, rel=1e-4)
    assert 1500.0 / coil.rate(0.008, 0.05, 6) == pytest.approx(27.708e-3, rel=1e-4)
    assert coil.stress(0.008, 0.05, 1500.0) == pytest.approx(463.0 * MPA, rel=1e-3)
    assert coil.stress(0.008, 0.05, 1500.0) / coil.wahl_factor(6.25) == pytest.approx(373.0 * MPA, rel=1e-3)


def test_published_coil_example():
    """reuven.tools example: d 10, D 60, 8 coils, F 500 N: 57.36 N/mm, 8.72 mm, 95.7 MPa, Kw 1.2525."""
    assert coil.rate(0.010, 0.06, 8) == pytest.approx(57.36e3, rel=1e-3)
    assert 500.0 / coil.rate(0.010, 0.06, 8) == pytest.approx(8.72e-3, rel=1e-3)
    assert coil.stress(0.010, 0.06, 500.0) == pytest.approx(95.7 * MPA, rel=1e-3)


@pytest.mark.parametrize(
    ("index", "factor"),
    [(4, 1.40375), (5, 1.3105), (6, 1.2525), (6.25, 1.24126), (8, 1.18402), (10, 1.14483), (12, 1.11943)],
)
def test_wahl_factor(index, factor):
    """Wahl's factor as tabled on machinecalcs.com."""
    assert coil.wahl_factor(index) == pytest.approx(factor, rel=1e-5)


def test_solid_length():
    """Shigley (from memory): squared and ground, two dead coils."""
    assert coil.solid_length(0.008, 6) == pytest.approx(0.064)


def test_slenderness():
    """Buckling limit 2.63 D/alpha, 5.26 D with both seats flat (Shigley, from memory)."""
    assert coil.slender_limit(0.05, 0.5) == pytest.approx(0.263)
