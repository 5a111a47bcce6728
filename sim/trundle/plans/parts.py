"""Sheets of all that is made, part by part, and of the stacks on their bolts."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.plans import bars, leaves, pair, plates, screws, sleeves, springs, stacks, straights
from trundle.plans.page import Page
from trundle.plans.subject import Subject


def part_pages(subject: Subject) -> Iterator[Page]:
    """Arms and beams, bracket plates, sleeves and spacers, leaves, other springs."""
    for kind in (bars, plates, sleeves, leaves, straights, springs):
        yield from kind.pages(subject)


def stack_pages(subject: Subject) -> Iterator[Page]:
    """What goes on each bolt, wheels over the guide tooth, the spring's screw."""
    for kind in (stacks, pair, screws):
        yield from kind.pages(subject)
