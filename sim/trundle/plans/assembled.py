"""Ink of what is put together: parts as the side elevation has them, and item numbers in circles beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trundle.drawing.marks import Mark
from trundle.drawing.part import Put, outlines
from trundle.drawing.pens import Pen
from trundle.drawing.placed import Piece
from trundle.elevation.inked import PENS, Frame, inked
from trundle.elevation.outline import Seen
from trundle.elevation.pose import Pose
from trundle.fields.sketch import XY
from trundle.fields.sketch import Mark as FieldMark
from trundle.plans.ink import Centre, Ink, Path
from trundle.plans.view import Dim, Item, Tape, View

UNMINDED = ("links", "hull", "stop")
"""Parts that words may lie on."""

Line = tuple[tuple[XY, ...], Pen]
"""Points and the pen that they are joined with: "axis" for a centre line."""


@dataclass(frozen=True)
class Assembled:
    """Shapes in the hull's axes, or about a place of it."""

    shapes: tuple[Seen, ...]
    pose: Pose

    def marks(self, put: Put, scale: float) -> list[Mark]:
        """As of any ink."""
        return inked(self.shapes, Frame(*put(0.0, 0.0), scale, self.pose), lambda s: PENS[s.part])

    def pieces(self, put: Put, scale: float) -> list[Piece]:
        """As of any ink."""
        kept = [s.shape for s in self.shapes if s.part not in UNMINDED]
        return [(float(a), float(b), float(c), float(d)) for a, b, c, d in outlines(kept, put, scale)]

    def corners(self) -> list[XY]:
        """As of any ink."""
        found: list[XY] = []
        for s in self.shapes:
            half = s.shape.size_mm if s.shape.form == "disc" else 0.5 * s.shape.size_mm
            low, high = s.shape.points.min(axis=0) - half, s.shape.points.max(axis=0) + half
            found += [(float(low[0]), float(low[1])), (float(high[0]), float(high[1]))]
        return found


def tenth(value: float) -> str:
    """A length or angle as an assembly has it: to a tenth where it has one."""
    told = f"{value:.1f}".removesuffix(".0")
    return "0" if told == "-0" else told


def named(name: str, words: Sequence[str], mark: FieldMark) -> Dim:
    """A dimension under its name."""
    return Dim(replace(mark, field=name), tuple(words))


def view_of(
    title: str,
    pose: Pose,
    shapes: Sequence[Seen],
    dims: Sequence[Dim] = (),
    items: Sequence[Item] = (),
    tapes: Sequence[Tape] = (),
    lines: Sequence[Line] = (),
) -> View:
    """A view of an assembly."""
    drawn: list[Ink] = [Assembled(tuple(shapes), pose)]
    for points, pen in lines:
        drawn.append(Centre(points[0], points[-1]) if pen == "axis" else Path(points, pen))
    return View(title, tuple(drawn), tuple(dims), tuple(tapes), items=tuple(items))
