"""What a run means, in a builder's words: pure functions of the record, no physics.

said = verdict_of(result)
said.headline.text          # "Teasel over Kerb 100 mm: gets over, 6.5 m in 6.3 s."
said.obstacles[0].text      # "Kerb 100 mm at 1.2 m/s: over. Front bump stop hit twice, ..."
said.sections               # hull, track, seat, motor, trust: graded lines
said.wheels                 # one row per wheel
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING, Any

import pandas as pd

from trundle.findings import events as ev
from trundle.findings.passage import Passage, passages
from trundle.findings.summary import LEDGER_LIMIT
from trundle.findings.words import force, millimetres, seconds, speed, spoken, start, times
from trundle.model.assembly import Assembly

if TYPE_CHECKING:
    from trundle.findings.record import Record

Spans = tuple[tuple[str, float, float], ...]
"""(title, start [m], end [m]) of each obstacle."""

HARD_HIT = 0.5
"""A stop hit above this share of the vehicle's weight, on one arm, is a risk (our own line, no source)."""


class Grade(IntEnum):
    """How much a line should worry the reader, worst last. Shown as sign and word, never by colour alone."""

    FINE, NOTE, RISK, FAIL = range(4)

    @property
    def sign(self) -> str:
        return "✓·!✗"[self]

    @property
    def word(self) -> str:
        return ("fine", "note", "risk", "failed")[self]


@dataclass(frozen=True)
class Line:
    """One sentence and its grade."""

    grade: Grade
    text: str


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
class WheelRow:
    """One wheel's loads [N], its greatest load's place [m], and how long it was off the ground [s]."""

    name: str
    standing_N: float
    mean_N: float
    peak_N: float
    peak_at_m: float
    off_s: float


@dataclass(frozen=True)
class Section:
    """Lines on one subject."""

    title: str
    lines: tuple[Line, ...]

    @property
    def grade(self) -> Grade:
        return max((line.grade for line in self.lines), default=Grade.FINE)


@dataclass(frozen=True)
class Verdict:
    """Everything a run has to say."""

    headline: Line
    obstacles: tuple[ObstacleVerdict, ...]
    sections: tuple[Section, ...]
    wheels: tuple[WheelRow, ...]

    @property
    def text(self) -> str:
        """All of it as plain lines."""
        lines = [self.headline.text, *(o.text for o in self.obstacles)]
        for section in self.sections:
            lines += [f"{section.title}: {line.text}" for line in section.lines]
        return "\n".join(lines)


def verdict_of(result: Record) -> Verdict:
    """The verdict of a finished run."""
    return verdict(result.timeline, result.events, result.summary, result.ground.spans, result.assembly)


def verdict(
    timeline: pd.DataFrame,
    events: pd.DataFrame,
    summary: Mapping[str, Any],
    spans: Spans,
    assembly: Assembly,
) -> Verdict:
    """The verdict of a record. spans: the ground's obstacles (title, start [m], end [m])."""
    from trundle.findings.verdict_lines import sections

    passed = passages(timeline, assembly, spans)
    return Verdict(
        headline=_headline(summary, passed),
        obstacles=tuple(_obstacle(p, timeline, events, summary, assembly, passed) for p in passed),
        sections=sections(timeline, events, summary, assembly),
        wheels=tuple(_wheels(timeline, summary, assembly)),
    )


def stopped_on(summary: Mapping[str, Any], passed: list[Passage]) -> Passage | None:
    """The obstacle that ended a run early: the foremost that it met and did not get over, if any."""
    if summary["completed"]:
        return None
    met = [p for p in passed if p.rows is not None and not p.over]
    return met[-1] if met else None


def _headline(summary: Mapping[str, Any], passed: list[Passage]) -> Line:
    line = _how_it_went(summary, passed)
    if float(summary["energy_error"]) > LEDGER_LIMIT:
        return Line(Grade.FAIL, f"{line.text} Not to be trusted: the energy ledger does not close.")
    return line


def _how_it_went(summary: Mapping[str, Any], passed: list[Passage]) -> Line:
    who = f"{summary['vehicle']} over {summary['course'] or 'the course'}"
    way = f"{summary['distance_m']:.1f} m in {seconds(summary['duration_s'])}"
    if summary["completed"]:
        hanging = [p.title for p in passed if not p.over]
        if hanging:
            text = f"{who}: reaches the end, {way}, but the course ends before its tail is over {hanging[0]}."
            return Line(Grade.NOTE, text)
        what = "gets over" if len(passed) == 1 else f"gets over all {len(passed)} obstacles"
        return Line(Grade.FINE, f"{who}: {what}, {way}.")
    where = stopped_on(summary, passed)
    why = summary["ended_because"]
    if where is None:
        past = [p.title for p in passed if p.over]
        place = f"behind {past[-1]}" if past else "before the first obstacle"
    else:
        place = f"on {where.title}" + (f" ({_place(where, passed)})" if len(passed) > 1 else "")
    return Line(Grade.FAIL, f"{who}: does not get over. Ends {place} after {way}: {why}.")


def _place(where: Passage, passed: list[Passage]) -> str:
    return f"obstacle {passed.index(where) + 1} of {len(passed)}"


def _obstacle(
    p: Passage,
    timeline: pd.DataFrame,
    events: pd.DataFrame,
    summary: Mapping[str, Any],
    assembly: Assembly,
    passed: list[Passage],
) -> ObstacleVerdict:
    happened = events[events["obstacle"] == p.title]
    lines = []
    if p.rows is not None:
        on_it = timeline.iloc[slice(*p.rows)]
        lines = [
            *stop_lines(happened, assembly),
            *wheel_lines(happened),
            *belly_lines(happened, float(on_it["belly.clearance_mm"].min())),
            *_track_lines(happened),
            *_drive_lines(happened),
        ]
    outcome = _outcome(p, timeline, summary, passed)
    return ObstacleVerdict(p.title, p.start_m, p.end_m, p.speed_m_s, outcome, tuple(lines))


def _outcome(p: Passage, timeline: pd.DataFrame, summary: Mapping[str, Any], passed: list[Passage]) -> Line:
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


def stop_lines(happened: pd.DataFrame, assembly: Assembly) -> list[Line]:
    """Bump and droop stop hits, counted; the hardest with the arm that had it."""
    lines = []
    for kind in (ev.BUMP, ev.DROOP):
        hits = happened[happened["kind"] == kind]
        if hits.empty:
            continue
        arms = hits["where"].nunique()
        worst = hits.iloc[int(hits["peak_N"].to_numpy().argmax())]
        peak, arm = float(worst["peak_N"]), spoken(str(worst["where"]))
        grade = Grade.RISK if kind == ev.BUMP and peak > HARD_HIT * assembly.weight_N else Grade.NOTE
        count, hard = times(len(hits)), "" if len(hits) == 1 else "hardest "
        if arms == 1:
            text = f"{start(arm)} {kind} hit {count}, {hard}{force(peak)}."
        else:
            text = f"{start(kind)}s hit {count} on {arms} arms, hardest {force(peak)} ({arm})."
        lines.append(Line(grade, text))
    return lines


def wheel_lines(happened: pd.DataFrame) -> list[Line]:
    """Wheels off the ground: which, or how many, and for how long."""
    off = happened[happened["kind"] == ev.OFF]
    if off.empty:
        return []
    longest = off.groupby("where")["duration_s"].sum()
    wheel, lasts = str(longest.idxmax()), float(longest.max())
    height = float(off["height_mm"].max())
    high = f", up to {millimetres(height)} high" if height >= 0.5 else ""
    if len(longest) == 1:
        return [Line(Grade.NOTE, f"{start(spoken(wheel))} wheel off for {seconds(lasts)}{high}.")]
    text = f"{len(longest)} wheels off, longest {spoken(wheel)} for {seconds(lasts)} in all{high}."
    return [Line(Grade.NOTE, text)]


def belly_lines(happened: pd.DataFrame, clear_mm: float) -> list[Line]:
    """Belly, sprocket and idler: clear, or on the ground."""
    down = happened[happened["kind"] == ev.BELLY]
    if len(down):
        lasts, hard = seconds(float(down["duration_s"].sum())), force(float(down["peak_N"].max()))
        lines = [Line(Grade.RISK, f"Belly touched {times(len(down))}, {lasts} in all, hardest {hard}.")]
    else:
        lines = [Line(Grade.FINE, f"Belly {millimetres(max(clear_mm, 0.0))} clear.")]
    for end in ("sprocket", "idler"):
        hits = happened[(happened["kind"] == ev.NOSE) & (happened["where"] == end)]
        if len(hits):
            hard = "" if len(hits) == 1 else "hardest "
            peak = force(float(hits["peak_N"].max()))
            lines.append(Line(Grade.NOTE, f"{start(end)} met the ground {times(len(hits))}, {hard}{peak}."))
    return lines


def _track_lines(happened: pd.DataFrame) -> list[Line]:
    lines = []
    loose = happened[happened["kind"] == ev.LOOSE]
    if len(loose):
        lasts = seconds(float(loose["duration_s"].sum()))
        lines.append(Line(loose_grade(loose), f"Track loose {times(len(loose))}, {lasts} in all."))
    clear = happened[happened["kind"] == ev.TOOTH]
    if len(clear):
        names = ", ".join(spoken(n) for n in dict.fromkeys(clear["where"]))
        lines.append(Line(Grade.RISK, f"Clear of the guide tooth: {names}."))
    tight = happened[happened["kind"] == ev.TIGHT]
    if len(tight):
        peak = force(float(tight["peak_N"].max()))
        lines.append(Line(Grade.RISK, f"Track pulled over its stated limit {times(len(tight))}, to {peak}."))
    return lines


def loose_grade(loose: pd.DataFrame) -> Grade:
    """A risk if the track was loose for a tenth of a second at a stretch; else a note (our own line)."""
    if loose.empty:
        return Grade.FINE
    return Grade.RISK if float(loose["duration_s"].max()) >= 0.1 else Grade.NOTE


def _drive_lines(happened: pd.DataFrame) -> list[Line]:
    lines = []
    spin = happened[happened["kind"] == ev.SPIN]
    if len(spin):
        lines.append(Line(Grade.NOTE, f"Grip used up for {seconds(float(spin['duration_s'].sum()))}."))
    still = happened[happened["kind"] == ev.STILL]
    if len(still):
        lasts = seconds(float(still["duration_s"].sum()))
        lines.append(Line(Grade.NOTE, f"Stood still {times(len(still))}, {lasts} in all."))
    return lines


def _wheels(timeline: pd.DataFrame, summary: Mapping[str, Any], assembly: Assembly) -> list[WheelRow]:
    rows = []
    for name in assembly.wheel:
        figures = summary["wheels"][name]
        at = int(timeline[f"wheel.{name}.load_N"].to_numpy().argmax())
        rows.append(
            WheelRow(
                name=name,
                standing_N=float(figures["standing_N"]),
                mean_N=float(figures["mean_N"]),
                peak_N=float(figures["peak_N"]),
                peak_at_m=float(timeline[f"wheel.{name}.x_mm"].iloc[at]) * 1e-3,
                off_s=float(figures["off_s"]),
            )
        )
    return rows
