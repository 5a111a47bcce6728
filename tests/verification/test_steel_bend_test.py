"""A bend test there and back: loads put on a strip of layers, what it gives and keeps read off with errors, and its
steel found."""

from __future__ import annotations

import math

import numpy as np
import pytest
from plastic_strip import Layers

from trundle.errors import InputError
from trundle.steel.bend_test import PLASTIC, Errors, Piece, Reading, bend_test, over_first, set_share
from trundle.steel.materials import E_STEEL
from trundle.units import MM

NONE = Errors(1e-9, 1e-9, 1e-12, 1e-12, 1e-12)


def test_by_hand() -> None:
    """60 x 8 mm on supports 600 mm apart, 400 N, 3.414 mm: E = F L3/(48 I d) with I = 60 x 512/12 = 2560 mm4; stress
    1.5 F L/(b t2) = 93.75 MPa. Clamped at one end, 300 mm, 100 N: L3/3EI and 6 F L/(b t2)."""
    piece = Piece(0.060, 0.008, 0.600)
    exact = 400 * 600**3 / (48 * 206e3 * 2560)
    got = bend_test(piece, [Reading(400.0, exact * MM, 0.0)], NONE)
    assert got.modulus.value == pytest.approx(206e9, rel=1e-9)
    assert got.yields is not None
    assert got.yields.low == pytest.approx(93.75e6, rel=1e-2)
    assert math.isinf(got.yields.high)
    ended = Piece(0.060, 0.008, 0.300, "one end")
    exact = 100 * 300**3 / (3 * 206e3 * 2560)
    got = bend_test(ended, [Reading(100.0, exact * MM)], NONE)
    assert got.modulus.value == pytest.approx(206e9, rel=1e-9)
    assert got.yields is None
    assert ended.stress_Pa(100.0) == pytest.approx(6 * 100 * 300 / (60 * 64) * 1e6)


STEELS = [(1100e6, E_STEEL), (280e6, 206e9), (900e6, 198e9)]


def readings(of: Layers, piece: Piece, shares: list[float]) -> list[Reading]:
    """At so many times the load of first yield, by the layers."""
    first = of.yield_Pa * of.width * of.thickness**2 / 6.0
    out = []
    for share in shares:
        if piece.held == "two supports":
            load = share * first * 4.0 / piece.span_m
            down, left, _ = of.three_points(load, piece.span_m)
        else:
            load = share * first / piece.span_m
            down, left = of.cantilever(load, piece.span_m)
        out.append(Reading(load, down, max(left, 0.0)))
    return out


@pytest.mark.parametrize(("yield_Pa", "modulus"), STEELS)
@pytest.mark.parametrize("held", ["two supports", "one end"])
def test_yield_from_what_stays(yield_Pa: float, modulus: float, held: str) -> None:
    """Loads up to 1.3 times that of first yield, read without error: the yield within 0.5 %, the modulus within 0.1
    %."""
    piece = Piece(0.050, 0.006, 0.5 if held == "two supports" else 0.25, held)  # type: ignore[arg-type]
    own = Layers(piece.width_m, piece.thickness_m, yield_Pa, modulus)
    got = bend_test(piece, readings(own, piece, [0.3, 0.6, 0.9, 1.15, 1.3]), Errors(1e-5, 1e-9, 1e-12, 1e-12, 1e-12))
    assert got.modulus.value == pytest.approx(modulus, rel=1e-3)
    assert got.yields is not None
    assert got.yields.value == pytest.approx(yield_Pa, rel=5e-3)
    assert got.yields.low <= yield_Pa * 1.005
    assert got.yields.high >= yield_Pa * 0.995


def test_how_far_a_hinge_goes() -> None:
    """At 1.5 times the load of first yield a beam is down 20/9 of that of first yield and comes back by 1.5: plastic
    theory of beams. Nothing stays at 1; the way back from what stays to the load is its inverse."""
    assert set_share(1.0) == pytest.approx(0.0, abs=1e-12)
    assert set_share(PLASTIC) == pytest.approx((20 / 9 - 1.5) / 1.5)
    for f in (1.05, 1.2, 1.4):
        assert over_first(set_share(f), 1.0) == pytest.approx(f)
    assert over_first(0.0, 1.0) == 1.0
    assert over_first(0.9, 1.0) == PLASTIC


@pytest.mark.parametrize("last", [0.9, 1.3])
def test_the_truth_lies_in_the_range(last: float) -> None:
    """200 builders with a calliper of half a millimetre, scales of 2 %, a thickness read to 0.05 mm: even errors. Twice
    the standard uncertainty holds 95 of 100 of a normal, more of an even distribution; held: 93 %. What is said to be
    the least that it bears is no more than it bears in as many."""
    dice = np.random.default_rng(7)
    yield_Pa, errors = 1000e6, Errors()
    inside = below = 0
    for _ in range(200):

        def even(half: float) -> float:
            return float(dice.uniform(-half, half))

        true = Piece(0.050 + even(errors.width_m), 0.006 + even(errors.thickness_m), 0.5 + even(errors.span_m))
        own = Layers(true.width_m, true.thickness_m, yield_Pa, E_STEEL)
        scales = 1.0 + even(errors.load)
        read = []
        for r in EXACT[last]:
            share = own.yield_Pa * own.width * own.thickness**2 / 6.0 * 4.0 / true.span_m
            read.append(
                Reading(
                    r.load_N * share * scales,
                    max(r.down_m * true.span_m**2 / own.thickness + even(errors.read_m), 1e-4),
                    max((r.left_m or 0.0) * true.span_m**2 / own.thickness + even(errors.read_m), 0.0),
                )
            )
        got = bend_test(Piece(0.050, 0.006, 0.5), read, errors)
        inside += got.modulus.holds(E_STEEL)
        assert got.yields is not None
        below += got.yields.low <= yield_Pa
    assert inside >= 186
    assert below >= 186


def _exact(last: float) -> list[Reading]:
    """By share of the load of first yield; deflections over span^2/thickness, which is all they hang on beside it."""
    own = Layers(0.050, 0.006, 1000e6, E_STEEL)
    piece = Piece(0.050, 0.006, 0.5)
    shares = [0.2, 0.4, 0.6, last]
    scale = 0.5**2 / 0.006
    return [
        Reading(s, r.down_m / scale, (r.left_m or 0.0) / scale)
        for s, r in zip(shares, readings(own, piece, shares), strict=True)
    ]


EXACT = {last: _exact(last) for last in (0.9, 1.3)}


def test_what_settles_first_is_left_out() -> None:
    """Three readings and more may begin anywhere: 1.2 mm of rocking on the supports change no modulus. With two the
    line goes through nought."""
    piece = Piece(0.060, 0.008, 0.600)
    give = 600e-3**3 / (48 * 206e9 * 2560e-12)
    loads = (100.0, 250.0, 400.0)
    got = bend_test(piece, [Reading(f, f * give + 1.2e-3) for f in loads], Errors())
    assert got.modulus.value == pytest.approx(206e9, rel=1e-9)
    two = bend_test(piece, [Reading(f, f * give) for f in loads[:2]], Errors())
    assert two.modulus.value == pytest.approx(206e9, rel=1e-9)


def test_a_slip_of_one_reading_widens_the_range() -> None:
    """One of four off by 3 mm is named, and the range says so."""
    piece = Piece(0.060, 0.008, 0.600)
    give = 600e-3**3 / (48 * 206e9 * 2560e-12)
    good = [Reading(f, f * give) for f in (200.0, 400.0, 600.0, 800.0)]
    bad = [*good[:2], Reading(600.0, 600.0 * give + 3e-3), good[3]]
    fine, wide = (bend_test(piece, r, Errors()) for r in (good, bad))
    assert wide.worst == 2
    assert wide.worst_m > 1e-3 > fine.worst_m
    assert wide.modulus.high - wide.modulus.low > 2.0 * (fine.modulus.high - fine.modulus.low)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ([], "wants at least one reading"),
        ([Reading(0.0, 1e-3)], "above 0"),
        ([Reading(100.0, 0.0)], "above 0"),
        ([Reading(100.0, 0.4)], "does not give by 400 mm"),
        ([Reading(100.0, 2e-3, 3e-3)], "is less than what it gave"),
        ([Reading(100.0, 20e-3, 9e-3)], "stayed bent after every load"),
        ([Reading(100.0, 5e-3), Reading(200.0, 3e-3), Reading(300.0, 1e-3)], "less under more load"),
    ],
)
def test_readings_that_no_strip_gives(given: list[Reading], said: str) -> None:
    """Said, with what is wrong."""
    with pytest.raises(InputError, match=said):
        bend_test(Piece(0.060, 0.008, 0.600), given, Errors())
