"""One dimension, put in one of the places that it could have: its lines, its words, and how it is drawn there."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from trundle.drawing.font import width_of
from trundle.drawing.marks import Line, Plain, Text
from trundle.drawing.pens import Corner, Pen

Piece = tuple[float, float, float, float]
Box = tuple[float, float, float, float, float]


@dataclass(frozen=True)
class Style:
    """Sizes on paper [mm] of what dimensions are drawn with, after ISO 129-1: letters and arrowheads of 2.4, dimension
    lines that stand off the part and of each other, extension lines that begin with a gap and run past.

    gap: before an extension line begins. lift: from a line to the foot of the words on it (their _ goes below).
    width_of: of a text, of that size of its capitals, bold or not. line: from one line of a text to the next.
    upright: no words are turned.
    """

    text: float = 2.2
    arrow: float = 2.4
    gap: float = 0.8
    lift: float = 1.15
    past: float = 1.4
    off: float = 6.5
    row: float = 5.2
    dot: float = 0.45
    line: float = 1.75
    bold: bool = False
    upright: bool = False
    width_of: Callable[[str, float, bool], float] = width_of

    def times(self, factor: float, bold: bool | None = None) -> Style:
        """All of it larger or smaller."""
        sizes = {n: getattr(self, n) * factor for n in ("text", "arrow", "gap", "lift", "past", "off", "row", "dot")}
        return replace(self, **sizes, bold=self.bold if bold is None else bold)


@dataclass(frozen=True)
class Label:
    """Words with their room. lines: none, if it is drawn without words."""

    lines: tuple[str, ...]
    style: Style

    @cached_property
    def width(self) -> float:
        """Of the widest line [mm]."""
        return max((self.style.width_of(t, self.style.text, self.style.bold) for t in self.lines), default=0.0)

    @cached_property
    def height(self) -> float:
        """From the foot of the last line's letters to the head of the first's [mm]."""
        more = (len(self.lines) - 1) * self.style.line * self.style.text
        return self.style.text + more if self.lines else 0.0

    def box(self, x: float, y: float, turn: float) -> Box | None:
        """Its room, with a little air, if the middle of its lowest edge is at (x, y)."""
        if not self.lines:
            return None
        up = 0.5 * self.height
        air = 0.18 * self.style.text
        # Tails of g, p, _ go a quarter of the letters' height below their foot.
        low = 0.25 * self.style.text
        mx, my = x - (up - 0.5 * low) * math.sin(turn), y + (up - 0.5 * low) * math.cos(turn)
        return mx, my, 0.5 * self.width + 2.0 * air, up + 0.5 * low + air, turn

    def drawn(self, x: float, y: float, turn: float, pen: Pen) -> list[Plain]:
        """The texts."""
        found: list[Plain] = []
        for k, text in enumerate(reversed(self.lines)):
            up = k * self.style.line * self.style.text
            found.append(
                Text(
                    x - up * math.sin(turn),
                    y + up * math.cos(turn),
                    text,
                    self.style.text,
                    "middle",
                    self.style.bold,
                    pen,
                    math.degrees(turn),
                    halo=True,
                )
            )
        return found


@dataclass(frozen=True)
class Placed:
    """A candidate. cost: what speaks against the place in itself; pieces: its lines; level: those of them that no
    other dimension's may lie beside too closely; box: room of its words; drawn: its marks, in a pen."""

    cost: float
    pieces: Sequence[Piece]
    level: Sequence[Piece]
    box: Box | None
    drawn: Callable[[Pen], list[Plain]] = field(repr=False)


def fixed(piece: Piece, label: Label, words: tuple[float, float, float]) -> Placed:
    """A line with words at a place (middle of their foot, turned by [rad]) that is no choice."""

    def drawn(pen: Pen) -> list[Plain]:
        return [Line(*piece, pen), *label.drawn(*words, pen)]

    return Placed(0.0, [piece], [], label.box(*words), drawn)


def at(direction: Corner, across: Corner, along_mm: float, up_mm: float) -> Corner:
    """A place by its distances along two directions at right angles."""
    return direction[0] * along_mm + across[0] * up_mm, direction[1] * along_mm + across[1] * up_mm
