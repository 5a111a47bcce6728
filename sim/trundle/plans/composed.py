"""Views, tables and notes on sheets: as much on one as goes on it at the scale that its views would have alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.drawing.marks import Mark
from trundle.errors import InputError, Problem
from trundle.plans.page import Page, room
from trundle.plans.paper import PAPERS, Paper
from trundle.plans.placing import TITLE_MM, Placed, in_rows
from trundle.plans.table import Laid
from trundle.plans.view import View

Rows = Sequence[Sequence[View | None]]

APART_MM, BESIDE_MM = 6.0, 8.0
"""Between blocks below and beside each other."""


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
    """As many of the blocks beside each other under the views as go there, the highest first, and those that do not:
    what ends left of the title block may go down beside it."""
    left, low, right, _ = room(paper)
    _, lowest, beside, _ = room(paper, beside_block=True)
    top = min((p.bounds[1] for p in one.panels), default=0.0) - TITLE_MM - APART_MM
    found: list[Mark] = []
    rest: list[Laid] = []
    for b in sorted(blocks, key=lambda b: -b.height):
        end = left + b.width
        if end > right or b.height > top - (lowest if end <= beside else low):
            rest.append(b)
            continue
        found += [m.moved(left, top) for m in b.marks]
        left = end + BESIDE_MM
    return found, rest


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
