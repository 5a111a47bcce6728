"""What went well this time: little travel left, hard hits on the stops."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.events.stops import BUMP, HARD_HIT
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import Case
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import place, spoken, times
from trundle.units import MM


def bump_stops(case: Case) -> Iterator[Finding]:
    """Arms that run out of travel."""
    hits = [e for e in case.events if e.kind == BUMP]
    if not hits:
        return
    worst = max(hits, key=lambda e: e.peak_N)
    arms, weight = len({e.where for e in hits}), case.assembly.weight_N
    share = case.middle("peak_bump_stop_N") / weight
    at = worst.course_mm * MM
    on = f"on {arms} arms" if arms > 1 else f"of {spoken(worst.where)}"
    text = (
        f"Bump stops {on} hit {times(len(hits))}, hardest {case.said('peak_bump_stop_N')}, {100.0 * share:.0f} % of "
        f"the vehicle's weight on one arm ({spoken(worst.where)}, {place(at)})."
    )
    grade = Grade.RISK if share > HARD_HIT else Grade.NOTE
    yield Finding(
        Harm.NEARLY, grade, share / HARD_HIT, "the springs bottom out", text, "peak_bump_stop_N", worst.where,
        worst.time_s, at, seen_from(case, worst.time_s, at),
    )  # fmt: skip
