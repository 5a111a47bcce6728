"""How the ride feels at the seat: weighted acceleration, dose and what the standard says of them.

ISO 2631-1 (vertical, seated): frequency weighting Wk of Annex A with the parameters that ISO 8041 tabulates.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]

F1_HZ, F2_HZ = 0.4, 100.0
"""Corners of the band limiting high pass and low pass [Hz]."""
F3_HZ, F4_HZ, Q4 = 12.5, 12.5, 0.63
"""Acceleration-velocity transition [Hz, Hz, -]."""
F5_HZ, Q5, F6_HZ, Q6 = 2.37, 0.91, 3.35, 0.91
"""Upward step [Hz, -, Hz, -]."""

MIN_RATE_HZ = 400.0
"""Slowest sampling rate that still carries the weighting's band to beyond 100 Hz [Hz]."""

TAIL_S = 8.0
"""Silence put behind a record [s]: Wk's slowest part decays as exp(-t 2 pi 0.4 / sqrt 2), to 1e-6 in 8 s."""

CREST_LIMIT = 9.0
"""Crest factor above which ISO 2631-1 (6.2.1) doubts the basic r.m.s. method (from memory)."""

SHORT_RECORD_S = 108.0
"""Shortest record that gives 1 Hz to 3 dB at 90 % confidence [s] (ISO 2631-1, 5.5; from memory)."""

COMFORT = (
    (0.0, 0.315, "not uncomfortable"),
    (0.315, 0.63, "a little uncomfortable"),
    (0.5, 1.0, "fairly uncomfortable"),
    (0.8, 1.6, "uncomfortable"),
    (1.25, 2.5, "very uncomfortable"),
    (2.0, math.inf, "extremely uncomfortable"),
)
"""Likely reactions to a weighted r.m.s. [m/s2], from, to (ISO 2631-1 C.2.3; from memory). They overlap."""


def transfer_Wk(f_Hz: Floats) -> Complexes:
    """Wk as a complex gain at `f_Hz` [Hz], shape (n,): the product Hh Hl Ht Hs of ISO 2631-1 Annex A."""
    f = np.asarray(f_Hz, dtype=np.float64)
    s = np.asarray(2j * np.pi * f, dtype=np.complex128)
    w1, w2, w3, w4, w5, w6 = (2.0 * math.pi * c for c in (F1_HZ, F2_HZ, F3_HZ, F4_HZ, F5_HZ, F6_HZ))
    # Written with s in the numerator, so that it is 0 and not a division by zero at 0 Hz.
    high_pass = s**2 / (s**2 + math.sqrt(2.0) * w1 * s + w1**2)
    low_pass = 1.0 / (1.0 + math.sqrt(2.0) * s / w2 + (s / w2) ** 2)
    transition = (1.0 + s / w3) / (1.0 + s / (Q4 * w4) + (s / w4) ** 2)
    step = (1.0 + s / (Q5 * w5) + (s / w5) ** 2) / (1.0 + s / (Q6 * w6) + (s / w6) ** 2) * (w5 / w6) ** 2
    return np.asarray(high_pass * low_pass * transition * step, dtype=np.complex128)


def weighted(acceleration_m_s2: Floats, rate_Hz: float) -> Floats:
    """Vertical seat acceleration after Wk [m/s2], shape (n,), of a series sampled at `rate_Hz` [Hz].

    The series' spectrum is multiplied by the analogue transfer function itself, so there is no error of a
    digital filter design: a sine between 0 and half the rate, once its start has died away, comes out
    with Wk's exact gain and phase. The record is taken to be silent before its start and after its end;
    what of its tail wraps round to the start is below 1e-6. Content above half the rate is lost, so the
    rate must be 400 Hz or more. Raises ValueError on a slower rate, an empty series or numbers that are
    not finite.
    """
    a = _series(acceleration_m_s2)
    if not rate_Hz >= MIN_RATE_HZ:
        raise ValueError(f"the weighting needs {MIN_RATE_HZ:g} samples a second or more, not {rate_Hz:g}")
    size = 1 << (a.size + math.ceil(TAIL_S * rate_Hz) - 1).bit_length()  # a power of two transforms fast
    spectrum = np.multiply(np.fft.rfft(a, size), _gains(size, rate_Hz))
    return np.asarray(np.fft.irfft(spectrum, size)[: a.size], dtype=np.float64)


@lru_cache(maxsize=2)  # the runs of a study are mostly alike in this: a third of the weighting
def _gains(size: int, rate_Hz: float) -> Complexes:
    """Wk at the frequencies of a transform of `size` samples."""
    return transfer_Wk(np.arange(size // 2 + 1, dtype=np.float64) * (rate_Hz / size))


def weighted_rms(weighted_m_s2: Floats) -> float:
    """Root mean square a_w [m/s2] of a weighted series (ISO 2631-1, 6.1)."""
    return math.sqrt(float(np.mean(np.square(_series(weighted_m_s2)))))


def vdv(weighted_m_s2: Floats, rate_Hz: float) -> float:
    """Vibration dose value (integral of a_w^4 dt)^(1/4) [m/s^1.75] of a weighted series (6.3.2)."""
    return math.sqrt(math.sqrt(float(np.sum(np.square(np.square(_series(weighted_m_s2))))) / rate_Hz))


def running_rms_max(weighted_m_s2: Floats, rate_Hz: float, window_s: float = 1.0) -> float:
    """Maximum transient vibration value [m/s2]: greatest r.m.s. over any `window_s` [s] (6.3.1, MTVV).

    Windows reaching back beyond the start of the record find silence there.
    """
    a = _series(weighted_m_s2)
    n = max(round(window_s * rate_Hz), 1)
    energy = np.concatenate(([0.0], np.cumsum(np.square(a))))
    in_window = energy[1:] - energy[np.maximum(np.arange(1, a.size + 1) - n, 0)]
    return math.sqrt(max(float(in_window.max()), 0.0) / n)


def crest_factor(weighted_m_s2: Floats) -> float:
    """Greatest weighted peak over weighted r.m.s. [-] (6.2.1); 0 for a silent series."""
    a = _series(weighted_m_s2)
    rms = weighted_rms(a)
    return float(np.abs(a).max()) / rms if rms > 0.0 else 0.0


def comfort_words(a_w_m_s2: float) -> str:
    """The standard's likely reaction; `a little to fairly uncomfortable` where its bands overlap.

    Raises ValueError on a negative number or nan.
    """
    if not a_w_m_s2 >= 0.0:
        raise ValueError(f"a weighted r.m.s. is 0 or more, not {a_w_m_s2}")
    fits = [words for low, high, words in COMFORT if low <= a_w_m_s2 < high]
    if len(fits) > 1 and "uncomfortable" not in fits:
        fits[0] = fits[0].removesuffix(" uncomfortable")
    return " to ".join(fits)


def caveats(crest: float, duration_s: float) -> list[str]:
    """What must be said beside the seat figures: the standard's own limits, as far as they apply."""
    said = [
        "Comfort words are likely reactions of healthy adults, seated upright (ISO 2631-1 Annex C); they say "
        "nothing about children, pregnancy, back trouble, or the risk of a fall or an impact.",
    ]
    if crest > CREST_LIMIT:
        said.append(
            f"The crest factor is {crest:.1f}, above {CREST_LIMIT:g}: the weighted r.m.s. understates such "
            "shocks. Go by the dose value (VDV) and the greatest one-second value."
        )
    if duration_s < SHORT_RECORD_S:
        said.append(
            f"The record is {duration_s:.0f} s long; below {SHORT_RECORD_S:.0f} s the lowest frequencies are "
            "poorly covered. The figures are those of this course, not of a day's driving."
        )
    return said


def _series(values: Floats) -> Floats:
    a = np.asarray(values, dtype=np.float64)
    if a.ndim != 1 or a.size == 0 or not np.isfinite(a).all():
        raise ValueError("a series of one or more finite numbers is wanted")
    return a
