"""Hatching of what is cut through: thin lines at 45 degrees inside an outline (ISO 128-50)."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trundle.drawing.marks import Line
from trundle.drawing.pens import Corner

APART_MM = 2.0
"""From line to line on paper; narrow pieces get at least a few."""

LEAST_MM, LEAST_LINES = 0.7, 4.0


def hatch(rings: Sequence[Sequence[Corner]], lean_deg: float = 45.0, apart: float | None = None) -> list[Line]:
    """Lines inside closed outlines on paper [mm]; what lies in an even number of them is a hole. lean_deg: pieces that
    touch lean differently. apart: from line to line; None: as usual, closer in what is small."""
    t = math.radians(lean_deg)
    along, across = np.array([math.cos(t), math.sin(t)]), np.array([-math.sin(t), math.cos(t)])
    corners = [np.asarray(r, dtype=np.float64) for r in rings]
    starts = np.concatenate(corners)
    ends = np.concatenate([np.roll(c, -1, axis=0) for c in corners])
    if apart is None:
        small = float(np.ptp(starts, axis=0).min())
        apart = min(APART_MM, max(LEAST_MM, small / LEAST_LINES))
    h0, h1 = starts @ across, ends @ across
    found: list[Line] = []
    # Through fixed places of the sheet, so that parts of one piece on both sides of a bore go on alike.
    for k in range(math.ceil(h0.min() / apart), math.floor(h0.max() / apart) + 1):
        level = k * apart
        cut = (h0 <= level) != (h1 <= level)
        share = (level - h0[cut]) / (h1[cut] - h0[cut])
        places = np.sort((starts[cut] + share[:, None] * (ends[cut] - starts[cut])) @ along)
        for a, b in zip(places[::2], places[1::2], strict=True):
            if b - a > 0.05:
                p, q = a * along + level * across, b * along + level * across
                found.append(Line(float(p[0]), float(p[1]), float(q[0]), float(q[1]), "thin"))
    return found
