"""Views, tables and notes on sheets: as much on one as goes on it at the scale that its views would have alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.drawing.holds import box_of
from trundle.drawing.marks import Mark, Text
from trundle.drawing.pens import Corner
from trundle.errors import InputError, Problem
from trundle.plans.page import Page, room
from trundle.plans.paper import PAPERS, Paper
from trundle.plans.placing import Box, Placed, in_rows
from trundle.plans.table import Laid
from trundle.plans.view import View

Rows = Sequence[Sequence[View | None]]

APART_MM, BESIDE_MM = 6.0, 8.0
"""Between blocks below and beside each other."""

STEP_MM = 4.0
"""From one place to the next where a gap for a block is sought."""


@dataclass(frozen=True)
class Composition:
    """Sheets of one subject: rows of views for each, under one drawing number. titles: of each sheet."""

    rows: tuple[Rows, ...]
    titles: tuple[str, ...]


def sheets(
    mark: str,
    choices: Sequence[Composition],
    blocks: Sequence[Laid],
    paper: Paper,
    largest: float = 1.0,
    enough: float = 1.0,
) -> Iterator[Page]:
    """Of compositions with ever more sheets the first whose views are all as large as `enough`, or, where none is,
    whose smallest is largest. blocks: tables and notes, beside each other under the views of the first sheet that has
    room, else on a sheet of their own.

    Raises InputError where the paper is too small for any of them.
    """
    best: tuple[float, Composition, list[Placed]] | None = None
    for choice in choices:
        placed = [in_rows(rows, room(paper), largest, top=True) for rows in choice.rows]
        least = min(p.scale for p in placed)
        if all(p.fits for p in placed) and (best is None or least > best[0] + 1e-9):
            best = least, choice, placed
            if least >= enough - 1e-9:
                break
    if best is None:
        raise too_small(choices[-1].titles[0], choices[-1], paper, largest)
    _, chosen, placed = best
    left = list(blocks)
    many = len(placed) > 1
    for n, (one, title) in enumerate(zip(placed, chosen.titles, strict=True), 1):
        marks: list[Mark] = [m for panel in one.panels for m in panel.marks]
        under, left = _under(one, left, paper)
        marks += under
        yield Page(f"{mark}-{n}" if many else mark, title, paper, one.words, tuple(marks))
    if left:
        yield from block_pages(mark, f"{chosen.titles[0].partition(':')[0]}: lists", left, paper)


def _under(one: Placed, blocks: Sequence[Laid], paper: Paper) -> tuple[list[Mark], list[Laid]]:
    """As many of the blocks as go on the sheet, the highest first, and those that do not: beside each other under the
    views, or else wherever there is room between them."""
    left, low, right, high = room(paper)
    _, lowest, beside, _ = room(paper, beside_block=True)
    taken = _taken(one)
    top = min((b[1] for b in taken), default=high) - APART_MM
    found: list[Mark] = []
    rest: list[Laid] = []
    x = left
    for b in sorted(blocks, key=lambda b: -b.height):
        end = x + b.width
        if end <= right and b.height <= top - (lowest if end <= beside else low):
            at: Corner | None = (x, top)
            x = end + BESIDE_MM
        else:
            at = _gap(b, taken, (left, low, right, high))
        if at is None:
            rest.append(b)
            continue
        found += [m.moved(*at) for m in b.marks]
        taken.append((at[0], at[1] - b.height, at[0] + b.width, at[1]))
    return found, rest


def _taken(one: Placed) -> list[Box]:
    """Left, low, right, high of the views and of their titles, on paper."""
    found: list[Box] = [p.bounds for p in one.panels]
    texts = [m for p in one.panels for m in p.marks if isinstance(m, Text)]
    for x, y, wide, tall, _ in map(box_of, texts):
        found.append((x - wide, y - tall, x + wide, y + tall))
    return found


def _gap(block: Laid, taken: Sequence[Box], free: Box) -> Corner | None:
    """An upper left corner where a block touches nothing: the highest, of those the one farthest left."""
    for row in range(int((free[3] - free[1] - block.height) / STEP_MM) + 1):
        top = free[3] - row * STEP_MM
        for column in range(int((free[2] - free[0] - block.width) / STEP_MM) + 1):
            x = free[0] + column * STEP_MM
            own = (x - APART_MM, top - block.height - APART_MM, x + block.width + APART_MM, top + APART_MM)
            if not any(own[0] < t[2] and t[0] < own[2] and own[1] < t[3] and t[1] < own[3] for t in taken):
                return x, top
    return None


def block_pages(mark: str, title: str, blocks: Sequence[Laid], paper: Paper, stacked: bool = False) -> Iterator[Page]:
    """Tables and notes, over as many sheets as they take. stacked: each below the last, none beside it."""
    left, low, right, high = room(paper)
    marks: list[Mark] = []
    y, x, row = high, left, 0.0
    for b in blocks:
        if x > left and (stacked or x + b.width > right):
            x, y, row = left, y - row - APART_MM, 0.0
        if y - b.height < low and marks:
            yield Page(mark, title, paper, "none", tuple(marks))
            marks, x, y, row = [], left, high, 0.0
        marks += [m.moved(x, y) for m in b.marks]
        x, row = x + b.width + BESIDE_MM, max(row, b.height)
    if marks:
        yield Page(mark, title, paper, "none", tuple(marks))


def too_small(what: str, composition: Composition, paper: Paper, largest: float) -> InputError:
    """Which paper would do."""
    larger = [p for p in PAPERS.values() if p.short_mm * p.long_mm > paper.short_mm * paper.long_mm]
    does = next(
        (
            p.name
            for p in sorted(larger, key=lambda p: p.short_mm * p.long_mm)
            if all(in_rows(rows, room(p), largest).fits for rows in composition.rows)
        ),
        "",
    )
    allowed = f"{does} at least" if does else "no paper that is known here is large enough"
    return InputError(
        Problem(f"{paper.name} is too small for {what[:1].lower()}{what[1:]}", "--paper", allowed=allowed)
    )
