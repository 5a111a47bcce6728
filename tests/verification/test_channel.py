"""The jolt filter: SAE J211-1 appendix C / ISO 6487 annex A, their corridor, scipy's two passes, closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal

from trundle.findings.channel import CFC, coefficients, filtered, fine_enough, gain

STEPS_S = (1e-3, 0.5e-3, 0.25e-3)


def test_coefficients_of_the_standard() -> None:
    """CFC 60 at 1 kHz by the standard's formula, worked by hand to seven digits."""
    (a0, a1, a2), (b1, b2) = coefficients(1e-3, 60.0)
    assert (a0, a1, a2) == pytest.approx((0.0971847, 0.1943694, 0.0971847), abs=2e-7)
    assert (b1, b2) == pytest.approx((0.9455740, -0.3343125), abs=1e-7)


@pytest.mark.parametrize("dt_s", STEPS_S)
def test_gain_keeps_within_the_standards_corridor(dt_s: float) -> None:
    """J211-1 figure 1 for class 60 (from memory): +-0.5 dB up to a tenth of the class, +0.5 / -1 dB up to the class,
    +0.5 / -4 dB at 5/3 of it (the corner), then falling by 9 dB an octave at least from +0.5 dB at the corner, and by
    24 at most from -4 dB there. Phase is none, so the gain is all there is.
    """
    f = np.linspace(0.1, 0.3 / dt_s, 4000)
    dB = 20.0 * np.log10(gain(f, dt_s))
    corner = CFC * 5.0 / 3.0
    assert (np.abs(dB[f <= 0.1 * CFC]) <= 0.5).all()
    assert ((dB <= 0.5) & (dB >= -1.0))[f <= CFC].all()
    assert ((dB <= 0.5) & (dB >= -4.0))[f <= corner].all()
    beyond = f > corner
    octaves = np.log2(f[beyond] / corner)
    assert (dB[beyond] <= 0.5 - 9.0 * octaves + 1e-9).all()
    # The bilinear map bends the foot of the curve down near half the sampling rate, where the standard does not look.
    near = octaves <= np.log2(0.1 / dt_s / corner) if 0.1 / dt_s > corner else octaves < 0.0
    assert (dB[beyond][near] >= -4.0 - 24.0 * octaves[near]).all()


def test_gain_at_single_frequencies() -> None:
    """At 1 kHz, and in the limit of fine sampling -3 dB at 5/3 of the class: two passes of a corner at 2.0775 of it."""
    assert gain(np.array([60.0, 100.0, 124.65]), 1e-3) == pytest.approx([0.9564, 0.7229, 0.5], abs=1e-4)
    assert 20.0 * np.log10(gain(np.array([100.0]), 1e-4)[0]) == pytest.approx(-3.01, abs=0.01)


@pytest.mark.parametrize("dt_s", STEPS_S)
def test_the_same_as_two_passes_of_the_standards_recursion(dt_s: float) -> None:
    """scipy's filter, forward and backward with silence on both sides: the recursion of the standard itself."""
    (a0, a1, a2), (b1, b2) = coefficients(dt_s)
    rng = np.random.default_rng(4)
    wide = round(0.2 / dt_s)
    a = np.concatenate((np.zeros(wide), rng.normal(size=3000).cumsum(), np.zeros(wide)))
    once = signal.lfilter([a0, a1, a2], [1.0, -b1, -b2], a)
    twice = signal.lfilter([a0, a1, a2], [1.0, -b1, -b2], once[::-1])[::-1]
    assert np.abs(filtered(a, dt_s) - twice).max() < 1e-9 * np.abs(a).max()


@pytest.mark.parametrize("dt_s", STEPS_S)
def test_a_blow_keeps_its_impulse_and_its_moment(dt_s: float) -> None:
    """Gain 1 at 0 Hz keeps the area; no phase keeps the centre and the symmetry of a half-sine."""
    time = np.arange(round(1.0 / dt_s)) * dt_s
    blow = np.where(np.abs(time - 0.5) <= 0.006, np.cos(np.pi * (time - 0.5) / 0.012), 0.0)
    after = filtered(blow, dt_s)
    assert after.sum() == pytest.approx(blow.sum(), rel=1e-9)
    assert (after * time).sum() / after.sum() == pytest.approx(0.5, abs=1e-9)
    middle = round(0.5 / dt_s)
    reach = round(0.1 / dt_s)
    assert after[middle - reach : middle] == pytest.approx(after[middle + reach : middle : -1], abs=1e-9)
    assert int(after.argmax()) == middle
    assert 0.4 < after.max() < 1.0


def test_the_step_hardly_matters_to_a_blow_that_both_resolve() -> None:
    """12 ms half-sine at 1 and 0.25 ms: peaks within 1 %."""
    peaks = []
    for dt_s in (1e-3, 0.25e-3):
        time = np.arange(round(1.0 / dt_s)) * dt_s
        peaks.append(
            filtered(np.where(np.abs(time - 0.5) <= 0.006, np.cos(np.pi * (time - 0.5) / 0.012), 0.0), dt_s).max()
        )
    assert peaks[0] == pytest.approx(peaks[1], rel=0.01)


def test_a_step_too_coarse_is_refused() -> None:
    """Ten samples to the class: 600 a second."""
    assert fine_enough(1.0 / 600.0)
    assert not fine_enough(1.0 / 599.0)
    with pytest.raises(ValueError, match="class 60 needs 600 samples a second or more, not 500"):
        filtered(np.zeros(10), 2e-3)
    for bad in (np.array([]), np.array([np.nan])):
        with pytest.raises(ValueError, match="finite"):
            filtered(bad, 1e-3)
