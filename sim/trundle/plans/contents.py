"""The first sheets of a pack: what cannot be built as it is, which sheets there are, what is left out; and the last
one: what to take care of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trundle.papers.parts import CARE
from trundle.plans.composed import block_pages
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, split_table

CONTENTS, CAUTIONS = "C", "Z"

CAUTION_LINES = (
    CARE,
    "These drawings say how parts are made and put together, not that they hold: trundle sheet says what each part has "
    "left, and trundle run ... sheet --run by the blows of a course.",
    "Check a print before it is used: a template's bar must measure what it says; on other sheets any dimension must "
    "measure what it says times the scale. Print at 100 %, never to fit the page.",
    "Drill and weld what is alike together: that pieces of a kind are alike matters more than the exact place.",
    "Weld with the battery off and springs out. Clear the swing of every arm before the spring goes in; a bent leaf or "
    "a pressed coil is let go by its clamp, never by hand.",
    "First roll without a rider, guards on, kill switch in hand, on the level, at walking pace.",
)


def contents_pages(
    subject: Subject, pages: Sequence[Page], faults: Sequence[str], first: Sequence[str] = ()
) -> list[Page]:
    """Before the pages, which follow. faults: what cannot be built as it is, worst first. first: what is to be known of
    the pack itself."""
    made = _contents(subject, pages, faults, first, 0)
    return _contents(subject, pages, faults, first, len(made))


def _contents(
    subject: Subject, pages: Sequence[Page], faults: Sequence[str], first: Sequence[str], before: int
) -> list[Page]:
    left, low, right, high = room(subject.paper)
    wide, tall = right - left, high - low
    blocks: list[Laid] = []
    if faults:
        blocks.append(
            notes(
                f"First: {len(faults)} thing{'s' if len(faults) > 1 else ''} that cannot be built as drawn",
                faults,
                wide,
            )
        )
    else:
        blocks.append(notes("Every part can be made and put together, as far as the file says", first, wide))
    rows = [
        (str(k), p.mark, p.title, p.scale, "" if p.count is None else str(p.count), p.stock)
        for k, p in enumerate(pages, before + 1)
    ]
    heads = ("sheet", "drawing", "title", "scale", "make", "stock")
    if subject.left_out:
        blocks.append(notes("Left out, and the table or field that would add it", subject.left_out, wide))
    used = sum(b.height + 6.0 for b in blocks)
    blocks += split_table("Sheets", heads, rows, wide, tall, max(tall - used, 0.0))
    return list(block_pages(CONTENTS, "Contents", blocks, subject.paper))


def cautions(subject: Subject) -> Iterator[Page]:
    """The last sheet."""
    left, _, right, _ = room(subject.paper)
    yield from block_pages(CAUTIONS, "Take care", [notes("Take care", CAUTION_LINES, right - left)], subject.paper)
