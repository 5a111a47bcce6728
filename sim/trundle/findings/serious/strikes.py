"""What hits the rider, or what else is at the seat, and what of the hull strikes the ground."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.events.hull import BELLY, ENDS, HARD_END, NOSE
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import Case, in_so_many
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import place, seconds, start, times
from trundle.units import MM


def ends(case: Case) -> Iterator[Finding]:
    """Sprocket or idler, run into the ground."""
    for end in ENDS:
        hits = [e for e in case.events if e.kind == NOSE and e.where == end]
        figure = f"peak_{end}_load_N"
        if not hits or case.worst(figure) <= HARD_END * case.assembly.weight_N:
            continue
        count, of = case.often(figure, lambda v: v > HARD_END * case.assembly.weight_N)
        worst = max(hits, key=lambda e: e.peak_N)
        share = case.middle(figure) / case.assembly.weight_N
        at = worst.course_mm * MM
        short = f"the {end} is run into the ground{in_so_many(count, of)}"
        text = (
            f"{start(short)}: {case.said(figure)} on one side, {share:.1f} times the vehicle's weight, {place(at)}. "
            "What its axle and bearing stand is not worked out."
        )
        grade = Grade.RISK if 2 * count >= of else Grade.NOTE
        yield Finding(
            Harm.STRIKES, grade, share, short, text, figure, end, worst.time_s, at, seen_from(case, worst.time_s, at)
        )


def belly(case: Case) -> Iterator[Finding]:
    """The belly on the ground, whether or not that dents it."""
    hits = [e for e in case.events if e.kind == BELLY]
    if not hits:
        return
    worst = max(hits, key=lambda e: e.peak_N)
    lasts, at = sum(e.duration_s for e in hits), worst.course_mm * MM
    share = case.middle("peak_belly_load_N") / case.assembly.weight_N
    count, of = case.often("peak_belly_load_N", lambda v: v > 0.0)
    short = f"the belly strikes the ground{in_so_many(count, of)}"
    text = (
        f"{start(short)}: {times(len(hits))}, {seconds(lasts)} in all, hardest {case.said('peak_belly_load_N')}, "
        f"{share:.1f} times the vehicle's weight, {place(at)}."
    )
    yield Finding(
        Harm.STRIKES, Grade.RISK, share, short, text, "min_belly_clearance_mm", "belly", worst.time_s, at,
        seen_from(case, worst.time_s, at),
    )  # fmt: skip
