"""Templates of bent leaves at 1:1: round the former while held, and as it lies free. Alike leaves share one.

Drawn edge-on: a leaf is laid on the paper on its long edge. Hardening is left out, as on the sheet: an off-cut first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.drawing.font import width_of
from trundle.drawing.marks import Line, Mark, Polygon, Text, polyline
from trundle.drawing.pens import Corner, Pen
from trundle.drawing.sheet import Drawing
from trundle.elevation.words import broken
from trundle.making.made import made
from trundle.making.part import Made
from trundle.papers.parts import names, number
from trundle.plans.leaf_curve import Curve
from trundle.spec.vehicle import Vehicle
from trundle.springs.answers import Bending, LeafCut
from trundle.steel.rebend import HEAT_CAUTION

SHARED_MM = 0.2
"""Leaves share a template while none lies further off the line that is drawn than half a pencil line."""

HELD_DEG = 70.0
"""How far to each side a former is drawn: a leaf that goes further round it is moved along it."""

_SIDE_MM = 8.0
_WORDS_MM = 215.0
"""Width of what is written over the figure: on the first sheet of any paper, across."""

_FORMER_MM = 14.0
"""Under the ends, what is drawn of the former's body; beyond the ends, how far its face goes on."""


@dataclass(frozen=True)
class Alike:
    """Leaves of one spring that are drawn as one. held_per_mm: curvature while held round the former, at the middle of
    the thickness, None where no former does it; free_per_mm: as it lies free; off_mm: how far one of them lies off
    these at most."""

    leaves: tuple[tuple[Made, LeafCut], ...]
    shop: Bending
    free_per_mm: float
    held_per_mm: float | None
    off_mm: float

    @property
    def longest_mm(self) -> float:
        """Of its leaves."""
        return max(cut.length_mm for _, cut in self.leaves)

    @property
    def title(self) -> str:
        """ "leaf L1 (main leaf)", "leaves L2 to L5"."""
        parts = [part for part, _ in self.leaves]
        if len(parts) == 1:
            return f"leaf {parts[0].mark} ({parts[0].name})"
        joint = "to" if len(parts) > 2 else "and"
        return f"leaves {parts[0].mark} {joint} {parts[-1].mark} ({parts[0].name} {joint} {parts[-1].name})"

    def free(self, length_mm: float) -> Curve:
        """One of them as it lies free."""
        return Curve(length_mm, 1.0 / self.free_per_mm, self.shop.flat_mm)

    def held(self, length_mm: float) -> Curve | None:
        """One of them while it is held round the former, as far round as the former is drawn."""
        if self.held_per_mm is None:
            return None
        flat = self.shop.flat_mm
        return Curve(_held_mm(length_mm, self.held_per_mm, flat), 1.0 / self.held_per_mm, flat)


def alike_leaves(vehicle: Vehicle) -> Iterator[Alike]:
    """All leaves that are bent to shape, in the order of their marks, as few templates as will do."""
    springs: dict[str, list[Made]] = {}
    for part in made(vehicle):
        if part.what == "leaf":
            springs.setdefault(part.path, []).append(part)
    for parts in springs.values():
        name = parts[0].bogies[0]
        sprung = vehicle.bogie[name].sprung(name)
        shop = sprung.spring.bending(0.0) if sprung is not None else None
        if shop is None:
            continue
        cuts = {cut.name: cut for cut in shop.leaves}
        group: list[tuple[Made, LeafCut]] = []
        for part in parts:
            more = [*group, (part, cuts[part.title])]
            if group and (_shared(more, shop) is None):
                yield _only(group, shop)
                more = more[-1:]
            group = more
        if group:
            yield _only(group, shop)


def _only(leaves: Sequence[tuple[Made, LeafCut]], shop: Bending) -> Alike:
    found = _shared(leaves, shop)
    assert found is not None  # one leaf alone is always like itself
    return found


def _shared(leaves: Sequence[tuple[Made, LeafCut]], shop: Bending) -> Alike | None:
    """These leaves as one, where no leaf lies too far off the line in their middle."""
    free = [1.0 / cut.radius_mm for _, cut in leaves]
    held = [_held_per_mm(cut, shop) for _, cut in leaves]
    if any(h is None for h in held) and any(h is not None for h in held):
        return None
    known = [h for h in held if h is not None]
    middles = [0.5 * (min(k) + max(k)) if k else 0.0 for k in (free, known)]
    off = 0.0
    for (_, cut), curvature in zip(leaves, free, strict=True):
        off = max(off, _off_mm(cut.length_mm, curvature, middles[0], shop.flat_mm))
    for (_, cut), curvature in zip(leaves, known, strict=bool(known)):
        length = min(_held_mm(cut.length_mm, k, shop.flat_mm) for k in (curvature, middles[1]))
        off = max(off, _off_mm(length, curvature, middles[1], shop.flat_mm))
    if off > SHARED_MM:
        return None
    return Alike(tuple(leaves), shop, middles[0], middles[1] if known else None, off)


def _held_mm(length_mm: float, held_per_mm: float, flat_mm: float) -> float:
    """How much of a leaf a former takes as it is drawn."""
    return min(length_mm, flat_mm + 2.0 * math.radians(HELD_DEG) / held_per_mm)


def _held_per_mm(cut: LeafCut, shop: Bending) -> float | None:
    """Curvature while held; None where no former does it."""
    if cut.former_mm is None or not math.isfinite(cut.former_mm) or cut.former_mm <= 0.0:
        return None
    return 1.0 / (cut.former_mm + 0.5 * shop.thickness_mm)


def _off_mm(length_mm: float, a_per_mm: float, b_per_mm: float, flat_mm: float) -> float:
    """How far the ends of two curves lie apart, middle on middle: nowhere do the curves lie further apart."""
    ends = [Curve(length_mm, 1.0 / k, flat_mm).at(0.5 * length_mm) for k in (a_per_mm, b_per_mm)]
    return math.dist(*ends)


def leaf_templates(vehicle: Vehicle) -> Iterator[tuple[str, Drawing]]:
    """Every template with a name for its file, in drawings as large as they take."""
    for alike in alike_leaves(vehicle):
        marks = [part.mark for part, _ in alike.leaves]
        stem = "-to-".join(dict.fromkeys((marks[0], marks[-1]))) + "-leaf"
        if alike.held_per_mm is not None:
            yield f"{stem}-former", former_template(alike, vehicle.name)
        yield f"{stem}-free", free_template(alike, vehicle.name)


def former_template(alike: Alike, vehicle: str) -> Drawing:
    """The former's face, the leaf held round it, and where it springs back to."""
    held, shop, longest = alike.held(alike.longest_mm), alike.shop, alike.longest_mm
    assert held is not None
    half = 0.5 * shop.thickness_mm
    face_mm = held.radius_mm - half
    whole = held.length_mm >= longest
    face = held.line(-half, _FORMER_MM if whole else 0.0)
    low = face[0][1] - _FORMER_MM
    marks: list[Mark] = [Polygon(((face[0][0], low), *face, (face[-1][0], low)), "steel")]
    marks += polyline([face[0], (face[0][0], low), (face[-1][0], low), face[-1]], "soft")
    marks += polyline(face, "cut")
    marks += _leaf(held, half, "outline", whole)
    # Where the leaf goes once it is let go, as far as the drawing reaches anyhow.
    free = alike.free(longest)
    goes = Curve(min(longest, held.chord_mm), free.radius_mm, free.flat_mm)
    marks += polyline(goes.line(-half), "axis")
    marks += [*_middle(held, half), *(_ends(alike, held, half) if whole else ())]
    marks.append(Text(0.0, -half - 12.0, f"former's face: radius {number(face_mm, 1)} mm", 2.8, "middle", bold=True))
    marks.append(Text(0.0, -half - 17.0, "saw and file to this line", 2.4, "middle"))
    x, y = goes.at(0.5 * goes.length_mm, half + 4.0)
    marks.append(Text(-x, y, "dashed: after letting go", 2.2, halo=True))
    lines = [
        f"Bent from flat round the former it springs back to radius {number(free.radius_mm, 1)} mm (middle of its "
        "thickness): the dashed line.",
    ]
    if not whole:
        lines.append(
            f"The leaf goes further round than is drawn: begin at its middle, press {number(held.length_mm)} mm at a "
            "time, move it along. Its ends are marked on the template of the bent leaf."
        )
    tight = [part.mark for part, cut in alike.leaves if cut.tight]
    if tight:
        lines.append(f"CAUTION: bending {names(tight)} cold this tight risks a crack in {shop.steel}.")
    lines += [
        *_facts(alike),
        HEAT_CAUTION,
        "Worked out for steel that does not harden: bend an off-cut first, and file the former by what it shows.",
    ]
    return _sheet(alike, vehicle, "template of the former", marks, lines, low)


def free_template(alike: Alike, vehicle: str) -> Drawing:
    """The leaf as it must lie free on the bench, and what a clamp makes of it."""
    free, shop = alike.free(alike.longest_mm), alike.shop
    half = 0.5 * shop.thickness_mm
    marks: list[Mark] = [*_leaf(free, half, "cut"), *_middle(free, half), *_ends(alike, free, half)]
    gap = free.at(0.0, -half)[1] - free.at(0.5 * free.length_mm, -half)[1]
    low = free.at(0.5 * free.length_mm, -half)[1]
    x = free.at(0.5 * free.length_mm, -half)[0]
    marks.append(Line(-x, low, x, low, "axis"))
    lines = [
        "Lay the leaf on its long edge: it must cover these two lines from end to end, within a pencil line.",
        f"A straightedge under the ends of the longest leaves {number(gap, 1)} mm up to its hollow side in the middle.",
        *_facts(alike),
    ]
    if alike.held_per_mm is None:
        lines.append("CAUTION: no former bends it cold to this radius, hence no template of one.")
    clamp = next((s for s in shop.shapes[1:] if s.flat_mm > 0.0), None)
    if clamp is not None:
        pressed = Curve(free.length_mm, free.radius_mm, clamp.flat_mm)
        marks += polyline(pressed.line(-half), "axis")
        marks += _flat(clamp.flat_mm, half)
        lines.append(
            f"Its clamp presses the middle {number(clamp.flat_mm, 1)} mm flat, between the two marks F: dashed, the "
            "hollow side then."
        )
        low = min(low, pressed.at(0.5 * free.length_mm, -half)[1])
    return _sheet(alike, vehicle, "template of the bent leaf", marks, lines, low)


def _facts(alike: Alike) -> Iterator[str]:
    shop = alike.shop
    parts = [part for part, _ in alike.leaves]
    count = names(f"{p.mark} x {p.count}" for p in parts)
    bogies = names(b for p in parts for b in p.bogies)
    strip = f"Strip {shop.width_mm:g} x {shop.thickness_mm:g}, {shop.steel}"
    yield f"{strip}; for the whole vehicle: {count} ({bogies})."
    if len(parts) > 1:
        radii = ", ".join(f"{p.mark} {number(cut.radius_mm, 1)}" for p, cut in alike.leaves)
        yield f"One template for all of them, {number(alike.off_mm, 2)} mm off at most. Radii wanted: {radii} mm."
    if shop.flat_mm > 0.0:
        yield f"Bent from the marks F outwards: the middle {number(shop.flat_mm, 1)} mm stays flat."


def _leaf(curve: Curve, half: float, pen: Pen, ends: bool = True) -> Iterator[Mark]:
    """Both faces and, if they are its own, both ends."""
    over, under = curve.line(half), curve.line(-half)
    yield Polygon((*over, *reversed(under)), "spring")
    for line in (over, under, *([[over[0], under[0]], [over[-1], under[-1]]] if ends else [])):
        yield from polyline(line, pen)


def _middle(curve: Curve, half: float) -> Iterator[Mark]:
    yield Line(0.0, -half - 6.0, 0.0, half + 8.0, "thin")
    yield Text(-1.5, half + 5.0, "middle M", 2.4, "end", bold=True)
    if curve.flat_mm > 0.0:
        yield from _flat(curve.flat_mm, half)


def _flat(flat_mm: float, half: float) -> Iterator[Mark]:
    for x in (-0.5 * flat_mm, 0.5 * flat_mm):
        yield Line(x, -half - 4.0, x, half + 4.0, "thin")
        yield Text(x, half + 5.0, "F", 2.4, "middle", bold=True)


def _ends(alike: Alike, curve: Curve, half: float) -> Iterator[Mark]:
    """A mark square to the curve at every leaf's end, with the leaves that end there."""
    at: dict[float, list[str]] = {}
    for part, cut in alike.leaves:
        at.setdefault(cut.length_mm, []).append(part.mark)
    for length, who in at.items():
        for side in (-0.5, 0.5):
            a, b = curve.at(side * length, -half - 3.0), curve.at(side * length, half + 6.0)
            yield Line(*a, *b, "thin")
            x, y = curve.at(side * length, half + 8.0)
            yield Text(x, y, f"end {_run(who)}", 2.2, "middle")


def _run(marks: list[str]) -> str:
    """ "L1", "L1, L2", "L1 to L4"."""
    return f"{marks[0]} to {marks[-1]}" if len(marks) > 2 else ", ".join(marks)


def _sheet(
    alike: Alike, vehicle: str, what: str, marks: list[Mark], lines: list[str], low: float
) -> Drawing:  # fmt: skip
    """The figure with its words above it, moved to a sheet of its own size."""
    corners = [c for m in marks for c in _reach(m)]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    high = max(y for _, y in corners) + 2.0
    low = min([low, *(y for _, y in corners)]) - 4.0
    row = 4.0
    words = [line for text in lines for line in broken(text, _WORDS_MM, 2.5)]
    width = max(right - left, max(width_of(w, 2.5) for w in words)) + 2.0 * _SIDE_MM
    height = high - low + row * (len(words) + 1)
    d = Drawing(width, height, f"{vehicle}: {alike.title}, {what}")
    d.marks = [m.moved(_SIDE_MM - left, -low) for m in marks]
    top = height - row
    d.marks += [Text(_SIDE_MM, top - row * k, text, 2.5) for k, text in enumerate(words)]
    return d


def _reach(mark: Mark) -> list[Corner]:
    match mark:
        case Line():
            return [(mark.x0, mark.y0), (mark.x1, mark.y1)]
        case Polygon():
            return list(mark.points)
        case Text():
            return [(mark.x, mark.y), (mark.x, mark.y + mark.size)]
        case _:
            return []
