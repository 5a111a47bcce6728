"""What each kind of part has left, one line each, and what is not worked out for want of sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trundle.findings.figures.parts import FIGURE_OF
from trundle.findings.grades import Grade, Line
from trundle.findings.near import Near
from trundle.findings.words import place, spoken, start
from trundle.model.assembly import Assembly
from trundle.strength.margin import Kind, PartMargin
from trundle.strength.missing import missing

LITTLE = 1.25
"""Margin below which a part is told of though it holds: the blow of a luckier run, or steel at the low end of its
standard, makes up as much (our own line, no source)."""

PARTS: Mapping[Kind, str] = {
    "spring": "springs", "arm": "arms", "beam": "beams", "axle bolt": "axle bolts", "pivot bolt": "pivot bolts",
    "bracket": "brackets", "hull bolts": "hull bolts", "weld": "welds",
}  # fmt: skip
"""Of each kind the word for several."""


def strength_lines(margins: Sequence[PartMargin], assembly: Assembly, near: Near | None) -> list[Line]:
    """The weakest of each kind, the least margin first; near: the runs close by, which grade them too."""
    weakest: dict[Kind, PartMargin] = {}
    for m in margins:
        if m.kind not in weakest or m.margin < weakest[m.kind].margin:
            weakest[m.kind] = m
    lines = [_line(m, margins, near) for m in sorted(weakest.values(), key=lambda m: m.margin) if m.stress_MPa > 0.0]
    lines += _on_stone(margins)
    return lines + [Line(Grade.NOTE, f"Not worked out: {text}.") for text in missing(assembly)]


def _line(m: PartMargin, margins: Sequence[PartMargin], near: Near | None) -> Line:
    figure = FIGURE_OF[m.kind]
    # Where two kinds share a figure, the near runs' is that of the weaker one.
    shared = all(m.margin <= other.margin for other in margins if FIGURE_OF[other.kind] == figure)
    below = near.count(figure, lambda v: v < 1.0) if near is not None and shared else int(m.yields)
    of = len(near.told) if near is not None and shared else 1
    grade = Grade.FAIL if m.yields else Grade.NOTE if below or m.margin < LITTLE else Grade.FINE
    if 2 * below >= of:
        grade = Grade.FAIL
    often = f"; in {below} of {of} runs below 1" if 0 < below < of else ""
    bears = f"{m.stress_MPa:.0f} MPa of {m.limit_MPa:.0f}, {m.where}"
    text = f"{start(PARTS[m.kind])}: least margin {m.margin:.2f}, {spoken(m.name)}, {place(m.at_m)} ({bears}){often}."
    return Line(grade, text)


def _on_stone(margins: Sequence[PartMargin]) -> list[Line]:
    """Of arms with a pair of wheels, in the case that one of these bears all."""
    paired = [(m, m.on_stone) for m in margins if m.on_stone is not None]
    if not paired:
        return []
    m, stone = min(paired, key=lambda one: one[1].margin)
    grade = Grade.NOTE if stone.margin < LITTLE else Grade.FINE
    text = f"{start(PARTS[m.kind])} {stone.said(m.limit_MPa)}, margin {stone.margin:.2f}, {spoken(m.name)}, "
    return [Line(grade, f"{text}{place(stone.at_m)} (did not happen: both bear alike in a side view).")]
