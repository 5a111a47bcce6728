"""Seat figures against ISO 2631-1 and published worked values.

Wk: transfer function of ISO 2631-1 Annex A with the parameters ISO 8041 tabulates (seen in an instrument
manual); the third-octave column is ISO 2631-1 Table 3 (0.5 to 80 Hz seen in public code, the rest from
memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import signal

from trundle.findings.ride import (
    caveats,
    comfort_words,
    crest_factor,
    running_rms_max,
    transfer_Wk,
    vdv,
    weighted,
    weighted_rms,
)

BANDS_HZ = [0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8]
BANDS_HZ += [10, 12.5, 16, 20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160]
WK_1000 = [
    31.2,
    48.6,
    79.0,
    121,
    182,
    263,
    352,
    418,
    459,
    477,
    482,
    484,
    494,
    531,
    631,
    804,
    967,
    1039,
    1054,
    1036,
]
WK_1000 += [988, 902, 768, 636, 513, 405, 314, 246, 186, 132, 88.7, 54.0, 28.5]


def gain_Wk(f_Hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Magnitude of the weighting [-]."""
    return np.abs(transfer_Wk(f_Hz))


def test_weight_at_the_third_octaves() -> None:
    """Within one in the third digit: the printed table truncates here and there."""
    for f, printed, gain in zip(BANDS_HZ, WK_1000, gain_Wk(np.array(BANDS_HZ)) * 1e3, strict=True):
        digit = 10.0 ** (math.floor(math.log10(printed)) - 2)
        assert gain == pytest.approx(printed, abs=1.0001 * digit), f"{f} Hz"


def test_the_column_is_not_shifted() -> None:
    """Copies shifted by three bands put 0.482 at 0.5 Hz and 1.039 at 2.5 Hz; the peak belongs at 6.3 Hz."""
    bands = np.array(BANDS_HZ)
    assert bands[gain_Wk(bands).argmax()] == 6.3
    assert gain_Wk(np.array([0.5]))[0] == pytest.approx(0.418, abs=1e-3)
    assert gain_Wk(np.array([0.0]))[0] == 0.0


@pytest.mark.parametrize("rate", [400.0, 1000.0, 2000.0])
@pytest.mark.parametrize("f", [0.5, 1.0, 2.0, 4.0, 6.3, 8.0, 16.0, 31.5, 63.0, 80.0])
def test_a_sine_comes_out_with_the_tabulated_gain(f: float, rate: float) -> None:
    """0.5 to 80 Hz through the time-domain path, at three sampling rates.

    Measured over 10 s, whole cycles of every one of these, after 10 s more, when Wk's start has died away
    to exp(-10 * 2 pi 0.4 / sqrt 2) = 2e-8 of the sine.
    """
    t = np.arange(round(25.0 * rate)) / rate
    out = weighted(math.sqrt(2.0) * np.sin(2 * np.pi * f * t), rate)
    steady = out[(t >= 10.0 - 1e-9) & (t < 20.0 - 1e-9)]
    assert weighted_rms(steady) == pytest.approx(gain_Wk(np.array([f]))[0], rel=1e-6)


def test_a_shock_against_the_analogue_filter() -> None:
    """A half-sine shock of 20 ms and a sudden drop of support, against scipy's solution of the same filter
    written as its poles and zeros' polynomials (exact for straight lines between samples).

    At 4 kHz the shock's content above 2 kHz, which the spectrum path cannot hold, is below 1e-3 of its peak.
    """
    rate = 4000.0
    t = np.arange(round(6 * rate)) / rate
    shock = np.where((t > 1.0) & (t < 1.02), 20.0 * np.sin(np.pi * (t - 1.0) / 0.02), 0.0)
    shock -= 3.0 * np.clip((t - 3.0) / 0.01, 0, 1) * (t < 3.5)
    w = {i: 2 * np.pi * f for i, f in enumerate((0.4, 100.0, 12.5, 12.5, 2.37, 3.35), 1)}
    num, den = np.array([1.0, 0.0, 0.0]), np.array([1.0, math.sqrt(2) * w[1], w[1] ** 2])
    for top, bottom in (
        ([1.0], [1 / w[2] ** 2, math.sqrt(2) / w[2], 1]),
        ([1 / w[3], 1], [1 / w[4] ** 2, 1 / (0.63 * w[4]), 1]),
        ([1 / w[5] ** 2, 1 / (0.91 * w[5]), 1], [1 / w[6] ** 2, 1 / (0.91 * w[6]), 1]),
    ):
        num, den = np.polymul(num, top), np.polymul(den, bottom)
    num = num * (2.37 / 3.35) ** 2
    exact = signal.lsim((num, den), shock, t)[1]
    mine = weighted(shock, rate)
    assert np.abs(mine - exact).max() < 2e-3 * np.abs(exact).max()
    assert vdv(mine, rate) == pytest.approx(vdv(exact, rate), rel=1e-3)
    assert weighted_rms(mine) == pytest.approx(weighted_rms(exact), rel=1e-3)


def test_vdv_of_a_sine_and_of_noise() -> None:
    """60 s at 1 m/s2 r.m.s.: (1.5 * 60)^(1/4) = 3.080 for a sine, (3 * 60)^(1/4) = 3.663 for Gaussian noise.

    The mean of 600,000 fourth powers of noise has a standard error of sqrt(96)/3/sqrt(6e5) = 0.4 %, its
    fourth root 0.1 %; four of those are allowed.
    """
    rate = 1000.0
    t = np.arange(60_000) / rate
    assert vdv(math.sqrt(2) * np.sin(2 * np.pi * 5 * t), rate) == pytest.approx(3.080, abs=5e-4)
    noise = np.random.default_rng(1).standard_normal(600_000)
    assert vdv(noise, 10_000.0) == pytest.approx(3.663, rel=0.004)
    assert vdv(np.array([2.0]), 1.0) == pytest.approx(2.0)


def test_greatest_second() -> None:
    """1 s of 3 m/s2 in silence is 3; half a second is 3 sqrt(1/2); a steady series shorter than 1 s counts
    the silence before it (definition in ISO 2631-1, 6.3.1)."""
    rate = 500.0
    a = np.zeros(5000)
    a[2000:2500] = 3.0
    assert running_rms_max(a, rate) == pytest.approx(3.0)
    a[2250:2500] = 0.0
    assert running_rms_max(a, rate) == pytest.approx(3.0 / math.sqrt(2))
    assert running_rms_max(np.ones(125), rate) == pytest.approx(0.5)


def test_crest_factor() -> None:
    """sqrt 2 for a sine; 10 for one sample in a hundred; 0 for silence."""
    t = np.arange(10_000) / 1000
    assert crest_factor(np.sin(2 * np.pi * 5 * t)) == pytest.approx(math.sqrt(2), rel=1e-6)
    assert crest_factor(np.eye(1, 100)[0]) == pytest.approx(10.0)
    assert crest_factor(np.zeros(10)) == 0.0


@pytest.mark.parametrize(
    ("a_w", "words"),
    [
        (0.0, "not uncomfortable"),
        (0.31, "not uncomfortable"),
        (0.4, "a little uncomfortable"),
        (0.55, "a little to fairly uncomfortable"),
        (0.7, "fairly uncomfortable"),
        (0.9, "fairly uncomfortable to uncomfortable"),
        (1.1, "uncomfortable"),
        (1.4, "uncomfortable to very uncomfortable"),
        (1.8, "very uncomfortable"),
        (2.2, "very to extremely uncomfortable"),
        (9.0, "extremely uncomfortable"),
    ],
)
def test_comfort_words(a_w: float, words: str) -> None:
    """ISO 2631-1 C.2.3 (from memory): its bands overlap on purpose, so two answers may both be given."""
    assert comfort_words(a_w) == words


def test_caveats_come_when_they_apply() -> None:
    """Healthy adults always; crest factor above 9; a record shorter than the standard wants."""
    assert ["healthy adults" in c for c in caveats(3.0, 600.0)] == [True]
    assert "11.0" in caveats(11.0, 600.0)[1]
    assert "VDV" in caveats(11.0, 600.0)[1]
    assert "12 s long" in caveats(3.0, 12.0)[1]
    assert len(caveats(9.0, 108.0)) == 1


@pytest.mark.parametrize("bad", [[], [1.0, math.nan], [[1.0]]])
def test_a_series_that_is_none_is_refused(bad: list[float]) -> None:
    """Never a nan in a summary."""
    for figure in (weighted_rms, crest_factor, lambda a: vdv(a, 500.0), lambda a: weighted(a, 500.0)):
        with pytest.raises(ValueError, match="finite numbers"):
            figure(np.array(bad))
    with pytest.raises(ValueError, match="400 samples a second"):
        weighted(np.zeros(10), 100.0)
    with pytest.raises(ValueError, match="0 or more"):
        comfort_words(math.nan)
