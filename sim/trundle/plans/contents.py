"""The first sheets of a pack: what cannot be built as it is, which sheets there are, what is left out; and the last
one: what to take care of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trundle.papers.fit_parts import fits_part
from trundle.papers.parts import CARE
from trundle.plans.composed import APART_MM, block_pages
from trundle.plans.missing import left_out
from trundle.plans.page import Page, room
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, split_table

LARGER = 1.5
"""Letters of the cautions, of those of other notes."""

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


def contents_pages(subject: Subject, pages: Sequence[Page]) -> list[Page]:
    """Before the pages, which follow."""
    made = _contents(subject, pages, 0)
    return _contents(subject, pages, len(made))


def title_of(page: Page, subject: Subject) -> str:
    """As the contents have it: the vehicle's name stands on them already."""
    return page.title.removeprefix(f"{subject.vehicle.name}: ")


def _contents(subject: Subject, pages: Sequence[Page], before: int) -> list[Page]:
    """before: how many sheets the contents take."""
    left, low, right, high = room(subject.paper)
    wide, tall = right - left, high - low
    fits = fits_part(subject.vehicle)
    blocks: list[Laid] = []
    if fits.loud:
        count = len(fits.loud)
        what = "1 fault keeps" if count == 1 else f"{count} faults keep"
        blocks.append(notes(f"First: {what} it from being built as drawn", fits.loud, wide))
    else:
        blocks.append(notes("Can it be made and put together", (fits.intro,), wide))
    missing = left_out(subject)
    if missing:
        blocks.append(notes("Not drawn, or taken for granted: the file does not say it", missing, wide))
    used = sum(b.height + APART_MM for b in blocks)
    rows = [
        (str(k), p.mark, title_of(p, subject), p.scale, "" if p.count is None else str(p.count), p.stock)
        for k, p in enumerate(pages, before + 1)
    ]
    heads = ("sheet", "drawing", "title", "scale", "make", "stock")
    blocks += split_table("Sheets", heads, rows, wide, tall, max(tall - used, 0.0))
    blocks.append(notes("What was checked, and what was not", fits.lines, wide))
    return list(block_pages(CONTENTS, "Contents", blocks, subject.paper, stacked=True))


def cautions(subject: Subject) -> Iterator[Page]:
    """The last sheet."""
    left, _, right, _ = room(subject.paper)
    yield from block_pages(
        CAUTIONS, "Take care", [notes("Take care", CAUTION_LINES, right - left, LARGER)], subject.paper
    )
