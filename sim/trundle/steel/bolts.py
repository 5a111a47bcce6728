"""Bolts as axles and pivots: property classes, threads, bending, shear and clevis joints."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trundle.errors import InputError, Problem, did_you_mean
from trundle.steel.materials import E_STEEL

INCH = 0.0254
"""One inch [m]."""


@dataclass(frozen=True)
class BoltClass:
    """Minimum strengths of a property class [Pa]; up_to_m: largest diameter they hold for [m]."""

    name: str
    proof_Pa: float
    yield_Pa: float
    tensile_Pa: float
    up_to_m: float
    source: str


_ISO = "ISO 898-1 table 3, from memory"
_SAE = "SAE J429 table 1, from memory"
_CLASSES = (
    BoltClass("4.6", 225e6, 240e6, 400e6, 0.039, _ISO),
    BoltClass("5.6", 280e6, 300e6, 500e6, 0.039, _ISO),
    BoltClass("8.8", 580e6, 640e6, 800e6, 0.016, _ISO),
    BoltClass("8.8 over 16 mm", 600e6, 660e6, 830e6, 0.039, _ISO),
    BoltClass("10.9", 830e6, 940e6, 1040e6, 0.039, _ISO),
    BoltClass("12.9", 970e6, 1100e6, 1220e6, 0.039, _ISO),
    BoltClass("grade 5", 586e6, 634e6, 827e6, INCH, _SAE),
    BoltClass("grade 8", 827e6, 896e6, 1034e6, 1.5 * INCH, _SAE),
    BoltClass("unmarked", 225e6, 240e6, 400e6, 0.039, "taken as class 4.6: an unmarked bolt proves nothing"),
)
BOLT_CLASSES: Mapping[str, BoltClass] = {c.name: c for c in _CLASSES}
"""Every class by name."""


UNMARKED = "unmarked"
"""The class of a bolt that shows none."""


@dataclass(frozen=True)
class Thread:
    """A thread: diameter_m [m], pitch_m [m]."""

    name: str
    diameter_m: float
    pitch_m: float

    @property
    def root_m(self) -> float:
        """Root diameter of the bolt's thread, d - 1.22687 P [m] (ISO 68-1, from memory)."""
        return self.diameter_m - 1.22687 * self.pitch_m

    @property
    def stress_area_m2(self) -> float:
        """Tensile stress area, pi/4 (d - 0.93819 P)^2 [m2] (ISO 898-1, from memory: M10 58.0, M12 84.3 mm2)."""
        return math.pi / 4.0 * (self.diameter_m - 0.93819 * self.pitch_m) ** 2


_METRIC = {
    "M5": 0.8,
    "M6": 1.0,
    "M8": 1.25,
    "M10": 1.5,
    "M12": 1.75,
    "M14": 2.0,
    "M16": 2.0,
    "M20": 2.5,
    "M24": 3.0,
}
_UNC = {"1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12, "5/8": 11, "3/4": 10, "1": 8}


def _inches(text: str) -> float:
    top, _, below = text.partition("/")
    return float(top) / float(below or 1) * INCH


THREADS: Mapping[str, Thread] = {
    **{name: Thread(name, float(name[1:]) * 1e-3, pitch * 1e-3) for name, pitch in _METRIC.items()},
    **{f"UNC {size}": Thread(f"UNC {size}", _inches(size), INCH / n) for size, n in _UNC.items()},
}
"""Coarse threads by name: ISO 261 (M12) and ASME B1.1 (UNC 1/2). Sizes from memory."""


def bolt_class(name: str, diameter_m: float = 0.0) -> BoltClass:
    """The class called `name`, for this diameter. Raises InputError if unknown (listing all) or too thick."""
    if name not in BOLT_CLASSES:
        raise InputError(
            Problem(
                f'unknown bolt class "{name}"{did_you_mean(name, BOLT_CLASSES)}',
                "class",
                ", ".join(BOLT_CLASSES),
            )
        )
    if name == "8.8" and diameter_m > 0.016:
        name = "8.8 over 16 mm"
    found = BOLT_CLASSES[name]
    if diameter_m > found.up_to_m * (1 + 1e-9):
        raise InputError(
            Problem(
                f"{name} has no figures for {diameter_m * 1e3:g} mm",
                "class",
                f"up to {found.up_to_m * 1e3:g} mm",
            )
        )
    return found


def thread(name: str) -> Thread:
    """The thread called `name`. Raises InputError listing the known ones."""
    if name not in THREADS:
        raise InputError(Problem(f'unknown thread "{name}"{did_you_mean(name, THREADS)}', "thread", ", ".join(THREADS)))
    return THREADS[name]


def shear_share(grade: BoltClass) -> float:
    """alpha_v of EN 1993-1-8 table 3.4, threads in the shear plane: 0.6 up to class 8.8, 0.5 of the brittler 10.9 (and
    here 12.9 and SAE grade 8, which it does not name; from memory)."""
    return 0.5 if grade.tensile_Pa > 1000e6 else 0.6


@dataclass(frozen=True)
class PinStress:
    """Stresses of a round pin [Pa] and its deflection [m].

    bending_Pa, shear_Pa (mean), shear_peak_Pa (4/3 of it): the bending peak is at the skin and the shear
    peak in the middle, so they do not meet; equivalent_Pa adds the mean shear by distortion energy.
    """

    moment_Nm: float
    bending_Pa: float
    shear_Pa: float
    shear_peak_Pa: float
    deflection_m: float
    threads_in_bend: bool = False

    @property
    def equivalent_Pa(self) -> float:
        """sqrt(bending^2 + 3 shear^2) [Pa], on the safe side as it puts both at one point."""
        return math.sqrt(self.bending_Pa**2 + 3.0 * self.shear_Pa**2)


def _round(diameter_m: float) -> tuple[float, float, float]:
    d = diameter_m
    return math.pi * d**2 / 4.0, math.pi * d**3 / 32.0, math.pi * d**4 / 64.0


def pin_bent_Pa(moment_Nm: float, pull_N: float, diameter_m: float, thread_root_m: float | None = None) -> float:
    """Largest stress of a pin that is bent and pulled along [Pa]: M/W + F/A. thread_root_m: as in `pin_one_side`."""
    area, modulus, _ = _round(thread_root_m or diameter_m)
    return moment_Nm / modulus + pull_N / area


def couple_in_pin(sleeve_m: float, plates_m: float) -> float:
    """Largest moment in a pin that is held by two plates, over the couple that a sleeve on it twists it with [-].

    plates_m: between the plates' middles. The sleeve presses on the pin evenly rising from its middle to its ends, one
    way in front and the other way behind: p = 12 M z / b^3. Then m(z) = M (z (3 / 2b - 1 / L) - 2 z^3 / b^3), largest
    where its slope is nothing, z = b sqrt((3/2 - b/L) / 6), for b below L (statics of a beam).
    """
    b, long = sleeve_m, plates_m
    z = min(b * math.sqrt((1.5 - b / long) / 6.0), 0.5 * b)
    return z * (1.5 / b - 1.0 / long) - 2.0 * z**3 / b**3


def pin_one_side(load_N: float, diameter_m: float, reach_m: float, thread_root_m: float | None = None) -> PinStress:
    """A pin held on one side, loaded `reach_m` from where it is held: M = F e, delta = F e^3/3EI, tau = F/A.

    thread_root_m: root diameter if threads lie in the bending length, and then flagged: the figures are
    then those of the root, without the notch effect, which only makes it worse.
    """
    area, modulus, inertia = _round(thread_root_m or diameter_m)
    moment = load_N * reach_m
    shear = load_N / area
    sag = load_N * reach_m**3 / (3.0 * E_STEEL * inertia)
    return PinStress(moment, moment / modulus, shear, 4.0 / 3.0 * shear, sag, thread_root_m is not None)


def pin_two_sides(load_N: float, diameter_m: float, span_m: float, thread_root_m: float | None = None) -> PinStress:
    """A pin on two supports, loaded in the middle: M = F L/4, delta = F L^3/48EI, tau = F/2A."""
    area, modulus, inertia = _round(thread_root_m or diameter_m)
    moment = load_N * span_m / 4.0
    shear = load_N / (2.0 * area)
    sag = load_N * span_m**3 / (48.0 * E_STEEL * inertia)
    return PinStress(moment, moment / modulus, shear, 4.0 / 3.0 * shear, sag, thread_root_m is not None)


@dataclass(frozen=True)
class Clevis:
    """A pin through a fork and an eye, EN 1993-1-8 section 3.13 (figure 3.11, table 3.10).

    moment_Nm, bending_Pa: in the pin. bending_resistance_Nm = 1.5 Wel fyp / gamma_M0, shear_resistance_N (one
    plane) = 0.6 A fup / gamma_M2. share: (M/MRd)^2 + (V/VRd)^2, at most 1.
    """

    moment_Nm: float
    bending_Pa: float
    bending_resistance_Nm: float
    shear_resistance_N: float
    share: float


def clevis(
    load_N: float,
    diameter_m: float,
    fork_m: float,
    eye_m: float,
    gap_m: float,
    grade: BoltClass,
    gamma_m0: float = 1.0,
    gamma_m2: float = 1.25,
) -> Clevis:
    """M = F (b + 4c + 2a)/8 for forks a, eye b, gap c; each plane carries F/2 in shear."""
    area, modulus, _ = _round(diameter_m)
    moment = load_N * (eye_m + 4.0 * gap_m + 2.0 * fork_m) / 8.0
    bend = 1.5 * modulus * grade.yield_Pa / gamma_m0
    shear = 0.6 * area * grade.tensile_Pa / gamma_m2
    share = (moment / bend) ** 2 + (load_N / 2.0 / shear) ** 2
    return Clevis(moment, moment / modulus, bend, shear, share)
