"""What a finished run has to say, worked out once and drawn in every frame: the headline, and what is worst."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from trundle.findings.finding import NUMBERED, Finding
from trundle.findings.grades import Grade, Line
from trundle.findings.near_row import row_of
from trundle.findings.record import Record
from trundle.findings.verdict import Verdict
from trundle.strength.margin import PartMargin

BEFORE_S = 0.15
"""So long before its moment a finding is gone to, so that one sees it come [s]."""

SEEN_FROM_S, SEEN_UNTIL_S = 0.25, 1.2
"""So long before and after its moment a finding is told of at length, with its causes [s]."""


@dataclass(frozen=True)
class Told:
    """headline: how it went, in one sentence; findings: the worst first, at most NUMBERED; margins: what each
    part of known sizes has left."""

    headline: Line
    findings: tuple[Finding, ...] = ()
    margins: tuple[PartMargin, ...] = ()
    figures: Mapping[str, Any] | None = field(default=None, compare=False)
    """The run's figures with their ranges (see trundle.findings.near_row); None where they are not known."""

    def there(self, time_s: float, chosen: int | None = None) -> int | None:
        """Which finding the picture is at, by its place in the list: the one gone to, else the worst."""
        near = [k for k in range(len(self.findings)) if self.seen(k, time_s)]
        if chosen in near:
            return chosen
        return near[0] if near else None

    def seen(self, k: int, time_s: float) -> bool:
        """Whether a finding's moment is now, or close by."""
        finding = self.findings[k]
        return finding.has_moment and finding.time_s - SEEN_FROM_S <= time_s <= finding.time_s + SEEN_UNTIL_S


def told_of(said: Verdict, record: Record | None = None) -> Told:
    """Of a verdict. record: of the run, for its figures."""
    figures = None
    if record is not None:
        figures = record.summary if record.near is None else row_of(record.summary, record.near)
    return Told(said.headline, said.findings[:NUMBERED], said.margins, figures)


def nothing_told(why: str) -> Told:
    """Where there is no verdict, and why."""
    return Told(Line(Grade.NOTE, why))
