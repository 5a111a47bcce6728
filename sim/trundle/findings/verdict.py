"""What a run means, in a builder's words: pure functions of the record, no physics.

said = verdict_of(result)
said.headline.text          # "Teasel over Kerb 100 mm: gets over, 6.5 m in 6.3 s."
said.obstacles[0].text      # "Kerb 100 mm at 1.2 m/s: over. Front bump stop hit twice, ..."
said.sections               # hull, track, seat, motor, trust: graded lines
said.wheels                 # one row per wheel
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from trundle.findings import events as ev
from trundle.findings import figures
from trundle.findings.events import About, Event, Events
from trundle.findings.figures import Told
from trundle.findings.grades import Grade, Line, Section
from trundle.findings.passage import Passage, passages
from trundle.findings.states import ledger_closes
from trundle.findings.summary import value_of
from trundle.findings.verdict_lines import sections
from trundle.findings.words import seconds, speed, start

if TYPE_CHECKING:
    import pandas as pd

    from trundle.findings.record import Record
    from trundle.model.assembly import Assembly
    from trundle.record.long import Timeline

Spans = tuple[tuple[str, float, float], ...]
"""(title, start [m], end [m]) of each obstacle."""


@dataclass(frozen=True)
class ObstacleVerdict:
    """One obstacle. outcome: how it went, a few words; lines: what happened on it, worst not first."""

    title: str
    start_m: float
    end_m: float
    speed_m_s: float
    outcome: Line
    lines: tuple[Line, ...]

    @property
    def grade(self) -> Grade:
        """The worst of its lines."""
        return max(line.grade for line in (self.outcome, *self.lines))

    @property
    def heading(self) -> str:
        """`Kerb 100 mm at 1.2 m/s`."""
        at = f" at {speed(self.speed_m_s)}" if self.speed_m_s == self.speed_m_s else ""
        return start(self.title) + at

    @property
    def detail(self) -> str:
        """All lines as one paragraph."""
        return " ".join(line.text for line in self.lines)

    @property
    def text(self) -> str:
        """The whole verdict as one paragraph."""
        return f"{self.heading}: {self.outcome.text} {self.detail}".rstrip()


@dataclass(frozen=True)
class WheelTable:
    """What each wheel carried. heads: of its columns, with units; rows: one of cells for each wheel, its name first."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, repr=False)
class Verdict:
    """Everything a run has to say."""

    headline: Line
    obstacles: tuple[ObstacleVerdict, ...]
    sections: tuple[Section, ...]
    wheels: WheelTable

    @property
    def text(self) -> str:
        """All of it as plain lines."""
        lines = [self.headline.text, *(o.text for o in self.obstacles)]
        for section in self.sections:
            lines += [f"{section.title}: {line.text}" for line in section.lines]
        return "\n".join(lines)

    def __str__(self) -> str:
        """All of it in the order of the screen: headline, obstacles, wheels, subjects."""
        rows = [self.wheels.heads, *self.wheels.rows]
        wide = [max(len(row[i]) for row in rows) for i in range(len(self.wheels.heads))]
        wheels = [
            "  ".join(cell.rjust(w) if i else cell.ljust(w) for i, (cell, w) in enumerate(zip(row, wide, strict=True)))
            for row in rows
        ]
        blocks = [[str(self.headline)], [f"{o.grade.sign} {o.text}" for o in self.obstacles], wheels]
        blocks += [[section.title, *map(str, section.lines)] for section in self.sections]
        return "\n\n".join("\n".join(line.rstrip() for line in block) for block in blocks if block)

    def __repr__(self) -> str:
        return f"<Verdict: {self.headline}>"


def verdict_of(result: Record) -> Verdict:
    """The verdict of a finished run."""
    return verdict(result.log, result.events, result.summary, result.ground.spans, result.assembly)


def verdict(
    timeline: Timeline,
    events: pd.DataFrame,
    summary: Mapping[str, Any],
    spans: Spans,
    assembly: Assembly,
) -> Verdict:
    """The verdict of a record. spans: the ground's obstacles (title, start [m], end [m])."""
    passed = passages(timeline, assembly, spans)
    happened = ev.events_of(events)
    at: dict[str, list[Event]] = defaultdict(list)
    for event in happened:
        at[event.obstacle].append(event)
    return Verdict(
        headline=_headline(summary, passed),
        obstacles=tuple(_obstacle(p, timeline, at[p.title], summary, assembly, passed) for p in passed),
        sections=sections(timeline, happened, summary, assembly),
        wheels=_wheels(summary),
    )


def stopped_on(summary: Mapping[str, Any], passed: list[Passage]) -> Passage | None:
    """The obstacle that ended a run early: the foremost that it met and did not get over, if any."""
    if summary["completed"]:
        return None
    met = [p for p in passed if p.rows is not None and not p.over]
    return met[-1] if met else None


def _headline(summary: Mapping[str, Any], passed: list[Passage]) -> Line:
    line = _how_it_went(summary, passed)
    if not ledger_closes(summary["energy_error"]):
        return Line(Grade.FAIL, f"{line.text} Not to be trusted: the energy ledger does not close.")
    return line


def _how_it_went(summary: Mapping[str, Any], passed: list[Passage]) -> Line:
    who = f"{summary['vehicle']} over {summary['course'] or 'the course'}"
    went = f"{summary['distance_m']:.1f} m in {seconds(summary['duration_s'])}"
    if summary["completed"]:
        hanging = [p.title for p in passed if not p.over]
        if hanging:
            text = f"{who}: reaches the end, {went}, but the course ends before its tail is over {hanging[0]}."
            return Line(Grade.NOTE, text)
        what = "gets over" if len(passed) == 1 else f"gets over all {len(passed)} obstacles"
        return Line(Grade.FINE, f"{who}: {what}, {went}.")
    where = stopped_on(summary, passed)
    why = summary["ended_because"]
    if where is None:
        past = [p.title for p in passed if p.over]
        place = f"behind {past[-1]}" if past else "before the first obstacle"
    else:
        place = f"on {where.title}" + (f" ({_place(where, passed)})" if len(passed) > 1 else "")
    return Line(Grade.FAIL, f"{who}: does not get over. Ends {place} after {went}: {why}.")


def _place(where: Passage, passed: list[Passage]) -> str:
    return f"obstacle {passed.index(where) + 1} of {len(passed)}"


def _obstacle(
    p: Passage,
    timeline: Timeline,
    events: Events,
    summary: Mapping[str, Any],
    assembly: Assembly,
    passed: list[Passage],
) -> ObstacleVerdict:
    lines: list[Line] = []
    if p.rows is not None:
        clear_mm = float(timeline["belly.clearance_mm"].iloc[slice(*p.rows)].min())
        about = About(timeline, summary, assembly, clear_mm)
        lines = [line for kind in ev.KINDS for line in kind.lines(events, about)]
    outcome = _outcome(p, timeline, summary, passed)
    return ObstacleVerdict(p.title, p.start_m, p.end_m, p.speed_m_s, outcome, tuple(lines))


def _outcome(p: Passage, timeline: Timeline, summary: Mapping[str, Any], passed: list[Passage]) -> Line:
    if p.over:
        return Line(Grade.FINE, "over.")
    if p.rows is None:
        return Line(Grade.NOTE, "not reached.")
    if summary["completed"]:
        return Line(Grade.NOTE, "the course ends before the tail is over it; a longer run_out_mm would tell.")
    if p is not stopped_on(summary, passed):
        return Line(Grade.NOTE, "the tail is still on it at the end of the run.")
    at = float(timeline["hull.x_mm"].iloc[-1]) * 1e-3 - p.start_m
    pitch = float(timeline["hull.pitch_deg"].iloc[-1])
    lies = f"{abs(at):.2f} m {'past' if at > 0 else 'short of'} its start"
    up = f", {abs(pitch):.0f}° nose {'up' if pitch > 0 else 'down'}" if abs(pitch) >= 1.0 else ""
    text = f"not over. Ends with its centre of mass {lies}{up}: {summary['ended_because']}."
    return Line(Grade.FAIL, text)


def _wheels(summary: Mapping[str, Any]) -> WheelTable:
    """Every wheel's own figures."""
    own = [f for f in figures.TABLE if f.of_wheel and f.told is Told.LINE]
    rows = [(wheel, *(f.cell(value_of(summary, f, wheel)) for f in own)) for wheel in summary["wheels"]]
    return WheelTable(("wheel", *(f.heading for f in own)), tuple(rows))
