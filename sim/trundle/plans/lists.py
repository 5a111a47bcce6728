"""Lists of the sheet as pages of the pack: what to cut, what to buy, bolts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trundle.papers.bolt_list import bolt_list
from trundle.papers.buying import buying_parts
from trundle.papers.cut_list import cut_list
from trundle.papers.parts import Part
from trundle.plans.composed import APART_MM, block_pages
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, paragraph, split_table


def pages(subject: Subject) -> Iterator[Page]:
    """What to cut on a sheet of its own, then what to buy, which bolts take what, what it weighs."""
    vehicle = subject.vehicle
    yield from list_pages("CL", "Cut list", [cut_list(vehicle)], subject)
    bolts = bolt_list(vehicle)
    bought = [*buying_parts(vehicle), *([bolts] if bolts is not None else [])]
    yield from list_pages("BL", "What to buy, bolts, masses", bought, subject)


def list_pages(mark: str, title: str, parts: Sequence[Part], subject: Subject) -> Iterator[Page]:
    """Parts of the sheet, one below the other: of each what is loud first, then its words, its tables, its lines."""
    left, low, right, high = room(subject.paper)
    wide, tall = right - left, high - low
    blocks: list[Laid] = []
    for part in parts:
        if part.loud:
            blocks.append(notes(f"{part.title}: first", part.loud, wide))
        blocks.append(paragraph(part.title, part.intro, wide))
        for table in part.tables:
            used = sum(b.height + APART_MM for b in blocks) % tall
            blocks += split_table("", table.heads, table.rows, wide, tall, tall - used)
        if part.lines:
            blocks.append(notes(f"{part.title}: notes", part.lines, wide))
    yield from block_pages(mark, title, blocks, subject.paper, stacked=True)
