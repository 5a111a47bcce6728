"""Leaves of a stack in contact: closed forms of two leaves and of the textbooks' pointed stack, and a second solution.

The second solution (leaf_stack.py) assembles Hermite elements over whole leaves; scipy's nnls finds the contacts.
"""

import itertools

import numpy as np
import pytest
from scipy.optimize import nnls

from tests.verification.leaf_stack import solve
from trundle.steel import leaf
from trundle.steel.leaf_contact import FINER, complementary, length_shares, sharing

STACKS = [(1, 1), (3, 1), (2, 2), (1, 4), (2, 3)]
HELD = [(0.0, False), (0.15625, False), (0.3, False), (0.2, True)]
EVERY = [(*stack, *held) for stack, held in itertools.product(STACKS, HELD)]


def end_compliance(held, pair, odd=False):
    """Of one leaf, in l^3/EI: a^2 (a + 3 s)/3 on two seats, (a + s) one up one down; a^3/3 without (Roark)."""
    a, s = 1.0 - held, held if pair else 0.0
    return a * a * (a + (1.0 if odd else 3.0) * s) / 3.0


@pytest.mark.parametrize(("full", "graduated", "held", "pair"), EVERY)
def test_against_elements_and_nnls(full, graduated, held, pair):
    """Stiffness 0.2 %, stress of the worst leaf 0.5 %, and the same leaf.

    The second solution's contacts may only lie at its nodes, 1/48 apart: with FINER's closer points here the two are
    within 1e-4 of each other, so most of the tolerance is to spare.
    """
    lengths = [share for share in length_shares(full, graduated) if share > held + 1e-3]
    other = solve(lengths, held, pair, nodes=48)
    got = sharing(full, graduated, held, pair)
    assert got.even == pytest.approx(end_compliance(held, pair) / other.ends[0], rel=2e-3)
    moments = np.array(other.moments) / (1.0 - held)
    assert max(got.moments) == pytest.approx(moments.max(), rel=5e-3)
    assert moments[got.worst] == pytest.approx(moments.max(), rel=1e-3)
    assert len(got.moments) == len(lengths)
    assert got.idle == full + graduated - len(lengths)


@pytest.mark.parametrize(("full", "graduated"), [(1, 1), (2, 2), (1, 4)])
@pytest.mark.parametrize("load", [(1.1, 0.9), (1.6, 0.4), (2.0, 0.0)])
def test_two_seats_under_any_pair_of_loads(full, graduated, load):
    """K is built from the contacts with both ends loaded alike; solved anew for each pair of loads it stays: 0.2 %."""
    held = 0.2
    got = sharing(full, graduated, held, True)
    both = sum(load) / 2.0 * end_compliance(held, True) / got.even
    odd = (load[0] - load[1]) / 2.0 * end_compliance(held, True, True) / got.odd
    # Of the five leaves the shortest ends at the seat.
    other = solve([n for n in length_shares(full, graduated) if n > held + 1e-3], held, True, load, 48)
    assert other.ends == pytest.approx([both + odd, both - odd], rel=2e-3)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.8])
def test_two_leaves_by_superposition(share):
    """A cantilever propped by a shorter one at that one's end (Roark table 8.1, superposition; the referee too).

    Equal lifts there: P = F (3 l - l2)/(4 l2), and the shorter leaf's root takes P l2, the longer one's F l - P l2.
    """
    push = (3.0 - share) / (4.0 * share)
    end = 1.0 / 3.0 - push * share**2 * (3.0 - share) / 6.0
    other = solve([1.0, share])
    assert other.ends[0] == pytest.approx(end, rel=1e-4)
    assert other.moments == pytest.approx([max(1.0 - push * share, 1.0 - share), push * share], rel=1e-4)
    if share == 0.5:
        got = sharing(1, 1)
        assert got.even == pytest.approx(1.0 / 3.0 / end, rel=1e-9)
        assert got.moments == pytest.approx([1.0 - share, push * share], rel=1e-9)
        assert got.at == pytest.approx([share, 0.0], abs=1e-9)


@pytest.mark.parametrize("count", [1, 2, 5])
@pytest.mark.parametrize(("held", "pair"), HELD)
def test_leaves_of_one_length_share_alike(count, held, pair):
    """n equal leaves: n times as stiff, 1/n of the moment each, at the seat."""
    got = sharing(count, 0, held, pair)
    assert (got.even, got.odd, got.idle) == (count, count, 0)
    assert got.moments == (1.0 / count,) * count
    assert got.at == (0.0,) * count


def test_pointed_stack_bends_evenly():
    """Textbooks' ideal stack (from memory): ends pointed over each step, every leaf bent alike.

    delta = 6 F l^3/(E n b t^3), two thirds of n full leaves' stiffness. The referee with pointed ends gives it: 1 %, as
    its elements take the width at their middles.
    """
    other = solve(length_shares(1, 3), pointed=True, nodes=96)
    assert other.ends[0] == pytest.approx(0.5 / 4.0, rel=0.01)
    assert other.moments == pytest.approx([0.25] * 4, rel=0.01)


def test_many_square_ends_come_near_the_pointed_stack():
    """The finer the steps, the less a square end matters: 2/3 n, and the longer half of the leaves bent as 1/n."""
    off = [sharing(1, n - 1).even / n - 2.0 / 3.0 for n in (2, 5, 10, 20)]
    assert all(a > b > 0.0 for a, b in itertools.pairwise(off))
    assert off[-1] < 0.02
    assert [20 * m for m in sharing(1, 19).moments[:10]] == pytest.approx([1.0] * 10, rel=0.03)


def test_textbook_formula_is_a_first_guess():
    """12 F l^3/(E b t^3 (2 ng + 3 nf)), 18 F l/(b t^2 (2 ng + 3 nf)) in the main leaf (from memory).

    On one seat it is within 3 % in stiffness, but the shortest leaf carries 4 to 15 % more stress than it says; in a
    clamp, which takes its length off every leaf, it is up to a third too stiff.
    """
    for full, graduated in STACKS:
        share = 2.0 * graduated + 3.0 * full
        got = sharing(full, graduated)
        assert got.even == pytest.approx(share / 3.0, rel=0.03)
        assert 1.03 < max(got.moments) / (3.0 / share) < 1.18
        assert got.worst == full + graduated - 1
    assert (1 + 8 / 3) / sharing(1, 4, 0.25).even == pytest.approx(1.30, abs=0.01)


@pytest.mark.parametrize(("full", "graduated", "held", "pair"), EVERY)
def test_closer_points_change_nothing(full, graduated, held, pair):
    """One more round of points: stiffness 1e-5, stress 1e-3."""
    got, more = sharing(full, graduated, held, pair), sharing(full, graduated, held, pair, FINER + 1)
    assert got.even == pytest.approx(more.even, rel=1e-5)
    assert got.odd == pytest.approx(more.odd, rel=1e-5)
    assert max(got.moments) == pytest.approx(max(more.moments), rel=1e-3)


def test_complementary_against_nnls():
    """Random problems, some of their forces free of sign: scipy's nnls (a free one as the difference of two)."""
    rng = np.random.default_rng(5)
    for n in (1, 3, 8, 20):
        for _ in range(20):
            root = rng.normal(size=(n + 2, n))
            a, b, both = root.T @ root, rng.normal(size=n), rng.random(n) < 0.2
            got = complementary(a, b, rng.integers(0, 3, n), rng.random(n) < 0.5, both)
            split = np.hstack([np.eye(n), -np.eye(n)[:, both]])
            lower = np.linalg.cholesky(a)
            press = nnls(lower.T @ split, -np.linalg.solve(lower, b))[0]
            assert got == pytest.approx(split @ press, rel=1e-5, abs=1e-5 * abs(press).max() + 1e-9)


SEATS = {
    "point": (lambda stack, half: leaf.point_seat(stack, half), 0.0, False),
    "pair": (lambda stack, half: leaf.pair_seat(stack, half, 0.4 * half), 0.2, True),
    "clamp": (lambda stack, half: leaf.clamp_seat(stack, half, 0.4 * half), 0.2, False),
}


@pytest.mark.parametrize("seat", SEATS)
def test_stiffness_of_each_seat(seat):
    """K of a stack with both ends lifted alike, against the referee's: 0.2 %."""
    law, held, pair = SEATS[seat]
    stack, one = law(leaf.Stack(0.04, 0.005, 2, 2), 0.16), law(leaf.Stack(0.04, 0.005), 0.16)
    other = solve(length_shares(2, 2), held, pair, nodes=48)
    times = end_compliance(held, pair) / other.ends[0]
    assert stack @ [1.0, 1.0] == pytest.approx(times * (one @ [1.0, 1.0]), rel=2e-3)
