"""Pads of the stops that are pressed flat, or further than anybody measured them."""

from __future__ import annotations

from collections.abc import Iterator

from trundle.findings.events.stops import BUMP, DROOP
from trundle.findings.figures.stops import PAD_USED
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.pads import pads_used
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import place, spoken, start
from trundle.units import DEG


def pressed(case: Case) -> Iterator[Finding]:
    """One finding if the law of any pad does not reach as far as it is pressed."""
    limited = [p for p in case.assembly.parts.swings if p.pad.limit is not None]
    if not limited:
        return
    count, of = case.often(PAD_USED, lambda v: v > 1.0)
    if not count:
        return
    flat = any(p.pad.limit is not None and p.pad.limit.flat for p in limited)
    does = "pressed flat" if flat else "pressed further than it was measured"
    short = f"the pad of a stop is {does}{in_so_many(count, of)}"
    size, grade = case.middle(PAD_USED), worry(count, of) if flat else Grade.NOTE
    part, used = max(pads_used(case.assembly, case.column), key=lambda one: float(one[1].max()))
    row = int(used.argmax())
    if used[row] <= 1.0 or part.pad.limit is None:
        yield Finding(Harm.NEARLY, grade, size, short, f"{start(short)}, {NOT_KEPT}.", PAD_USED)
        return
    limit, angle = part.pad.limit, float(case.column(f"arm.{part.name}.angle_deg")[row]) * DEG
    stop = BUMP if angle < part.bump else DROOP
    deep = float(used[row]) * limit.most_mm
    height = f" of its {limit.height_mm:g} mm" if limit.height_mm is not None else f", measured up to {limit.most_mm:g}"
    takes = "it takes up no more, and what is behind it is struck" if limit.flat else "what it pushes there is a guess"
    time, at = float(case.column("time_s")[row]), case.place_m(row)
    text = (
        f"{start(short)}: at the {stop} of the {spoken(part.name)} arm by {deep:.1f} mm{height}, {place(at)}; {takes}."
    )
    causes = (*seen_from(case, time, at), part.pad.words)
    yield Finding(Harm.NEARLY, grade, size, short, text, PAD_USED, part.name, time, at, causes)
