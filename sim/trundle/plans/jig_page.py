"""What the sheets of jigs have in common: views with numbered items, notes, and one list of what all are made of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trundle.plans.notes import with_notes
from trundle.plans.page import Page, room
from trundle.plans.placing import Rows, in_rows, must_fit
from trundle.plans.subject import Subject
from trundle.plans.table import split_table

LIST = "JL"
"""Mark of the sheet with the list."""

HEADS = ("jig", "item", "what", "from", "length, mm", "count")


@dataclass(frozen=True)
class Item:
    """Something that a jig is made of. stock: what it is cut from or bought as; length: in words."""

    what: str
    stock: str
    length: str
    count: int = 1


@dataclass(frozen=True)
class Jig:
    """One jig. rows: of its views; items: in the order of their numbers."""

    mark: str
    title: str
    rows: Rows
    items: tuple[Item, ...]
    notes: tuple[str, ...]


def jig_page(subject: Subject, jig: Jig) -> Page:
    """Its sheet. Raises InputError where the paper is too small."""
    paper = subject.paper.turned(False)
    found = (*jig.notes, f"Numbers: see the list, {LIST}.") if jig.items else jig.notes
    words, free = with_notes(paper, found)
    placed = must_fit(in_rows(jig.rows, free), f"{jig.mark}, {jig.title}", paper)
    stock = f"see {LIST}" if jig.items else ""
    return Page(jig.mark, jig.title, paper, placed.words, (*placed.marks, *words), stock, 1 if jig.items else None)


def list_pages(subject: Subject, jigs: Sequence[Jig]) -> Iterator[Page]:
    """What is cut and bought for all of them."""
    rows = [
        (jig.mark, str(k), i.what, i.stock, i.length, str(i.count)) for jig in jigs for k, i in enumerate(jig.items, 1)
    ]
    if not rows:
        return
    paper = subject.paper.turned(False)
    left, low, right, top = room(paper)
    for piece in split_table("what the jigs are made of", HEADS, rows, right - left, top - low, top - low):
        marks = tuple(m.moved(left, top) for m in piece.marks)
        yield Page(LIST, "cut list of the jigs", paper, "none", marks)
