"""Our own roots against scipy.optimize and against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import eigh
from scipy.optimize import brentq, root

from trundle.papers.linear import _swings
from trundle.roots import Floats, bracketed, newton, over_kinks
from trundle.steel.warping import _banded


@pytest.mark.parametrize("wanted", [1e-9, 0.3, 7.0, 1e6])
def test_one_unknown_to_the_last_bits(wanted: float) -> None:
    """x cubed, whose root is known: two units in the last place; rising, falling, with the ends either way round."""
    for off in (lambda x: x**3 - wanted**3, lambda x: wanted**3 - x**3):
        for low, high in ((0.0, 3.0 * wanted), (3.0 * wanted, 0.0)):
            assert bracketed(off, low, high) == pytest.approx(wanted, rel=1e-15)


def test_one_unknown_as_scipy_has_it() -> None:
    """Random sums of an exponential and a line, against Brent's method to 1e-13."""
    rng = np.random.default_rng(4)
    for a, b, c in rng.uniform(0.2, 3.0, size=(50, 3)):
        off = lambda x, a=a, b=b, c=c: a * math.exp(b * x) + c * x - 5.0  # noqa: E731
        assert bracketed(off, -3.0, 10.0) == pytest.approx(brentq(off, -3.0, 10.0, xtol=1e-15, rtol=1e-14), abs=1e-13)


def test_ends_that_are_roots_and_ends_without_a_root_between() -> None:
    """The end itself; ValueError."""
    assert bracketed(lambda x: x - 2.0, 2.0, 5.0) == 2.0
    assert bracketed(lambda x: x - 5.0, 2.0, 5.0) == 5.0
    with pytest.raises(ValueError, match="no change of sign"):
        bracketed(lambda x: x * x + 1.0, -1.0, 1.0)


def rosenbrock(u: Floats) -> Floats:
    """More, Garbow and Hillstrom 1981, problem 1: root (1, 1)."""
    return np.array([10.0 * (u[1] - u[0] ** 2), 1.0 - u[0]])


def powell(u: Floats) -> Floats:
    """The same, problem 3 (badly scaled): root (1.098e-5, 9.106)."""
    return np.array([1e4 * u[0] * u[1] - 1.0, math.exp(-u[0]) + math.exp(-u[1]) - 1.0001])


def helical(u: Floats) -> Floats:
    """The same, problem 7 (helical valley): root (1, 0, 0)."""
    turn = math.atan2(u[1], u[0]) / (2.0 * math.pi)
    return np.array([10.0 * (u[2] - 10.0 * turn), 10.0 * (math.hypot(u[0], u[1]) - 1.0), u[2]])


def broyden(u: Floats) -> Floats:
    """The same, problem 30 (tridiagonal, eight unknowns), start (-1, ..., -1)."""
    before, after = np.append(0.0, u[:-1]), np.append(u[1:], 0.0)
    return (3.0 - 2.0 * u) * u - before - 2.0 * after + 1.0


@pytest.mark.parametrize(
    ("off", "start"),
    [(rosenbrock, [-1.2, 1.0]), (powell, [0.0, 1.0]), (helical, [-1.0, 0.1, 0.0]), (broyden, [-1.0] * 8)],
)
def test_several_unknowns_as_scipy_has_them(off: object, start: list[float]) -> None:
    """A test set of the literature from its standard starts; the root that scipy's hybrid method finds."""
    assert callable(off)
    found = newton(off, np.array(start))
    assert np.abs(off(found)).max() < 1e-9
    theirs = root(off, start, tol=1e-14)
    assert theirs.success
    assert found == pytest.approx(theirs.x, rel=1e-6, abs=1e-9)


def test_where_there_is_no_root_it_ends_downhill() -> None:
    """u squared plus one: it stops, and nearer than it began."""
    found = newton(lambda u: u**2 + 1.0, np.array([3.0]))
    assert abs(found[0]) < 0.1


def test_swings_as_scipy_has_them() -> None:
    """Random stiffness and mass matrices: values to 1e-10 of the largest; columns solve the equation, and v M v = 1."""
    rng = np.random.default_rng(8)
    for n in (2, 5, 12):
        a, b = rng.normal(size=(2, n, n))
        stiffness, mass = a @ a.T, b @ b.T + 0.1 * np.eye(n)
        values, vectors = _swings(stiffness, mass)
        assert values == pytest.approx(eigh(stiffness, mass, eigvals_only=True), rel=1e-8, abs=1e-10 * values.max())
        assert vectors.T @ mass @ vectors == pytest.approx(np.eye(n), abs=1e-9)
        assert np.abs(stiffness @ vectors - mass @ vectors * values).max() < 1e-8 * np.abs(stiffness).max()


def test_banded_equations_as_a_full_solver_has_them() -> None:
    """Random symmetric matrices of several bands and sizes, against numpy's solver without bands: 1e-10."""
    rng = np.random.default_rng(9)
    for n, band in ((5, 2), (40, 7), (41, 8), (6, 9)):
        full = rng.normal(size=(n, n))
        k = np.where(np.abs(np.subtract.outer(np.arange(n), np.arange(n))) <= band, full + full.T, 0.0)
        k += 4.0 * n * np.eye(n)
        f = rng.normal(size=n)
        assert _banded(k, f, band) == pytest.approx(np.linalg.solve(k, f), rel=1e-10, abs=1e-12)


def test_a_kink_is_got_over() -> None:
    """Springs that come into touch where they have nothing to carry: Newton's steps end at the corner, and so do those
    downhill; with slopes across it they get to the root, here (1e-4, 2e-4)."""

    def off(u: Floats) -> Floats:
        x, y = u[0] - 1e-4, u[1] - 2e-4
        stiff = 1.0 if x + y > 0.0 else 400.0
        return np.array([stiff * (x + y) + x, stiff * (x + y) - 3.0 * y])

    near = over_kinks(off, np.array([0.02, -0.03]), 1e-4, 5e-3)
    assert np.abs(off(newton(off, near))).max() < 1e-10
    assert newton(off, near) == pytest.approx([1e-4, 2e-4], abs=1e-9)


def test_steps_over_a_kink_keep_the_nearest() -> None:
    """Without a root they come back with the best that they passed, no step longer than allowed."""
    seen: list[float] = []

    def off(u: Floats) -> Floats:
        seen.append(float(u[0]))
        return np.array([1.0 if u[0] > 0.5 else -2.0 - u[0]])

    found = over_kinks(off, np.array([0.0]), 1e-3, 0.1)
    assert abs(off(found)[0]) <= 2.0
    assert np.abs(np.diff([s for s in seen if abs(s) < 50.0])).max() <= 0.1 + 2e-3
