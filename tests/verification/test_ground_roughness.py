"""Rough ground against the spectrum that ISO 8608 defines.

Source: ISO 8608:2016, Gd(n) = Gd(n0) (n / n0)^-2 with n0 = 0.1 cycle/m and the class means of Annex C
(A 16e-6 m3, each next class times 4; E 4096e-6 seen in public excerpts, F to H from memory). Band figures are
the integral of that PSD: sigma^2 = Gd(n0) n0^2 (1/n1 - 1/n2).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.signal import welch

from trundle.terrain.ground import lay
from trundle.terrain.rough import RoughGround

N0 = 0.1
GD = {
    "A": 16e-6,
    "B": 64e-6,
    "C": 256e-6,
    "D": 1024e-6,
    "E": 4096e-6,
    "F": 16384e-6,
    "G": 65536e-6,
    "H": 262144e-6,
}
DX = 0.02


class Lane:
    """A course of one rough stretch, without run-up or run-out."""

    run_up_mm = run_out_mm = 0.0
    speed_m_s = None
    driver = ()

    def __init__(self, **fields: Any) -> None:
        self.obstacle = (RoughGround(kind="rough ground", gap_mm=0.0, **fields),)


def spectrum(iso_class: str, seeds: range) -> tuple[np.ndarray, np.ndarray]:
    """Mean one-sided PSD over seeds, by Welch, of the laid ground between its faded ends."""
    densities = []
    for seed in seeds:
        lane = Lane(iso_class=iso_class, length_mm=200_000.0, seed=seed)
        heights = lay(lane, 0.010).height_m[100:-100:2]
        n, density = welch(heights, fs=1.0 / DX, window="hann", nperseg=2500, scaling="density", detrend=False)
        densities.append(density)
    return n, np.mean(densities, axis=0)


@pytest.mark.parametrize("iso_class", ["C", "F"])
def test_spectrum_of_the_laid_ground(iso_class: str) -> None:
    """Slope -2 +- 0.05, Gd(n0) +- 10 %, octave bands +- 15 %; a factor 2 (one- or two-sided) would show.

    12 seeds of 200 m in 50 m segments give about 70 averages, so 1/sqrt(70) = 12 % on a single line and
    a few per cent on an octave. Lines below 0.1 cycle/m are left out: the window smears the band's end there.
    """
    n, density = spectrum(iso_class, range(12))
    fit = (n >= 0.1) & (n <= 8.0)
    slope, level = np.polyfit(np.log(n[fit] / N0), np.log(density[fit]), 1)
    assert slope == pytest.approx(-2.0, abs=0.05)
    assert math.exp(level) == pytest.approx(GD[iso_class], rel=0.10)
    for low in (0.1, 0.2, 0.4, 0.8, 1.6, 3.2):
        band = (n >= low) & (n < 2 * low)
        power = density[band].sum() / np.sum(GD[iso_class] * (n[band] / N0) ** -2)
        assert power == pytest.approx(1.0, abs=0.15), f"{low} to {2 * low} cycle/m"


@pytest.mark.parametrize(
    ("iso_class", "rms_mm"),
    [("A", 1.784), ("B", 3.569), ("C", 7.138), ("D", 14.275), ("E", 28.55), ("F", 57.1), ("G", 114.2)],
)
def test_band_rms(iso_class: str, rms_mm: float) -> None:
    """R.m.s. over 0.05 to 10 cycle/m from the PSD's integral, to its printed digits.

    The sum over lines 1/L = 1/200 m apart counts half a line more at either end than the integral does
    (trapezium rule): Gd(n1)/2L + Gd(n2)/2L, 5 % in variance, which is added to the integral here.
    """
    part = RoughGround(kind="rough ground", iso_class=iso_class, length_mm=200_000.0, seed=5)
    heights = part.unfaded_m(np.arange(4000) * 0.05)
    ends = math.sqrt(sum(GD[iso_class] * (n / N0) ** -2 / (2 * 200.0) for n in (0.05, 10.0)))
    assert np.sqrt(np.mean(heights**2)) * 1e3 == pytest.approx(math.hypot(rms_mm, ends * 1e3), rel=1e-3)


@pytest.mark.parametrize("seed", [0, 1, 2**32 - 1])
def test_every_seed_has_the_same_mean_square(seed: int) -> None:
    """Parseval: over one whole length the mean square is the sum of Gd(n_i) / L, to rounding."""
    length = 40.0
    part = RoughGround(kind="rough ground", iso_class="D", length_mm=length * 1e3, seed=seed)
    heights = part.unfaded_m(np.arange(1600) * 0.025)
    lines = np.arange(2, 401) / length
    assert np.mean(heights**2) == pytest.approx(np.sum(GD["D"] * (lines / N0) ** -2) / length, rel=1e-9)


def test_slope_rms() -> None:
    """Class C: slope r.m.s. 0.03171 over 0.05 to 10 cycle/m, (2 pi n0)^2 Gd(n0) being flat over the band.

    Differences over 2.5 mm read the steepest wave (100 mm) low by sinc: 1 - (pi/40)^2/6 = 0.1 %.
    """
    part = RoughGround(kind="rough ground", iso_class="C", length_mm=100_000.0, seed=8)
    heights = part.unfaded_m(np.arange(40_001) * 0.0025)
    assert np.std(np.diff(heights) / 0.0025) == pytest.approx(0.03171, rel=0.005)


def test_sum_is_the_sum_of_cosines() -> None:
    """Horner's rule against the plain sum of the same waves, by numpy."""
    part = RoughGround(kind="rough ground", iso_class="E", length_mm=20_000.0, seed=3)
    x = np.linspace(0.0, 20.0, 777)
    n, amplitude, phase = part.waves()
    plain = (amplitude * np.cos(2.0 * np.pi * np.multiply.outer(x, n) + phase)).sum(axis=1)
    assert (n[0], n[-1]) == (0.05, 10.0)
    np.testing.assert_allclose(part.unfaded_m(x), plain, rtol=0, atol=1e-12)


def test_it_grows_out_of_the_flat() -> None:
    """Height and slope are zero at both ends, half the wave's height half way through the fade."""
    part = RoughGround(kind="rough ground", iso_class="G", length_mm=10_000.0, seed=3, fade_mm=2000.0)
    x = np.array([0.0, 1e-4, 1.0, 5.0, 9.0, 10.0 - 1e-4, 10.0])
    share = part.heights_m(x) / part.unfaded_m(x)
    assert share == pytest.approx([0, 0, 0.5, 1, 0.5, 0, 0], abs=1e-7)
