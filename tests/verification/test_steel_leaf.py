"""Leaf stiffness against a small beam finite-element assembly, and leaf formulas against handbooks.

The finite elements are ordinary Hermite beams; they are exact at nodes for point loads, so only rounding
separates them from the closed forms. The tolerance is 1e-6, far inside the 1 % that is promised.
"""

import math

import numpy as np
import pytest

from trundle.steel import leaf
from trundle.steel.materials import E_STEEL

STACK = leaf.Stack(0.038, 0.0072)
HALF = 0.19


def assemble(places, ei):
    """Stiffness of a beam through nodes at `places`; two freedoms (lift, slope) a node."""
    k = np.zeros((2 * len(places), 2 * len(places)))
    for i, h in enumerate(np.diff(places)):
        k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += (ei / h**3) * np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
    return k


def condensed(places, ei, fixed, kept):
    """Stiffness on the freedoms `kept`, those in `fixed` held at nil, all others free of load."""
    k = assemble(places, ei)
    left = [i for i in range(len(k)) if i not in set(fixed)]
    flexible = np.linalg.inv(k[np.ix_(left, left)])
    at = [left.index(i) for i in kept]
    return np.linalg.inv(flexible[np.ix_(at, at)])


def nodes(*marks):
    """Even nodes along the leaf with the marked places among them."""
    return np.unique(np.round(np.concatenate([np.linspace(-HALF, HALF, 21), marks]), 9))


def lift(places, x):
    return 2 * int(np.argmin(abs(places - x)))


def test_clamped_seat():
    """Two cantilevers: all freedoms held at the clamp's edges."""
    x = nodes(-0.03, 0.03)
    held = [i for p in (-0.03, 0.03) for i in (lift(x, p), lift(x, p) + 1)]
    expect = condensed(x, STACK.one_leaf_Nm2, held, [lift(x, HALF), lift(x, -HALF)])
    assert leaf.clamp_seat(STACK, HALF, 0.06) == pytest.approx(expect, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize("apart", [0.02, 0.06, 0.15])
def test_pair_of_seats(apart):
    """Lift held at both seats, slopes free."""
    x = nodes(-apart / 2, apart / 2)
    held = [lift(x, -apart / 2), lift(x, apart / 2)]
    expect = condensed(x, STACK.one_leaf_Nm2, held, [lift(x, HALF), lift(x, -HALF)])
    assert leaf.pair_seat(STACK, HALF, apart) == pytest.approx(expect, rel=1e-6)


def test_point_seat():
    """Lift held in the middle only: the leaf can rock, so a soft spring at one end makes the inverse exist.

    With both ends lifted alike the end loads are K's row sums; lifted oppositely nothing resists.
    """
    x = nodes(0.0)
    ei = STACK.one_leaf_Nm2
    k = assemble(x, ei)
    fore, aft = lift(x, HALF), lift(x, -HALF)
    ends = [lift(x, 0.0), fore, aft]
    free = [i for i in range(len(k)) if i not in ends]
    # Lifts of the middle and both ends given, everything else free: forces by condensation.
    schur = k[np.ix_(ends, ends)] - k[np.ix_(ends, free)] @ np.linalg.solve(
        k[np.ix_(free, free)], k[np.ix_(free, ends)]
    )
    got = leaf.point_seat(STACK, HALF)
    assert got == pytest.approx(schur[1:, 1:], rel=1e-6)
    assert got @ [1.0, -1.0] == pytest.approx([0.0, 0.0], abs=1e-9)


@pytest.mark.parametrize("apart", [0.0, 0.05])
def test_contact_with_a_pivot_sleeve(apart):
    """A rigid prop at the sleeve adds to K: (fall, rate) give its stiffness on a leaf with both ends held."""
    at = 0.06
    x = nodes(-apart / 2, apart / 2, at)
    k = assemble(x, STACK.one_leaf_Nm2)
    seats = sorted({lift(x, -apart / 2), lift(x, apart / 2)})
    fore, aft, prop = lift(x, HALF), lift(x, -HALF), lift(x, at)
    given = [*seats, fore, aft]
    free = [i for i in range(len(k)) if i not in given]
    flex = np.linalg.inv(k[np.ix_(free, free)])
    # How the leaf falls at the sleeve as the ends go +1 and -1 m, and its give there with the ends held.
    move = -flex @ k[np.ix_(free, given)] @ np.array([0.0] * len(seats) + [1.0, -1.0])
    here = free.index(prop)
    fall, rate = leaf.sleeve_contact(STACK, HALF, apart, at)
    assert fall == pytest.approx(move[here], rel=1e-6)
    assert rate == pytest.approx(move[here] ** 2 / flex[here, here], rel=1e-6)


def test_sleeve_fall_on_one_seat_is_the_lever():
    """A rigid leaf rocking on one seat: x/l."""
    assert leaf.sleeve_contact(STACK, HALF, 0.0, 0.05)[0] == pytest.approx(0.05 / HALF)


def test_full_length_leaves():
    """n equal leaves, delta = 4 F l^3/(E n b t^3) (machine-design texts, from memory): 50 x 6, l = 350 mm, F = 500 N.

    Stacks with shorter leaves: test_leaf_contact.py.
    """
    assert 500.0 / leaf.cantilever_rate(leaf.Stack(0.05, 0.006, 5), 0.35) == pytest.approx(7.709e-3, rel=1e-4)


def test_single_leaf_stress_is_the_beams():
    """One leaf: M/Z with Z = 300 mm3 for 50 x 6 mm."""
    stack = leaf.Stack(0.05, 0.006)
    assert stack.stress_Pa(75.0, stack.shared(0.3)) == pytest.approx(250e6)


@pytest.mark.parametrize(
    ("radius", "chord", "rise", "growth"),
    [
        (500, 644.218, 117.579, 55.782),
        (800, 677.882, 75.349, 22.118),
        (1200, 690.117, 50.681, 9.883),
        (2000, 696.433, 30.547, 3.567),
        (5000, 699.428, 12.245, 0.572),
    ],
)
def test_free_arc(radius, chord, rise, growth):
    """Geometry of an arc 700 mm long."""
    arc = leaf.Arc(0.7, radius * 1e-3)
    assert arc.chord_m == pytest.approx(chord * 1e-3, abs=1e-6)
    assert arc.rise_m == pytest.approx(rise * 1e-3, abs=1e-6)
    assert 2 * arc.end_travel_m == pytest.approx(growth * 1e-3, abs=2e-6)


@pytest.mark.parametrize(
    ("thickness_mm", "radius_mm", "stress_MPa"),
    [(6, 500, 1236), (6, 800, 772.5), (6, 1200, 515), (6, 5000, 123.6), (4, 350, 1177), (4, 200, 2060)],
)
def test_stress_of_a_leaf_pressed_flat(thickness_mm, radius_mm, stress_MPa):
    """E t/2R, E = 206 GPa; the curved bar's own formula (Winkler) differs by t/6R, 0.3 % here at most."""
    arc = leaf.Arc(0.3, radius_mm * 1e-3)
    assert arc.flattening_stress_Pa(thickness_mm * 1e-3) == pytest.approx(stress_MPa * 1e6, rel=1e-3)


def test_flat_leaf_has_no_rise():
    """Radius infinite: chord = length."""
    arc = leaf.Arc(0.7, math.inf)
    assert (arc.chord_m, arc.rise_m, arc.end_travel_m) == (0.7, 0.0, 0.0)


def test_friction_share_by_work():
    """Two equal leaves: the sliding work of a brute-force sum over one stroke equals the share's work.

    Half the load passes the one interface at the end, which slides by t x end slope = t x 3 delta/2l.
    """
    stack = leaf.Stack(0.05, 0.006, 2)
    k, length, mu = leaf.cantilever_rate(stack, 0.35), 0.35, 0.2
    d = np.linspace(0.0, 0.03, 2001)
    slide = 0.006 * 1.5 * d / length
    lost = np.trapezoid(mu * k * d / 2.0, slide)
    assert np.trapezoid(leaf.friction_share(stack, length, mu) * k * d, d) == pytest.approx(lost, rel=1e-6)
    assert leaf.friction_share(leaf.Stack(0.05, 0.006), length, mu) == 0.0


class TestEndForces:
    """The leaf's ends push and never pull: least energy over all places of the ends, by brute force."""

    GAP, RATE = 0.012, 4e5

    def least(self, k, gap, rate, d):
        """Energy by a plain bound-constrained minimiser (scipy), independent of the case analysis."""
        from scipy.optimize import minimize

        def energy(u):
            over = max(0.0, abs(u[0] - u[1]) / 2 - gap)
            slope = k @ u
            side = math.copysign(rate * over / 2, u[0] - u[1])
            return 0.5 * u @ k @ u + 0.5 * rate * over**2, slope + np.array([side, -side])

        # In kN and mm, so that the minimiser's own tolerances suit.
        def scaled(u):
            e, g = energy(u * 1e-3)
            return e, g * 1e-3

        start = np.maximum(np.array(d) * 1e3, 0.0) + 1.0
        bounds = [(x * 1e3, None) for x in d]
        found = minimize(scaled, start, jac=True, bounds=bounds, method="L-BFGS-B", options={"ftol": 1e-15})
        return found.fun

    @pytest.mark.parametrize("seat", ["point", "pair", "clamp"])
    @pytest.mark.parametrize("sleeves", [False, True])
    def test_energy_is_least_and_forces_its_slope(self, seat, sleeves):
        k = {
            "point": leaf.point_seat(STACK, HALF),
            "pair": leaf.pair_seat(STACK, HALF, 0.05),
            "clamp": leaf.clamp_seat(STACK, HALF, 0.05),
        }[seat]
        gap, rate = (self.GAP, self.RATE) if sleeves else (math.inf, 0.0)
        law = (k[0, 0], k[0, 1], k[1, 1], gap, rate)
        rng = np.random.default_rng(4)
        for d in rng.uniform(-0.04, 0.06, (60, 2)):
            f0, f1, _, energy = leaf.end_forces(*law, *d)
            assert f0 >= 0.0
            assert f1 >= 0.0
            assert energy == pytest.approx(self.least(k, gap, rate, d), rel=1e-4, abs=1e-4)
            h = 1e-6
            for i, f in enumerate((f0, f1)):
                e = [leaf.end_forces(*law, *(d + s * h * np.eye(2)[i]))[3] for s in (1, -1)]
                assert (e[0] - e[1]) / (2 * h) == pytest.approx(f, rel=1e-4, abs=0.5)

    def test_one_arm_clear_on_one_seat(self):
        """A balance beam: the leaf rocks on to the clear arm and both carry the mean lift."""
        k = leaf.point_seat(STACK, HALF)
        f0, f1, _, _ = leaf.end_forces(k[0, 0], k[0, 1], k[1, 1], math.inf, 0.0, 0.03, -0.01)
        assert f0 == pytest.approx(f1)
        assert f0 == pytest.approx(3 * E_STEEL * 0.038 * 0.0072**3 / 12 / HALF**3 * 0.01)
