"""One thing that a run found out and that matters: what breaks, what hurts, what could go wrong."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from trundle.findings.grades import Grade, Line

NUMBERED = 3
"""Findings, the worst first, that pictures mark by their number."""


class Harm(IntEnum):
    """What a finding does, the worst last: findings are told in this order, the worst first."""

    NEARLY = 0
    """Nothing yet, but little is left."""
    THROWS = 1
    """It could throw the track, or tip."""
    HITS = 2
    """The hull, or an end of the track, hits the ground."""
    STRIKES = 3
    """It hits the rider, or throws him out."""
    BREAKS = 4
    """A part gives for good."""
    STOPS = 5
    """It does not get over, or the run is not to be trusted."""


@dataclass(frozen=True)
class Finding:
    """One finding. grade: how much it should worry; size: how bad among those of its kind, 1 where it begins to be bad.

    short: for a headline, a clause of its own: `the front arms bend`; text: the sentence, with figures. figure: the
    name of the figure to mend; part: the kind and name of the part, if it is one's. time_s, at_m: when, and where.
    causes: the chain of what led to it, from the record, first cause first.
    """

    harm: Harm
    grade: Grade
    size: float
    short: str
    text: str
    figure: str
    part: str = ""
    time_s: float = 0.0
    at_m: float = 0.0
    causes: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[int, int, float]:
        """The largest of these is the worst."""
        return (int(self.grade), int(self.harm), self.size)

    @property
    def has_moment(self) -> bool:
        """Whether it happens at one time; some hold for the whole run."""
        return self.time_s > 0.0

    @property
    def because(self) -> str:
        """`because: on Kerb 100 mm at 1.2 m/s; 9° left to the bump stop; rubber 350 N/mm`."""
        return f"because: {'; '.join(self.causes)}"

    @property
    def line(self) -> Line:
        """As a line of the verdict."""
        return Line(self.grade, self.text)
