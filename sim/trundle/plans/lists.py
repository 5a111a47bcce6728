"""Lists of the sheet as pages of the pack: what to cut, what to buy, bolts."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.papers.bolt_list import bolt_list
from trundle.papers.cut_list import cut_list
from trundle.papers.parts import Part
from trundle.plans.composed import block_pages
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, paragraph, split_table


def pages(subject: Subject) -> Iterator[Page]:
    """Each list from a sheet of its own on."""
    vehicle = subject.vehicle
    parts = [("CL", cut_list(vehicle)), ("BL", bolt_list(vehicle))]
    for mark, part in parts:
        if part is not None:
            yield from part_pages(mark, part, subject)


def part_pages(mark: str, part: Part, subject: Subject) -> Iterator[Page]:
    """A part of the sheet: what is loud first, then its words, its tables, its lines."""
    left, low, right, high = room(subject.paper)
    wide, tall = right - left, high - low
    blocks: list[Laid] = []
    if part.loud:
        blocks.append(notes("First", part.loud, wide))
    if part.intro:
        blocks.append(paragraph(part.intro, wide))
    for table in part.tables:
        used = sum(b.height + 6.0 for b in blocks)
        blocks += split_table("", table.heads, table.rows, wide, tall, max(tall - used % tall, 0.0))
    if part.lines:
        blocks.append(notes("Notes", part.lines, wide))
    yield from block_pages(mark, part.title, blocks, subject.paper, stacked=True)
