"""Many lengths from one datum along one line: superimposed running dimensioning (ISO 129-1), a tape along the part.

The datum is a small circle, each place an arrowhead; words stand beyond the line, spread so that none lie on another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from trundle.drawing.font import width_of
from trundle.drawing.marks import Circle, Group, Line, Mark, Plain, Text, arrowhead
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.placed import Style

Side = Literal["above", "below", "left", "right"]

JOG_MM = 5.0
"""From the line to the words, so that leaders to words that had to make room are not steep."""


@dataclass(frozen=True)
class Reading:
    """A place on the tape: where on paper it is, and what is written of it. pen: another than of a dimension. name: its
    marks are a group of that name."""

    at: Corner
    words: str
    pen: Pen = "dimension"
    name: str = ""


def running(
    datum: Corner, level: float, side: Side, readings: Sequence[Reading], style: Style, name: str = ""
) -> list[Mark]:
    """The tape. datum: where it begins; level: where on paper it lies (y of a level one, x of an upright one); side:
    of the part on which it is, and so of the line on which the words are; name: of its beginning's group."""
    if not readings:
        return []
    across = side in ("above", "below")
    out = 1.0 if side in ("above", "right") else -1.0
    i, j = (0, 1) if across else (1, 0)

    def place(along: float, off: float) -> Corner:
        return (along, level + out * off) if across else (level + out * off, along)

    found: list[Mark] = []
    zero = datum[i]
    row = 1.75 * style.text
    spots = spread([r.at[i] for r in readings], row)
    reach = [zero, *(r.at[i] for r in readings)]
    found.append(Line(*place(min(reach), 0.0), *place(max(reach), 0.0), "dimension"))
    begin = min((abs(level - datum[j]) - style.gap), abs(level - datum[j]))
    found.append(Line(*place(zero, -begin), *place(zero, style.past), "axis"))
    ring = Circle(*place(zero, 0.0), 0.8, "dimension", tone="paper")
    found.append(Group(name, (ring,)) if name else ring)
    for reading, spot in zip(readings, spots, strict=True):
        at = reading.at[i]
        own: list[Plain] = []
        from_it = abs(level - reading.at[j]) - style.gap
        own.append(Line(*place(at, -max(from_it, 0.0)), *place(at, style.past), "axis"))
        if abs(at - zero) > 0.5 * style.arrow:
            towards = (0.0 if at > zero else 180.0) + (0.0 if across else 90.0)
            own.append(arrowhead(*place(at, 0.0), towards, style.arrow, reading.pen))
        own.append(Line(*place(at, style.past), *place(spot, JOG_MM), "axis"))
        own.append(words_of(place, spot, reading, side, style))
        found += [Group(reading.name, tuple(own))] if reading.name else own
    return found


def words_of(place: Callable[[float, float], Corner], spot: float, reading: Reading, side: Side, style: Style) -> Text:
    """What stands beyond the line. place: on paper, by the way along the line and off it; spot: along it."""
    half = 0.5 * style.text
    turn, anchor, foot = {
        "above": (90.0, "start", spot + half),
        "below": (90.0, "end", spot + half),
        "left": (0.0, "end", spot - half),
        "right": (0.0, "start", spot - half),
    }[side]
    x, y = place(foot, JOG_MM + style.gap)
    # The table above holds anchors only; mypy takes them for any text.
    return Text(x, y, reading.words, style.text, anchor, style.bold, reading.pen, turn)  # type: ignore[arg-type]


def reach_of(readings: Sequence[Reading], style: Style) -> float:
    """How far from its line a tape's words reach [mm]."""
    return JOG_MM + style.gap + max((width_of(r.words, style.text, style.bold) for r in readings), default=0.0)


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places at least so far apart, in the order of those that are wanted and as near to them as can be: each heap of
    ones in each other's way lies about the middle of what it wants."""
    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    heaps: list[tuple[float, list[int]]] = []  # where the first of it lies, who is in it
    for k in order:
        heap, first = [k], wanted[k]
        while heaps and first < heaps[-1][0] + len(heaps[-1][1]) * apart:
            heap = heaps.pop()[1] + heap
            first = sum(wanted[m] - n * apart for n, m in enumerate(heap)) / len(heap)
        heaps.append((first, heap))
    found = [0.0] * len(wanted)
    for first, heap in heaps:
        for n, m in enumerate(heap):
            found[m] = first + n * apart
    return found
