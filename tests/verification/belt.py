"""A belt round circles, in closed form: what the track's loop is laid out with and measured against."""

from __future__ import annotations

import math

from trundle.model.loop import Circle, tangent, turned


def loop_length(circles: list[Circle]) -> float:
    """Length of a belt round circles listed in the order in which it passes them, all on its left [m]."""
    pieces = [tangent(a, b) for a, b in zip(circles, [*circles[1:], circles[0]], strict=True)]
    total = sum(p[2] for p in pieces)
    for k, circle in enumerate(circles):
        angle = turned(pieces[k - 1][:2], pieces[k][:2])
        total += circle[2] * (angle if angle >= 0.0 else angle + 2.0 * math.pi)
    return total
