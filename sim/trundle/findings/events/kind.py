"""One kind of event: how it is found in a record, and what the verdict says of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from trundle.findings.grades import Line, Subject

if TYPE_CHECKING:
    from trundle.findings.events.finder import Finder
    from trundle.model.assembly import Assembly
    from trundle.record.long import Timeline
    from trundle.strength.margin import PartMargin


class Event(NamedTuple):
    """One row of the table of events (see findings.events.find_events)."""

    kind: str
    where: str
    time_s: float
    duration_s: float
    course_mm: float
    obstacle: str
    peak_N: float
    closing_mm_s: float
    energy_J: float
    height_mm: float


Events = Sequence[Event]


@dataclass(frozen=True)
class About:
    """What a kind may look at to say how it went. clear_mm: least belly clearance there [mm]; margins: what each part
    has left, over the whole course."""

    timeline: Timeline
    summary: Mapping[str, Any]
    assembly: Assembly
    clear_mm: float
    margins: Sequence[PartMargin] = ()


@dataclass(frozen=True)
class EventKind:
    """One kind of event.

    name: in the column `kind`. subject: section of the verdict that it belongs to. sizes: the columns of SIZES that
    it fills. find: its rows. said: lines on the events of one obstacle; it is asked with none of them too. in_all:
    lines on those of the whole course (None: as said).
    """

    name: str
    subject: Subject
    sizes: tuple[str, ...]
    find: Callable[[Finder], Iterator[dict[str, Any]]]
    said: Callable[[Events, About], list[Line]]
    in_all: Callable[[Events, About], list[Line]] | None = None

    def of(self, events: Events) -> Events:
        """The events of this kind."""
        return [e for e in events if e.kind == self.name]

    def lines(self, events: Events, about: About) -> list[Line]:
        """What is said of one obstacle's events."""
        return self.said(self.of(events), about)

    def course_lines(self, events: Events, about: About) -> list[Line]:
        """What is said of the whole course's events."""
        return (self.in_all or self.said)(self.of(events), about)


def in_all_s(events: Events) -> float:
    """How long they last together [s]."""
    return math.fsum(e.duration_s for e in events)


def longest_s(events: Events) -> float:
    """How long the longest lasts [s]."""
    return max(e.duration_s for e in events)


def hardest(events: Events) -> Event:
    """The one with the highest force; of several alike, the first."""
    return max(events, key=lambda e: e.peak_N)


def highest_mm(events: Events) -> float:
    """The greatest height or length [mm]."""
    return max(e.height_mm for e in events)


def nothing(_: Events, __: About) -> list[Line]:
    """For a kind of which a figure says all that there is to say."""
    return []
