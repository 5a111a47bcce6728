"""What each kind of part has left, one line each, and what is not worked out for want of sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from trundle.findings.grades import Grade, Line
from trundle.findings.words import place, spoken, start
from trundle.model.assembly import Assembly
from trundle.strength.margin import Kind, PartMargin
from trundle.strength.margins import missing

LITTLE = 1.25
"""Margin below which a part is told of though it holds: the blow of a luckier run, or steel at the low end of its
standard, makes up as much (our own line, no source)."""

PARTS: Mapping[Kind, str] = {
    "spring": "springs", "arm": "arms", "beam": "beams", "axle bolt": "axle bolts", "pivot bolt": "pivot bolts",
    "bracket": "brackets", "hull bolts": "hull bolts", "weld": "welds",
}  # fmt: skip
"""Of each kind the word for several."""


def strength_lines(margins: Sequence[PartMargin], assembly: Assembly) -> list[Line]:
    """The weakest of each kind, the least margin first."""
    weakest: dict[Kind, PartMargin] = {}
    for m in margins:
        if m.kind not in weakest or m.margin < weakest[m.kind].margin:
            weakest[m.kind] = m
    lines = [_line(m) for m in sorted(weakest.values(), key=lambda m: m.margin) if m.stress_MPa > 0.0]
    return lines + [Line(Grade.NOTE, f"Not worked out: {text}.") for text in missing(assembly)]


def _line(m: PartMargin) -> Line:
    grade = Grade.FAIL if m.yields else Grade.NOTE if m.margin < LITTLE else Grade.FINE
    bears = f"{m.stress_MPa:.0f} MPa of {m.limit_MPa:.0f}, {m.where}"
    text = f"{start(PARTS[m.kind])}: least margin {m.margin:.2f}, {spoken(m.name)}, {place(m.at_m)} ({bears})."
    return Line(grade, text)
