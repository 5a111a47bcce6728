"""A bolt with its head, thread and nut, along x: under its head at 0."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.making.bolted import Bolted
from trundle.plans.ink import Centre, Ink, Path, Solid, rectangle
from trundle.steel.bolts import thread
from trundle.steel.fasteners import FASTENERS
from trundle.units import MM

ROOT = 0.613
"""Depth of a thread's root over its pitch (ISO 68-1)."""


def bolt(of: Bolted) -> Iterator[Ink]:
    """Seen, not cut, as bolts are drawn in sections (ISO 128-50): head and nut across their corners."""
    f, r = FASTENERS[of.thread], 0.5 * of.diameter_mm
    corner = f.across_mm / math.sqrt(3.0)
    end, grip = of.length_mm, of.grip_mm + of.packing_mm
    yield Path(rectangle(0.0, -r, end, r), closed=True)
    root = r - ROOT * thread(of.thread).pitch_m / MM
    yield Path(((of.shank_mm, -r), (of.shank_mm, r)))
    for side in (1.0, -1.0):
        yield Path(((of.shank_mm, side * root), (end, side * root)), "thin")
    for x0, x1 in ((-f.head_mm, 0.0), (grip, grip + f.nut_mm)):
        # In front of the shank, so that its lines do not show through the nut.
        yield Solid(rectangle(x0, -corner, x1, corner))
        for side in (1.0, -1.0):
            yield Path(((x0, 0.5 * side * corner), (x1, 0.5 * side * corner)))
    yield Centre((-f.head_mm, 0.0), (end, 0.0))
