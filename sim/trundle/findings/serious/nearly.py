"""What went well this time: little travel left, hard hits on the stops."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.events.stops import BUMP, HARD_HIT
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import seen_from, travel
from trundle.findings.words import place, spoken, start, times
from trundle.units import MM


def bump_stops(case: Case) -> Iterator[Finding]:
    """Arms that run out of travel."""
    figure, weight = "peak_bump_stop_N", case.assembly.weight_N
    count, of = case.often(figure, lambda v: v > 0.0)
    if not count:
        return
    hard, _ = case.often(figure, lambda v: v > HARD_HIT * weight)
    grade = worry(hard, of) if hard else Grade.NOTE
    hits = [e for e in case.events if e.kind == BUMP]
    share = case.middle(figure) / weight
    short = f"the arms bottom out{in_so_many(count, of)}"
    text = f"{start(short)}: hardest {case.sized(figure)}, {100.0 * share:.0f} % of the vehicle's weight on one arm"
    if not hits:
        yield Finding(Harm.NEARLY, grade, share / HARD_HIT, short, f"{text}, {NOT_KEPT}.", figure)
        return
    worst = max(hits, key=lambda e: e.peak_N)
    arms, at = len({e.where for e in hits}), worst.course_mm * MM
    on = f" on {arms} arms" if arms > 1 else ""
    text += f" ({spoken(worst.where)}, {place(at)}); bump stops hit {times(len(hits))}{on}."
    yield Finding(
        Harm.NEARLY, grade, share / HARD_HIT, short, text, figure, worst.where, worst.time_s, at,
        (*seen_from(case, worst.time_s, at), *travel(case, worst)),
    )  # fmt: skip
