"""Jolts as crash laboratories filter them: channel frequency classes of SAE J211-1 and ISO 6487.

A raw peak hangs on the step and on a rate that nobody has measured; what a rider, a load or a mast feels of a blow of a
few milliseconds is its impulse. The class here is CFC 60: J211-1 (table 1, from memory) has it for accelerations of
a vehicle's structure used to compare whole vehicles and as input to a sled, which is what a seat's foot on a hull is.
The higher classes (180 to 1000) are for analysis of parts, chest and head, which a planar rigid hull does not have.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from trundle.model.arrays import Floats

CFC = 60.0
"""Channel frequency class of jolts at the seat [Hz]."""

RATE_PER_CLASS = 10.0
"""The slowest sampling rate, in multiples of the class (J211-1, 9.3.1; ISO 6487; from memory)."""

TAIL_S = 0.1
"""Silence behind a record [s]: what a blow leaves of the filter's own ringing falls to 1e-12 in 0.05 s."""

CLASS_TO_CORNER = 2.0775
"""A class times this, times 2 pi, is the design frequency wd of one pass of two poles (J211-1, appendix C)."""

SETTLES_S = 0.025
"""A blow shows for this long before and behind it in the filtered series, and no longer (below 1e-4 of it) [s]."""

NAME = f"CFC {CFC:g}, SAE J211-1"
"""What the output calls the filter."""


def fine_enough(dt_s: float, cfc: float = CFC) -> bool:
    """Whether a step [s] samples fast enough for a class."""
    return dt_s * cfc * RATE_PER_CLASS <= 1.0 + 1e-9


def coefficients(dt_s: float, cfc: float = CFC) -> tuple[tuple[float, float, float], tuple[float, float]]:
    """One pass: y = a0 x + a1 x' + a2 x'' + b1 y' + b2 y'', as ((a0, a1, a2), (b1, b2)).

    J211-1 appendix C, ISO 6487 annex A: wd = 2 pi CFC 2.0775, wa = tan(wd T / 2), a Butterworth of two poles.
    """
    wa = math.tan(math.pi * cfc * CLASS_TO_CORNER * dt_s)
    below = 1.0 + math.sqrt(2.0) * wa + wa**2
    a0 = wa**2 / below
    return (a0, 2.0 * a0, a0), (-2.0 * (wa**2 - 1.0) / below, -(1.0 - math.sqrt(2.0) * wa + wa**2) / below)


def gain(f_Hz: Floats, dt_s: float, cfc: float = CFC) -> Floats:
    """Gain of both passes, forward and back, at frequencies [Hz] from 0 to half the sampling rate; phase is none."""
    (a0, a1, a2), (b1, b2) = coefficients(dt_s, cfc)
    z = np.exp(-2j * np.pi * np.asarray(f_Hz, dtype=np.float64) * dt_s)
    once = (a0 + a1 * z + a2 * z**2) / (1.0 - b1 * z - b2 * z**2)
    return np.asarray(np.abs(once) ** 2, dtype=np.float64)


def filtered(series: Floats, dt_s: float, cfc: float = CFC) -> Floats:
    """A series in steps of `dt_s` [s] after a class's filter, in its own unit, shape (n,).

    Both passes of the standard's digital filter together, by the spectrum: their phases cancel, so that is a product
    with a real gain, and takes an FFT each way however long the record. Before and behind it there is silence.
    Raises ValueError on a step too coarse for the class, an empty series or numbers that are not finite.
    """
    a = np.asarray(series, dtype=np.float64)
    if a.ndim != 1 or a.size == 0 or not np.isfinite(a).all():
        raise ValueError("a series of one or more finite numbers is wanted")
    if not fine_enough(dt_s, cfc):
        raise ValueError(f"class {cfc:g} needs {RATE_PER_CLASS * cfc:g} samples a second or more, not {1.0 / dt_s:g}")
    size = 1 << (a.size + math.ceil(TAIL_S / dt_s) - 1).bit_length()  # a power of two transforms fast
    spectrum = np.fft.rfft(a, size)
    spectrum *= _gains(size, dt_s, cfc)
    return np.asarray(np.fft.irfft(spectrum, size)[: a.size], dtype=np.float64)


@lru_cache(maxsize=4)  # the runs of a study are mostly alike in this
def _gains(size: int, dt_s: float, cfc: float) -> Floats:
    return gain(np.arange(size // 2 + 1, dtype=np.float64) / (size * dt_s), dt_s, cfc)
