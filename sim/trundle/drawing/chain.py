"""Lengths one behind another along one line: chain dimensioning (ISO 129-1), each with its words beyond the line.

Words stand square to the line, spread so that none lie on another, each led to the middle of its length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trundle.drawing.marks import Circle, Group, Line, Mark, Plain, arrowhead
from trundle.drawing.pens import Corner
from trundle.drawing.placed import Style
from trundle.drawing.running import JOG_MM, Reading, Side, spread, words_of


@dataclass(frozen=True)
class Member:
    """One length: its ends on paper, its words. name: its marks are a group of that name."""

    a: Corner
    b: Corner
    words: str
    name: str = ""


def chained(members: Sequence[Member], level: float, side: Side, style: Style) -> list[Mark]:
    """The chain. level: where on paper its line lies (y of a level one, x of an upright one); side: of the part on
    which it is. Arrowheads where there is room, dots in short ones, as the standard wants it."""
    across = side in ("above", "below")
    out = 1.0 if side in ("above", "right") else -1.0
    i, j = (0, 1) if across else (1, 0)

    def place(along: float, off: float) -> Corner:
        return (along, level + out * off) if across else (level + out * off, along)

    found: list[Mark] = []
    middles = [0.5 * (m.a[i] + m.b[i]) for m in members]
    spots = spread(middles, 1.75 * style.text)
    shown: dict[float, float] = {}
    for m in members:
        for end in (m.a, m.b):
            off = max(abs(level - end[j]) - style.gap, 0.0)
            shown[round(end[i], 4)] = min(off, shown.get(round(end[i], 4), off))
    for end_at, off in shown.items():
        found.append(Line(*place(end_at, -off), *place(end_at, style.past), "dimension"))
    for m, middle, spot in zip(members, middles, spots, strict=True):
        low, high = sorted((m.a[i], m.b[i]))
        own: list[Plain] = [Line(*place(low, 0.0), *place(high, 0.0), "dimension")]
        if high - low >= 2.6 * style.arrow:
            turn = 0.0 if across else 90.0
            own += [
                arrowhead(*place(low, 0.0), turn + 180.0, style.arrow),
                arrowhead(*place(high, 0.0), turn, style.arrow),
            ]
        else:
            own += [Circle(*place(x, 0.0), style.dot, "dimension", filled=True) for x in (low, high)]
        own.append(Line(*place(middle, 0.0), *place(middle, style.past), "axis"))
        own.append(Line(*place(middle, style.past), *place(spot, JOG_MM), "axis"))
        own.append(words_of(place, spot, Reading((0.0, 0.0), m.words), side, style))
        found += [Group(m.name, tuple(own))] if m.name else own
    return found
