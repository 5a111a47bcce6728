"""An item's number in a circle, with a leader to the part (ISO 6433)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.drawing.marks import Circle, Line, Plain, Text
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Piece, Placed

RADIUS_MM = 3.8
REACHES_MM = (9.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 51.0)
STEP_DEG, FIRST_DEG = 15.0, 7.5
"""Directions in which a leader may run, none of them level or upright, where it could be taken for an edge."""

SIZES_MM = (2.5, 2.5, 1.9, 1.55, 1.3)
"""Of the letters, by how many there are, from none."""


def item_places(mark: str, at: Corner) -> Iterator[Placed]:
    """Of a mark that leads to a place on paper [mm]."""
    for reach in REACHES_MM:
        for k in range(round(360.0 / STEP_DEG)):
            t = math.radians(STEP_DEG * k + FIRST_DEG)
            yield _placed(mark, at, (at[0] + reach * math.cos(t), at[1] + reach * math.sin(t)), reach)


def _placed(mark: str, at: Corner, centre: Corner, reach: float) -> Placed:
    share = 1.0 - RADIUS_MM / reach
    leader: Piece = (*at, at[0] + share * (centre[0] - at[0]), at[1] + share * (centre[1] - at[1]))
    size = SIZES_MM[min(len(mark), len(SIZES_MM) - 1)]

    def drawn(pen: Pen) -> list[Plain]:
        return [
            Line(*leader, pen),
            Circle(*at, 0.5, pen, filled=True),
            Circle(*centre, RADIUS_MM, "outline", tone="paper"),
            Text(centre[0], centre[1] - 0.5 * size, mark, size, "middle", bold=True),
        ]

    room = RADIUS_MM + 0.6
    return Placed(0.05 * reach, [leader], [], (*centre, room, room, 0.0), drawn)
