"""What several checks measure by. Figures without a standard are judgement: common practice, no source."""

from __future__ import annotations

import math

from trundle.steel.fasteners import FASTENERS, SHIMS_MM

CLEAR_MM = 1.0
"""Parts that move past each other keep this much between them."""

EQUAL_MM = 0.05
"""What is nearer than this is as wide: drawings hold it no closer."""

END_HOLE, NEXT_HOLE = 1.2, 2.2
"""A bolt's hole keeps its middle this many of its diameters from every edge, and from the next hole (EN 1993-1-8 table
3.3, least end distance and spacing, from memory)."""

LEFT_MM = 3.0
"""Steel left round a hole with a sleeve welded in; more wall than this no sleeve needs."""

SOCKET = 0.75
"""Radius of a socket over the flats' width of its nut."""


def leg_mm(throat_mm: float) -> float:
    """Leg of an even fillet weld of this throat [mm]."""
    return math.sqrt(2.0) * throat_mm


def washers_mm(thread: str, gap_mm: float) -> bool:
    """Whether up to three plain washers and up to two shim rings fill a gap, to 0.03 mm."""
    plain = FASTENERS[thread].washer_mm
    shims = {0.0, *SHIMS_MM, *(a + b for a in SHIMS_MM for b in SHIMS_MM)}
    return any(abs(n * plain + s - gap_mm) < 0.03 for n in range(13) for s in shims)


def nut_corners_mm(thread: str) -> float:
    """Radius over the corners of nut and head [mm]."""
    return FASTENERS[thread].across_mm / math.sqrt(3.0)


def washer_radius_mm(thread: str) -> float:
    """Of its plain washer [mm]."""
    return 0.5 * FASTENERS[thread].washer_out_mm


def socket_mm(thread: str) -> float:
    """Radius of the socket that turns its nut [mm]."""
    return SOCKET * FASTENERS[thread].across_mm
