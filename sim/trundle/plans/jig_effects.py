"""What the errors of the jigs do to a wheel's place: a sheet of figures for each arm and beam."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trundle.drawing.font import width_of
from trundle.drawing.marks import Line, Mark, Text
from trundle.drawing.pens import Pen
from trundle.elevation.words import LINE, broken
from trundle.making.part import PLACE_MM
from trundle.papers.parts import names, number
from trundle.plans.jig_error import OUTPUTS, Care, Floats, Sources, degrees
from trundle.plans.jig_work import Work, works
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject

HEADS = (
    "what is off", "± mm", "axle along", "axle up", "tread below", "tread ahead", "toe", "camber",
)  # fmt: skip
UNITS = ("", "", "± mm", "± mm", "sideways, ± mm", "sideways, ± mm", "± deg", "± deg")

ROW_MM, TEXT_MM = 4.6, 2.4


def pages(subject: Subject) -> Iterator[Page]:
    """One for each arm and beam."""
    for work in works(subject.vehicle, subject.made):
        yield from _pages(subject, work)


def rows_of(sources: Sources) -> list[tuple[str, ...]]:
    """Each cause at its worst, then all of them: worst case and likely (root-sum-square)."""
    rows = [(s.name, number(s.off_mm, 2), *_figures(s.worst)) for s in sources.of if s.by_jig]
    rows.append(("all, worst case", "", *_figures(sources.worst)))
    rows.append(("all, likely (root-sum-square of each end by itself)", "", *_figures(sources.likely)))
    rows += [(s.name, number(s.off_mm, 2), *_figures(s.worst)) for s in sources.of if not s.by_jig]
    return rows


def _figures(values: Floats) -> tuple[str, ...]:
    told = [degrees(v) if name in ("toe", "camber") else v for name, v in zip(OUTPUTS, values, strict=True)]
    return tuple(number(v, 2) for v in told)


def verdict(work: Work, sources: Sources) -> list[tuple[bool, str]]:
    """Whether it is within what is allowed, and how far, in words: first of the axle's place, then of the tooth."""
    of = dict(zip(OUTPUTS, sources.worst, strict=True)), dict(zip(OUTPUTS, sources.likely, strict=True))
    worst, likely = (d["along"] for d in of)
    found = [
        _one("axle along the arm", worst, likely, PLACE_MM, "the drawing's tolerance of the holes", " mm"),
    ]  # fmt: skip
    worst, likely = (max(d["tread_low"], d["tread_fore"]) for d in of)
    if work.room_mm is None:
        told = f"Tread sideways: likely ±{number(likely, 1)} mm, worst ±{number(worst, 1)}."
        found.append((True, f"{told} No pair of wheels astride a tooth of a given width to hold it against."))
    else:
        plays = [dict(zip(OUTPUTS, s.worst, strict=True)) for s in sources.of if not s.by_jig]
        play = sum(max(d["tread_low"], d["tread_fore"]) for d in plays)
        by = "half of the gap beside the guide tooth"
        found.append(_one("tread sideways", worst, likely, work.room_mm, by, " mm", play))
    return found


def _one(
    what: str, worst: float, likely: float, allowed: float, by: str, unit: str, play: float = 0.0
) -> tuple[bool, str]:
    """play: what the part moves besides when it runs, which no jig is to blame for."""
    told = f"likely ±{number(likely, 2)}, worst ±{number(worst, 2)}{unit}; allowed ±{number(allowed, 2)} ({by})"
    if play > 0.0:
        told += f"; running play ±{number(play, 2)} comes on top"
    worst, likely = worst + play, likely + play
    if worst <= allowed:
        return True, f"{what[:1].upper()}{what[1:]}: {told}. Holds even at the worst."
    if likely <= allowed:
        return True, f"{what[:1].upper()}{what[1:]}: {told}. Holds as a rule; measure each one, the worst would not do."
    return (
        False,
        f"{what[:1].upper()}{what[1:]}: {told}. DOES NOT HOLD: make the jig better where its row is the largest.",
    )


def _pages(subject: Subject, work: Work) -> Iterator[Page]:
    """Both ways on one sheet, or on a sheet each where they do not fit."""
    paper = subject.paper.turned(False)
    left, low, right, top = room(paper)
    ways = [("Drilled by the jig; sleeves, if any, where their holes are", work.by_holes(Care()))]
    if work.sleeved:
        ways.append(("Sleeves held by the assembly jig's pins while they are welded", work.by_pins(Care())))
    blocks = [_block(title, work, sources, right - left) for title, sources in ways]
    words = _rows(list(_words(work)), right - left, 2.1)
    if sum(high for _, high in blocks) + words[1] > top - low and len(blocks) > 1:
        sheets = [[blocks[0], words], [blocks[1], words]]
    else:
        sheets = [[*blocks, words]]
    title = f"what errors of the jigs do to the wheels of {work.part.mark}"
    for sheet in sheets:
        marks: list[Mark] = []
        y = top
        for made, high in sheet:
            marks += [m.moved(left, y) for m in made]
            y -= high
        yield Page(f"JE-{work.part.mark}", title, paper, "none", tuple(marks), f"for {names(work.part.bogies)}")


Block = tuple[list[Mark], float]
"""Marks below (0, 0), and how high they are."""


def _block(title: str, work: Work, sources: Sources, wide: float) -> Block:
    marks, y = _table(rows_of(sources), wide, -6.0)
    marks.append(Text(0.0, -4.5, title, 3.0, bold=True))
    for holds, words in verdict(work, sources):
        made, high = _rows([words], wide, TEXT_MM, holds)
        marks += [m.moved(0.0, y) for m in made]
        y -= high
    return marks, 3.0 - y


def _rows(lines: Sequence[str], wide: float, size: float, holds: bool = True) -> Block:
    rows = [row for line in lines for row in broken(line, wide, size)]
    pen: Pen = "cut" if holds else "fault"
    marks: list[Mark] = [
        Text(0.0, -LINE * size * (k + 1), row, size, bold=not holds, pen=pen) for k, row in enumerate(rows)
    ]
    return marks, LINE * size * len(rows)


def _words(work: Work) -> Iterator[str]:
    reach = work.reach
    beyond = f", and {number(reach.beyond_mm, 1)} mm on to the beam's wheel" if reach.beyond_mm > 0.0 else ""
    yield (
        f"Arm level: {number(reach.reach_mm, 1)} mm from pivot to {work.axle.name}{beyond}, wheel "
        f"{number(reach.radius_mm)} mm in radius. Rows at their worst side. A sleeve that leans swings the whole arm: "
        "that is why its length counts. Limits are what is usual with a drill press, a calliper and a square (common "
        "practice, no source): put your own in proportion. Likely: independent, each spread alike within its limits."
    )


def _table(rows: Sequence[Sequence[str]], wide: float, top: float) -> Block:
    """Heads on top; the first column as wide as its words. And where it ends below."""
    x = 0.0
    first = max(width_of(r[0], TEXT_MM, True) for r in rows) + 4.0
    step = (wide - first) / (len(HEADS) - 1)
    marks: list[Mark] = []
    y = top - ROW_MM
    for c, (head, unit) in enumerate(zip(HEADS, UNITS, strict=True)):
        at, anchor = (x + 1.0, "start") if c == 0 else (x + first + c * step - 1.5, "end")
        marks.append(Text(at, y + 1.0, head, TEXT_MM, "start" if anchor == "start" else "end", bold=True))
        marks.append(Text(at, y - ROW_MM + 2.0, unit, 2.0, "start" if anchor == "start" else "end"))
    y -= ROW_MM
    marks.append(Line(x, y + 0.7, x + wide, y + 0.7, "cut"))
    for row in rows:
        y -= ROW_MM
        whole = row[0].startswith("all,")
        for c, words in enumerate(row):
            if c == 0:
                marks.append(Text(x + 1.0, y + 1.4, words, TEXT_MM, bold=whole))
            else:
                marks.append(Text(x + first + c * step - 1.5, y + 1.4, words, TEXT_MM, "end", bold=whole))
        marks.append(Line(x, y, x + wide, y, "cut" if whole else "thin"))
    return marks, y
