"""What one contact pulls along the ground: it cannot make energy, and a load that shakes does not let it creep."""

from __future__ import annotations

import math

import numpy as np
import pytest
from grip_kernels import block, contact
from hypothesis import given, settings
from hypothesis import strategies as st

from trundle.law.grip import SHEAR_S
from trundle.law.state import SHEAR
from trundle.model.arrays import DRIVE, Records, records
from trundle.units import G

GRIP, FULL_M = 0.7, 0.005
DT = 1e-3


def drive() -> Records:
    """One DRIVE record."""
    d = records(DRIVE, 1)
    d.grip, d.shear = GRIP, FULL_M
    return d


STEPS = st.lists(
    st.tuples(
        st.one_of(st.just(0.0), st.floats(0.1, 1e5)),
        st.one_of(st.just(0.0), st.floats(-20.0, 20.0)),
        st.floats(0.9, 1.0),
    ),
    min_size=1,
    max_size=60,
)
"""Load [N], slip speed [m/s], share that fresh track leaves, step by step."""


@settings(max_examples=300, deadline=None)
@given(STEPS)
def test_no_loss_is_ever_negative_and_the_account_closes(steps: list[tuple[float, float, float]]) -> None:
    """Passivity, by any load and slip: what slip puts in (pull x slip) is what is stored and what is lost, step for
    step, and no loss is negative, to rounding."""
    d, shear = drive(), records(SHEAR, 1)
    most = max(load for load, _slip, _stays in steps)  # what is left of a large load is known as well as that
    for load, slip, stays in steps:
        before = float(shear[0].held_J)
        pull, off, lost = contact(d, shear, load, slip, DT, stays)
        held = float(shear[0].held_J)
        size = 1e-12 * GRIP * most * (FULL_M + abs(slip) * DT)
        assert off >= -size
        assert lost >= -size
        assert pull * slip * DT == pytest.approx(held - before + off + lost, abs=10.0 * size)
        assert abs(pull) <= GRIP * load + 1e-12 * most
        # The stored energy is a function of the layers alone.
        n, t = shear[0].load_N, shear[0].pull_N
        some = n > 0.0
        stored = float((t[some] ** 2 / n[some]).sum()) * FULL_M / (2.0 * GRIP)
        assert held == pytest.approx(stored, rel=1e-9, abs=1e3 * size)
        assert n.sum() == pytest.approx(load, abs=1e-12 * most)


def test_scaled_down_with_a_falling_load_and_not_up_with_a_rising_one() -> None:
    """1000 N sheared by 2 mm pull 0.7 * 1000 * 2 / 5 = 280 N; at 400 N 0.4 of that, back at 1000 N no more."""
    d, shear = drive(), records(SHEAR, 1)
    for _ in range(20):
        contact(d, shear, 1000.0, 0.1, DT, 1.0)
    assert shear.pull_N.sum() == pytest.approx(280.0)
    for load, pull in (
        (400.0, 112.0),
        (1000.0, 112.0),
        (3000.0, 112.0),
        (1000.0, 112.0),
        (400.0, 112.0),
        (200.0, 56.0),
    ):
        got, _off, _lost = contact(d, shear, load, 0.0, DT, 1.0)
        assert got == pytest.approx(pull)
    assert contact(d, shear, 0.0, 0.0, DT, 1.0)[0] == 0.0


@pytest.mark.parametrize("slip", [1.0, -1.0])
def test_slides_at_its_grip(slip: float) -> None:
    """Coulomb: past 5 mm of slip the pull is grip x load, and all further work is lost."""
    d, shear = drive(), records(SHEAR, 1)
    for _ in range(20):
        pull, _off, lost = contact(d, shear, 500.0, slip, DT, 1.0)
    assert pull == pytest.approx(math.copysign(350.0, slip))
    assert lost == pytest.approx(0.35)


def shaken(
    hertz: float, depth: float, noise: float = 0.0, seconds: float = 20.0
) -> tuple[np.ndarray, np.ndarray, float]:
    """A block of 100 kg on a slope of 20 deg whose load swings by the share `depth`, for 20 s: place, speed, loss."""
    t = DT * np.arange(20_000)
    level = 100.0 * G * math.cos(math.radians(20.0))
    swing = depth * np.sin(2.0 * math.pi * hertz * t) + noise * np.random.default_rng(1).standard_normal(len(t))
    place, speed = np.zeros(len(t)), np.zeros(len(t))
    shear = records(SHEAR, 1)
    down = 100.0 * G * math.sin(math.radians(20.0))
    lost = block(drive(), shear, level * (1.0 + swing), 100.0, down, DT, place, speed)
    return place, speed, lost


@pytest.mark.parametrize("hertz", [1.0, 3.7, 10.0, 33.0, 100.0])
@pytest.mark.parametrize("depth", [0.05, 0.3])
def test_a_block_on_a_slope_with_a_shaken_load_neither_creeps_nor_gains_energy(hertz: float, depth: float) -> None:
    """Closed form: statics. The least load can hold it (tan 20 = 0.364 of 0.7 (1 - 0.3)), so once it is held it stays,
    whatever comes on and goes off again. Put there without any pull it slides until its pads have sheared, twice that
    of all its grip at most. A force of share x grip x load would shake it for ever; one that is scaled down at each
    fall and forgets it, let it creep by metres.
    """
    place, speed, lost = shaken(hertz, depth)
    late = slice(-2000, None)
    assert place[-1] < 2.0 * FULL_M
    assert place[late].max() - place[late].min() < 1e-8
    assert np.abs(speed[late]).max() < 1e-6
    assert lost > 0.0


def test_an_uneven_load_lets_it_creep_by_no_more_than_a_shear() -> None:
    """With noise (5 %) on top of a swing of a fifth at 7 Hz, whatever falls lowest has been carried before: in 20 s it
    moves by less than the shear of all its grip, in the last half by less than a tenth of that."""
    place, _speed, _lost = shaken(7.0, 0.2, 0.05)
    assert place[-1] < FULL_M
    assert place[-1] - place[len(place) // 2] < 0.1 * FULL_M


def test_a_push_rings_down_by_the_loss_in_the_pads() -> None:
    """Closed form: a mass on the tread's spring k = grip load / FULL_M with its loss k SHEAR_S is a damped oscillator
    of ratio sqrt(k / m) SHEAR_S / 2: in 10 swings its amplitude falls by exp(-2 pi 10 ratio / sqrt(1 - ratio2)), 2 %.
    """
    n = 2000
    place, speed = np.zeros(n), np.zeros(n)
    load, mass = 100.0 * G, 100.0
    shear = records(SHEAR, 1)
    down = 0.2 * GRIP * load
    block(drive(), shear, np.full(n, load), mass, down, DT, place, speed)
    w = math.sqrt(GRIP * load / FULL_M / mass)
    ratio = 0.5 * w * SHEAR_S
    t = DT * np.arange(1, n + 1)
    turn = w * math.sqrt(1.0 - ratio * ratio)
    rest = down / (GRIP * load) * FULL_M
    want = rest * (1.0 - np.exp(-ratio * w * t) * (np.cos(turn * t) + ratio * w / turn * np.sin(turn * t)))
    assert place == pytest.approx(want, abs=0.03 * rest)
