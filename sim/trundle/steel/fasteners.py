"""Bolts, nuts and washers as they are sold: sizes, lengths, plain shanks, masses. All from memory of the standards.

Hexagon bolts with shank to ISO 4014 (inch: ASME B18.2.1), self-locking nuts to ISO 7040 (ASME B18.16.6), plain washers
to ISO 7089 (ASME B18.21.1, SAE series), clearance holes to ISO 273.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trundle.steel.bolts import thread
from trundle.steel.coil import STEEL_DENSITY
from trundle.units import MM

RUNNING_MM = 0.3
"""How much wider than its bolt a sleeve that turns on it is bored (common practice, no source)."""


@dataclass(frozen=True)
class Fasteners:
    """What goes with a thread, mm. washer_*: inner and outer diameter, thickness. head_mm: height of the bolt's head;
    across_mm: across the flats of head and nut; nut_mm: height of a self-locking nut; clear_mm: a hole that it passes
    with play (medium series)."""

    washer_in_mm: float
    washer_out_mm: float
    washer_mm: float
    head_mm: float
    across_mm: float
    nut_mm: float
    clear_mm: float


_METRIC = {
    "M5": Fasteners(5.3, 10.0, 1.0, 3.5, 8.0, 6.8, 5.5),
    "M6": Fasteners(6.4, 12.0, 1.6, 4.0, 10.0, 8.0, 6.6),
    "M8": Fasteners(8.4, 16.0, 1.6, 5.3, 13.0, 9.5, 9.0),
    "M10": Fasteners(10.5, 20.0, 2.0, 6.4, 16.0, 11.9, 11.0),
    "M12": Fasteners(13.0, 24.0, 2.5, 7.5, 18.0, 14.9, 13.5),
    "M14": Fasteners(15.0, 28.0, 2.5, 8.8, 21.0, 17.0, 15.5),
    "M16": Fasteners(17.0, 30.0, 3.0, 10.0, 24.0, 19.1, 17.5),
    "M20": Fasteners(21.0, 37.0, 3.0, 12.5, 30.0, 22.8, 22.0),
    "M24": Fasteners(25.0, 44.0, 4.0, 15.0, 36.0, 27.1, 26.0),
}


def _inch(*sizes: float) -> Fasteners:
    return Fasteners(*(25.4 * s for s in sizes))


_UNC = {
    "UNC 1/4": _inch(0.281, 0.625, 0.065, 5 / 32, 7 / 16, 0.312, 9 / 32),
    "UNC 5/16": _inch(0.344, 0.688, 0.065, 13 / 64, 1 / 2, 0.344, 11 / 32),
    "UNC 3/8": _inch(0.406, 0.812, 0.065, 15 / 64, 9 / 16, 0.453, 13 / 32),
    "UNC 7/16": _inch(0.469, 0.922, 0.065, 9 / 32, 5 / 8, 0.453, 15 / 32),
    "UNC 1/2": _inch(0.531, 1.062, 0.095, 5 / 16, 3 / 4, 0.594, 9 / 16),
    "UNC 9/16": _inch(0.594, 1.156, 0.095, 23 / 64, 13 / 16, 0.641, 5 / 8),
    "UNC 5/8": _inch(0.656, 1.312, 0.095, 25 / 64, 15 / 16, 0.750, 11 / 16),
    "UNC 3/4": _inch(0.812, 1.469, 0.134, 15 / 32, 1.125, 0.875, 13 / 16),
    "UNC 1": _inch(1.062, 2.0, 0.134, 39 / 64, 1.5, 1.0, 1.125),
}
FASTENERS: Mapping[str, Fasteners] = {**_METRIC, **_UNC}
"""By thread: every one of `trundle.steel.bolts.THREADS` has its row."""

_LENGTHS_MM = (
    *range(20, 75, 5), *range(80, 170, 10), *range(180, 520, 20),
)  # fmt: skip
_LENGTHS_IN = tuple(0.25 * k for k in range(3, 17)) + tuple(0.5 * k for k in range(9, 41))


SHIM_RINGS: Mapping[str, tuple[float, float]] = {
    "M5": (5.0, 10.0),
    "M6": (6.0, 12.0),
    "M8": (8.0, 14.0),
    "M10": (10.0, 16.0),
    "M12": (12.0, 18.0),
    "M14": (14.0, 20.0),
    "M16": (16.0, 22.0),
    "M20": (20.0, 28.0),
}
"""Inner and outer diameter of the shim ring that goes on a thread's shank, mm (DIN 988, from memory); others: none."""

SHIMS_MM = (0.1, 0.2, 0.3, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0)
"""How thick they are (DIN 988, from memory)."""


def running_bore_mm(name: str) -> float:
    """Bore of a sleeve that turns on this bolt, where nobody says it [mm]."""
    return thread(name).diameter_m / MM + RUNNING_MM


def end_mm(name: str) -> float:
    """How far a bolt of this thread must reach beyond what it grips: its self-locking nut and two threads [mm]."""
    return FASTENERS[name].nut_mm + 2.0 * thread(name).pitch_m / MM


def length_mm(name: str, grip_mm: float, plain_mm: float = 0.0) -> float:
    """The shortest length sold that grips so much, washers counted in, and reaches through its nut [mm].

    plain_mm: so far from under the head its shank is to be plain; where that leaves too little thread under the nut,
    washers are put there (`packing_mm`). From the preferred lengths (metric by 5, 10 and 20 mm, inch by 1/4 and 1/2
    in); longer than any: threaded rod, to the next 5 mm.
    """

    def does(length: float) -> bool:
        shank = length - thread_mm(name, length)
        return shank >= plain_mm - 1e-9 and length >= max(grip_mm, shank) + end_mm(name) - 1e-9

    sold = _LENGTHS_MM if name in _METRIC else tuple(25.4 * i for i in _LENGTHS_IN)
    return next((float(n) for n in sold if does(n)), 5.0 * math.ceil((grip_mm + end_mm(name)) / 5.0))


def is_sold(name: str, length: float) -> bool:
    """Whether bolts of this thread are sold so long [mm]; longer than any: threaded rod."""
    return length <= (_LENGTHS_MM[-1] if name in _METRIC else 25.4 * _LENGTHS_IN[-1]) + 1e-9


def packing_mm(name: str, length: float, grip_mm: float) -> float:
    """Further washers that a bolt so long [mm] wants under its nut, for its thread to begin below the nut: whole plain
    ones [mm]."""
    over = length - thread_mm(name, length) - grip_mm
    each = FASTENERS[name].washer_mm
    return each * math.ceil(max(over, 0.0) / each - 1e-9)


def thread_mm(name: str, length: float) -> float:
    """Length of thread on a bolt so long [mm]: 2d + 6, 12 from 125, 25 from 200 mm (ISO 4014); inch 2d + 1/4 in, above
    6 in 2d + 1/2 in (ASME B18.2.1). Never longer than the bolt."""
    d = thread(name).diameter_m / MM
    if name in _METRIC:
        more = 6.0 if length <= 125.0 else 12.0 if length <= 200.0 else 25.0
    else:
        more = 0.25 * 25.4 if length <= 6.0 * 25.4 else 0.5 * 25.4
    return min(2.0 * d + more, length)


def bolt_kg(name: str, length: float) -> float:
    """Mass of a bolt so long [mm] with its head, from its volume [kg]."""
    d, f = thread(name).diameter_m / MM, FASTENERS[name]
    return _steel_kg(math.pi / 4.0 * d * d * length + _hexagon_mm2(f.across_mm) * f.head_mm)


def nut_kg(name: str) -> float:
    """Mass of its self-locking nut, from its volume [kg]."""
    d, f = thread(name).diameter_m / MM, FASTENERS[name]
    return _steel_kg((_hexagon_mm2(f.across_mm) - math.pi / 4.0 * d * d) * f.nut_mm)


def washer_kg(name: str) -> float:
    """Mass of one of its plain washers [kg]."""
    f = FASTENERS[name]
    return _steel_kg(math.pi / 4.0 * (f.washer_out_mm**2 - f.washer_in_mm**2) * f.washer_mm)


def shim_kg(name: str, thick_mm: float) -> float:
    """Mass of a shim ring so thick [mm] for its thread [kg]."""
    inside, outside = SHIM_RINGS[name]
    return _steel_kg(math.pi / 4.0 * (outside**2 - inside**2) * thick_mm)


def _hexagon_mm2(across_mm: float) -> float:
    return math.sqrt(3.0) / 2.0 * across_mm**2


def _steel_kg(volume_mm3: float) -> float:
    return volume_mm3 * MM**3 * STEEL_DENSITY
