"""Error propagation of the jigs against a Monte Carlo of the whole geometry (numpy, fixed seed): every bore's ends are
moved in space, the arm is turned as a rigid body until its pivot bore lies on the bracket's bolt, the wheel's places
are read off. Nothing of it is linear."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from trundle.plans.jig_error import OUTPUTS, BoreSize, Care, Reach, Sources, drilled, pinned, plates, running

Floats = NDArray[np.float64]

N = 40_000
ARM, WHEEL, WALLS, PIVOT_SLEEVE, AXLE_SLEEVE = 200.0, 95.0, 40.0, 42.0, 44.0
REACH = Reach(ARM, WHEEL)
TUBE = BoreSize(WALLS, 2, 16.0, True, PIVOT_SLEEVE)
AXLE = BoreSize(WALLS, 2, 16.0, True, AXLE_SLEEVE)

EndsOff = list[tuple[float, Floats, Floats]]
"""Of one bore: span, what its near and its far end are off, along and up, shape (N, 2) each."""


def wheel(pivot: EndsOff, axle: EndsOff, side: Floats) -> Floats:
    """OUTPUTS of every draw, shape (N, 6): axes along, up, sideways."""

    def line(ends: EndsOff, at: float) -> tuple[Floats, Floats]:
        middle, lean = np.zeros((N, 3)), np.zeros((N, 3))
        middle[:, 0], lean[:, 2] = at, 1.0
        for span, near, far in ends:
            middle[:, :2] += 0.5 * (near + far)
            lean[:, :2] += (far - near) / span
        return middle, lean / np.linalg.norm(lean, axis=1)[:, None]

    p, p_way = line(pivot, 0.0)
    a, a_way = line(axle, ARM)
    a = a.copy()
    a[:, 2] += side
    # Turned by the shortest turn that brings the pivot's bore onto the bolt.
    z = np.array([0.0, 0.0, 1.0])
    axis = np.cross(p_way, z)
    sine = np.linalg.norm(axis, axis=1)
    angle = np.arctan2(sine, p_way @ z)
    turned = Rotation.from_rotvec(axis / np.maximum(sine, 1e-15)[:, None] * angle[:, None])
    centre, way = turned.apply(a - p), turned.apply(a_way)
    # Lowest and foremost place of the rim: square to the wheel's axis, as far down and forward as can be.
    places = []
    for towards in (np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0])):
        flat = towards - (way @ towards)[:, None] * way
        places.append(centre + WHEEL * flat / np.linalg.norm(flat, axis=1)[:, None])
    low, fore = places
    toe, camber = np.arctan2(way[:, 0], way[:, 2]), np.arctan2(way[:, 1], way[:, 2])
    return np.column_stack([centre[:, 0] - ARM, centre[:, 1], low[:, 2], fore[:, 2], toe, camber])


def draws(rng: np.random.Generator, off: float, shape: tuple[int, ...], spread: str) -> Floats:
    """Normal, a third of the limit as standard deviation; or evenly within the limits."""
    if spread == "normal":
        return rng.normal(0.0, off / 3.0, shape)
    return rng.uniform(-off, off, shape)


def ends(rng: np.random.Generator, span: float, off: float, spread: str) -> tuple[float, Floats, Floats]:
    return span, draws(rng, off, (N, 2), spread), draws(rng, off, (N, 2), spread)


def both(rng: np.random.Generator, care: Care, spread: str) -> tuple[Floats, Floats]:
    """The drilling jig alone, and the assembly jig, by their description in `Care`."""
    zero = np.zeros(N)
    place = draws(rng, care.bush_place_mm, (N, 2), spread)
    found = []
    bores = []
    for _ in range(2):
        bores.append(
            [
                ends(rng, WALLS, 0.5 * care.drill_play_mm, spread),
                ends(rng, WALLS, care.opening_mm, spread),
                ends(rng, WALLS, care.weld_pull_mm, spread),
            ]
        )
    found.append(wheel(bores[0], [*bores[1], (1.0, place, place)], zero))
    pin = draws(rng, care.pin_place_mm, (N, 2), spread)
    half = 0.5 * max(WALLS, PIVOT_SLEEVE, AXLE_SLEEVE)
    bores = []
    for sleeve in (PIVOT_SLEEVE, AXLE_SLEEVE):
        lean = draws(rng, care.pin_lean_mm / 100.0, (N, 2), spread)
        # From its foot: the pin's place at the lower and the upper end of twice the middle's height.
        leaning = (2.0 * half, np.zeros((N, 2)), 2.0 * half * lean)
        play = ends(rng, sleeve, 0.5 * care.pin_play_mm, spread)
        bores.append([leaning, play, ends(rng, WALLS, care.weld_pull_mm, spread)])
    sides = draws(rng, care.packing_mm, (2, N), spread)
    found.append(wheel(bores[0], [*bores[1], (1.0, pin, pin)], sides[0] + sides[1]))
    return found[0], found[1]


@pytest.mark.parametrize(
    "care", [Care(), Care(pin_lean_mm=1.0, weld_pull_mm=0.3), Care(drill_play_mm=0.5, opening_mm=0.02)]
)
def test_against_monte_carlo(care: Care) -> None:
    """40,000 draws: the spread (three sigma) is the root-sum-square within 2 % (its own standard error is 0.35 %, what
    is left out of the linear is under 1 %); evenly drawn, none is beyond the worst case by more than 1 %."""
    said = drilled(REACH, TUBE, AXLE, care), pinned(REACH, TUBE, AXLE, care)
    for got, sources in zip(both(np.random.default_rng(11), care, "normal"), said, strict=True):
        assert 3.0 * got.std(axis=0) == pytest.approx(sources.likely, rel=0.02)
        assert np.all(np.abs(got.mean(axis=0)) < 0.02 * sources.likely)
    for got, sources in zip(both(np.random.default_rng(12), care, "even"), said, strict=True):
        assert np.all(np.abs(got).max(axis=0) < 1.01 * sources.worst)
        # The worst case is no idle bound: evenly drawn errors come to more than a third of it.
        assert np.all(np.abs(got).max(axis=0) > 0.33 * sources.worst)


def test_by_hand() -> None:
    """One error at a time: a sleeve of 42 mm that leans by its play of 0.1 swings a 200 mm arm by 0.1 x 200 / 42 =
    0.476 mm to the side at the axle and 0.1 x (200 + 95) / 42 = 0.702 at the tread's fore edge."""
    none = Care(0.0, 0.0, 0.0, 0.0, 0.0, 0.1, 0.0, 0.0)
    worst = dict(zip(OUTPUTS, pinned(REACH, TUBE, BoreSize(WALLS, 2, 16.0, True), none).worst, strict=True))
    assert worst["tread_fore"] == pytest.approx(0.1 * 295.0 / 42.0)
    assert worst["toe"] == pytest.approx(0.1 / 42.0)
    assert worst["tread_low"] == pytest.approx(0.1 * (200.0 + 95.0) / 42.0)  # swung by the arm, tilted by the wheel
    assert worst["along"] == pytest.approx(0.05)
    placed = pinned(REACH, TUBE, AXLE, Care(0.0, 0.0, 0.0, 0.1, 0.0, 0.0, 0.0, 0.0))
    assert placed.worst == pytest.approx([0.1, 0.1, 0.0, 0.0, 0.0, 0.0])
    assert placed.likely == pytest.approx([0.1, 0.1, 0.0, 0.0, 0.0, 0.0])


def test_one_wall() -> None:
    """Through one wall the drill leans in its bush: 0.1 over 16 mm; a beam beyond the end adds to the lever."""
    flat = BoreSize(8.0, 1, 16.0, False)
    care = Care(0.0, 0.1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    worst = dict(zip(OUTPUTS, drilled(Reach(200.0, 95.0, 120.0), flat, flat, care).worst, strict=True))
    assert worst["along"] == pytest.approx(0.1)
    assert worst["toe"] == pytest.approx(2.0 * 0.1 / 16.0)
    assert worst["tread_fore"] == pytest.approx(0.1 / 16.0 * ((200.0 + 120.0 + 95.0) + (120.0 + 95.0)))


def test_plates_and_running_play() -> None:
    """Two plates 52 mm apart, a hole each off by 0.05: the bolt leans by 0.1/52 at worst. Running play is shown and not
    counted."""
    apart = plates(Sources(), REACH, 52.0, 0.1)
    assert apart.worst[OUTPUTS.index("toe")] == pytest.approx(0.1 / 52.0)
    with_play = running(apart, REACH, 0.3, 42.0)
    assert with_play.worst == pytest.approx(apart.worst)
    assert with_play.likely == pytest.approx(apart.likely)
    assert with_play.of[-1].worst[OUTPUTS.index("toe")] == pytest.approx(0.3 / 42.0)
