"""One kind of event: how it is found in a record, and what the verdict says of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from trundle.findings.grades import Line, Subject

if TYPE_CHECKING:
    import pandas as pd

    from trundle.findings.events.finder import Finder
    from trundle.model.assembly import Assembly


@dataclass(frozen=True)
class About:
    """What a kind may look at to say how it went. clear_mm: least belly clearance there [mm]."""

    timeline: pd.DataFrame
    summary: Mapping[str, Any]
    assembly: Assembly
    clear_mm: float


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
    said: Callable[[pd.DataFrame, About], list[Line]]
    in_all: Callable[[pd.DataFrame, About], list[Line]] | None = None

    def of(self, events: pd.DataFrame) -> pd.DataFrame:
        """The events of this kind."""
        return events[events["kind"] == self.name]

    def lines(self, events: pd.DataFrame, about: About) -> list[Line]:
        """What is said of one obstacle's events."""
        return self.said(self.of(events), about)

    def course_lines(self, events: pd.DataFrame, about: About) -> list[Line]:
        """What is said of the whole course's events."""
        return (self.in_all or self.said)(self.of(events), about)


def nothing(_: pd.DataFrame, __: About) -> list[Line]:
    """For a kind of which a figure says all that there is to say."""
    return []
