"""What a run means, in a builder's words: pure functions of the record, no physics.

said = verdict_of(result)
said.headline.text          # "Teasel over Kerb 100 mm: gets over, but the front arms bend (6.5 m in 6.3 s)."
said.findings               # what matters, the worst first, each with its causes
said.obstacles[0].text      # "Kerb 100 mm at 1.2 m/s: over. Front bump stop hit twice, ..."
said.sections               # hull, track, seat, motor, trust: graded lines
said.wheels                 # one row per wheel
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings import events as ev
from trundle.findings import figures
from trundle.findings.events import About, Event, Events
from trundle.findings.figures import Told
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade, Line, Section
from trundle.findings.near import Near
from trundle.findings.passage import Passage, passages, stopped_on
from trundle.findings.readings import Floats
from trundle.findings.serious import Case, findings_of
from trundle.findings.states import ledger_closes
from trundle.findings.summary import value_of
from trundle.findings.verdict_lines import sections
from trundle.findings.words import listed, seconds, speed, start
from trundle.strength.margins import margins_of

if TYPE_CHECKING:
    import pandas as pd

    from trundle.findings.record import Record
    from trundle.model.assembly import Assembly
    from trundle.record.long import Timeline
    from trundle.strength.margin import PartMargin

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
    """Everything a run has to say. findings: what matters, the worst first; the headline says the first of them;
    margins: what each part of known sizes has left (see trundle.strength.margins); runs: of how many runs close by
    the findings are, where obstacles, wheels and sections are of the one that is kept."""

    headline: Line
    findings: tuple[Finding, ...]
    obstacles: tuple[ObstacleVerdict, ...]
    sections: tuple[Section, ...]
    wheels: WheelTable
    margins: tuple[PartMargin, ...] = ()
    runs: int = 1

    @property
    def obstacles_head(self) -> str:
        """What the obstacles are headed by: whose figures follow."""
        return "This run, obstacle by obstacle" if self.runs > 1 else "Obstacle by obstacle"

    @property
    def whose(self) -> str:
        """Whose figures are told above the obstacles, and whose from there on; empty where all are one run's."""
        if self.runs == 1:
            return ""
        if not self.findings:
            return f"Figures are those of this one run, the first of {self.runs} close by."
        return f"Above, figures are the medians of {self.runs} runs close by; from here on they are this one run's."

    @property
    def text(self) -> str:
        """All of it as plain lines."""
        lines = [self.headline.text, *(f.text for f in self.findings), *(o.text for o in self.obstacles)]
        for section in self.sections:
            lines += [f"{section.title}: {line.text}" for line in section.lines]
        return "\n".join(lines)

    def __str__(self) -> str:
        """All of it in the order of the screen: headline, findings, obstacles, wheels, subjects."""
        rows = [self.wheels.heads, *self.wheels.rows]
        wide = [max(len(row[i]) for row in rows) for i in range(len(self.wheels.heads))]
        wheels = [
            "  ".join(cell.rjust(w) if i else cell.ljust(w) for i, (cell, w) in enumerate(zip(row, wide, strict=True)))
            for row in rows
        ]
        found = [text for f in self.findings for text in (str(f.line), *([f"  {f.because}"] if f.causes else []))]
        head = [f"{self.obstacles_head}. {self.whose}".rstrip()]
        blocks = [[str(self.headline)], found, [*head, *(f"{o.grade.sign} {o.text}" for o in self.obstacles)], wheels]
        blocks += [[section.title, *map(str, section.main)] for section in self.sections]
        return "\n\n".join("\n".join(line.rstrip() for line in block) for block in blocks if block)

    def __repr__(self) -> str:
        return f"<Verdict: {self.headline}>"


def verdict_of(result: Record) -> Verdict:
    """The verdict of a finished run, and of the runs close by if it has any."""
    return verdict(result.log, result.events, result.summary, result.ground.spans, result.assembly, result.near)


def verdict(
    timeline: Timeline,
    events: pd.DataFrame,
    summary: Mapping[str, Any],
    spans: Spans,
    assembly: Assembly,
    near: Near | None = None,
) -> Verdict:
    """The verdict of a record. spans: the ground's obstacles (title, start [m], end [m]); near: the runs close by,
    itself the first; None: it speaks for itself alone."""
    passed = passages(timeline, assembly, spans)
    happened = ev.events_of(events)
    at: dict[str, list[Event]] = defaultdict(list)
    for event in happened:
        at[event.obstacle].append(event)

    def column(name: str) -> Floats:
        values: Floats = np.asarray(timeline[name].to_numpy(), dtype=np.float64)
        return values

    case = Case(column, happened, summary, assembly, passed, margins_of(assembly, timeline), near)
    found = findings_of(case)
    obstacles = tuple(_obstacle(p, timeline, at[p.title], case, found) for p in passed)
    told = sections(timeline, happened, summary, assembly, case.margins)
    graded: Sequence[ObstacleVerdict | Section] = (*obstacles, *told)
    # No tick over a risk, whoever tells of it.
    least = max((Grade.RISK for one in graded if one.grade >= Grade.RISK), default=Grade.FINE)
    return Verdict(
        _headline(case, found, least), found, obstacles, told, _wheels(summary), tuple(case.margins), case.runs
    )


SAID = 2
"""Findings that the headline, or an obstacle's outcome, names."""


def _headline(case: Case, found: Sequence[Finding], least: Grade) -> Line:
    """How it went, and the worst that was found, in one sentence. least: its grade is no better."""
    line = _how_it_went(case)
    worst = [f for f in found if f.grade >= Grade.RISK and f.harm is not Harm.STOPS]
    # What only may be bad is named where nothing is, but for what only nearly happened.
    worst = worst or [f for f in found if f.harm is not Harm.STOPS and f.harm > Harm.THROWS][:1]
    bad = list(dict.fromkeys(f.short for f in worst))[:SAID]
    grade = max(line.grade, least, *(f.grade for f in found if f.grade >= Grade.RISK or f in worst))
    named = " and ".join(bad)
    closes = ledger_closes(case.summary["energy_error"])
    trust = "" if closes else "Not to be trusted, since the energy ledger does not close. "
    if not case.summary["completed"]:
        return Line(grade, f"{trust}{line.text}{f' On the way {named}.' if bad else ''}")
    said = f", but {named} ({_went(case)})." if bad else f", {_went(case)}."
    return Line(grade, f"{trust}{line.text}{said}")


def _went(case: Case) -> str:
    """`6.5 m in 6.3 s`."""
    return f"{case.summary['distance_m']:.1f} m in {seconds(case.summary['duration_s'])}"


def _how_it_went(case: Case) -> Line:
    """Whether it gets over; without the full stop, if it does."""
    summary, passed, near = case.summary, case.passed, case.near
    who = f"{summary['vehicle']} over {summary['course'] or 'the course'}"
    sure = near.trusted if near is not None else ()
    some = f" in {near.over} of {len(sure)} runs" if near is not None and near.over < len(sure) else ""
    if summary["completed"]:
        hanging = [p.title for p in passed if not p.over]
        if hanging:
            text = f"{who}: reaches the end{some}, where its tail is still on {hanging[0]}"
            return Line(Grade.NOTE, text)
        what = {1: "gets over", 2: "gets over both obstacles"}.get(
            len(passed), f"gets over all {len(passed)} obstacles" if passed else "gets to the end"
        )
        return Line(Grade.FINE, f"{who}: {what}{some}")
    where = stopped_on(summary, passed)
    if where is None:
        past = [p.title for p in passed if p.over]
        place = f"behind {past[-1]}" if past else "before the first obstacle"
    else:
        place = f"on {where.title}" + (f" ({_place(where, passed)})" if len(passed) > 1 else "")
    if near is not None and sure:
        runs = f"of {len(sure)} runs"
        some = f" (in {near.over} {runs} close by it does)" if near.over else f" in any {runs}"
    text = f"{who}: does not get over{some}. Ends {place} after {_went(case)}: {summary['ended_because']}."
    return Line(Grade.FAIL, text)


def _place(where: Passage, passed: Sequence[Passage]) -> str:
    return f"obstacle {passed.index(where) + 1} of {len(passed)}"


def _obstacle(
    p: Passage,
    timeline: Timeline,
    events: Events,
    case: Case,
    found: Sequence[Finding],
) -> ObstacleVerdict:
    summary, assembly, passed = case.summary, case.assembly, case.passed
    lines: list[Line] = []
    if p.rows is not None:
        clear_mm = float(timeline["belly.clearance_mm"].iloc[slice(*p.rows)].min())
        about = About(timeline, summary, assembly, clear_mm)
        lines = [line for kind in ev.KINDS for line in kind.lines(events, about)]
    outcome = _outcome(p, timeline, summary, passed)
    if p.over and p.rows is not None:
        bad = [f for f in found if f.grade >= Grade.RISK and f.harm > Harm.THROWS and _on(f, p, case)]
        if bad:
            named = listed([f.short for f in bad], SAID)
            outcome = Line(max(f.grade for f in bad), f"over, but {named}.")
    return ObstacleVerdict(p.title, p.start_m, p.end_m, p.speed_m_s, outcome, tuple(lines))


def _on(finding: Finding, p: Passage, case: Case) -> bool:
    """Whether that happened on this obstacle (of several under the vehicle, the foremost)."""
    return finding.time_s > 0.0 and case.met(case.row_of(finding.time_s)) is p


def _outcome(p: Passage, timeline: Timeline, summary: Mapping[str, Any], passed: Sequence[Passage]) -> Line:
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
