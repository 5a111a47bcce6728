"""The track round its wheels as a taut belt: how many links it takes, and where the idler goes for a whole number."""

from __future__ import annotations

import itertools
import math

from trundle.model.loop import Circle, tangent, turned


def belt_mm(circles: list[Circle], thickness_mm: float) -> float:
    """Length along the pins of a belt round circles that are passed on their outside, in order, anticlockwise [mm].

    circles: x, y, radius to the ground face. Straight pieces and arcs add up (belt on N circles, any handbook); the
    pins lie half a thickness inside the ground face, which a closed loop turns round once. Raises ValueError where one
    lies inside another.
    """
    pieces = [tangent(a, b) for a, b in itertools.pairwise([*circles, circles[0]])]
    length = sum(p[2] for p in pieces)
    for k, circle in enumerate(circles):
        into, out = pieces[k - 1], pieces[k]
        turn = turned(into[:2], out[:2])
        length += circle[2] * (turn if turn > -0.3 else turn + 2.0 * math.pi)
    return length - math.pi * thickness_mm
