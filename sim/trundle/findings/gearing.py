"""Which ratio of several suits a motor on a course: what each of them did, and which is the best.

A higher ratio lets the motor turn faster and give less torque: cooler, and less current, down to where it no longer
comes up to its speed. So of the ratios that get over, hold the speed and overload nothing the one is taken that warms
the motor least; where none does all of that, the quickest of those that overload least.
"""

from __future__ import annotations

from dataclasses import dataclass

from trundle.findings.climbs import Climbs
from trundle.findings.grades import Grade

SLOWER = 1.03
"""A run that takes this many times as long as the quickest does not hold its speed."""

RESERVE = 1.1
"""Top speed over the speed asked that a ratio should leave: a battery half empty turns the motor a tenth slower (common
practice, no source)."""

FIGURES = (
    "rms_motor_torque_Nm", "motor_rms_of_rating_percent", "motor_stalled_s", "motor_at_limit_s", "battery_course_Wh",
    "battery_peak_1s_A",
)  # fmt: skip
"""What is told of each ratio."""


@dataclass(frozen=True)
class Trouble:
    """Of motors or battery, a risk at least. text: a clause of its own; word: for a table."""

    text: str
    word: str


@dataclass(frozen=True)
class Geared:
    """What one ratio does on the course. over: it gets past; why: what stopped it, if not; asked_m_s: the most that is
    asked; runs: from how many close by; troubles: what of motors and battery is a risk, the worst first; figures: by
    name, of the run (of several the medians)."""

    ratio: float
    climbs: Climbs
    over: bool
    why: str
    asked_m_s: float
    duration_s: float
    distance_m: float
    troubles: tuple[Trouble, ...]
    figures: dict[str, float | None]
    runs: int

    @property
    def top_m_s(self) -> float:
        """On the level."""
        return self.climbs.speed_m_s(0.0)

    @property
    def crawl_deg(self) -> float:
        """The steepest slope at a crawl, by motors and grip."""
        return min(self.climbs.slope_deg(self.climbs.pull.most_N), self.climbs.grip_deg)

    @property
    def asked_deg(self) -> float:
        """The steepest at the speed asked; below 0: it does not come up to it."""
        return min(self.climbs.slope_deg(float(self.climbs.pull.both_N(self.asked_m_s))), self.climbs.grip_deg)

    @property
    def rms(self) -> float:
        """R.m.s. torque of one motor [N.m]."""
        return self.figures["rms_motor_torque_Nm"] or 0.0

    def holds(self, quickest_s: float) -> bool:
        """Whether it comes up to its speed, with some reserve."""
        return self.duration_s <= SLOWER * quickest_s and self.top_m_s >= RESERVE * self.asked_m_s

    def order(self, quickest_s: float) -> tuple[bool, int, bool, float]:
        """The smallest of these is the best."""
        if not self.over:
            return (True, 0, True, -self.distance_m)
        holds = self.holds(quickest_s)
        return (False, len(self.troubles), not holds, self.rms if holds else self.duration_s)


@dataclass(frozen=True)
class Gearing:
    """All that were tried, by ratio; own: the vehicle's own; best: the one to take (own: keep it). Of these two the
    figures are the medians of some runs close by."""

    vehicle: str
    course: str
    tried: tuple[Geared, ...]
    own: Geared
    best: Geared

    @property
    def quickest_s(self) -> float:
        """Of all that get over [s]; inf if none does."""
        return min((one.duration_s for one in self.tried if one.over), default=float("inf"))

    @property
    def holds(self) -> bool:
        """Whether the best holds the speed."""
        return self.best.holds(self.quickest_s)

    @property
    def grade(self) -> Grade:
        """How well the best does."""
        if not self.best.over:
            return Grade.FAIL
        if self.best.troubles:
            return Grade.RISK
        return Grade.FINE if self.holds else Grade.NOTE
