"""Whether a change helps, what it costs elsewhere, and why it may be no help at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trundle.findings import figures
from trundle.findings.figures import Better, Figure
from trundle.findings.figures.blow import mean_name
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.study.mend.aim import aims
from trundle.study.mend.tried import Tried
from trundle.study.ranges import Range, above
from trundle.units import G

LEAST_GAIN = 0.03
"""A figure that is better by less than this share is not worth a hole [-]."""

MORE = 1.05
"""A finding that is as much larger as this is worse, whatever its figure [-]."""

LEAST_COST = 0.05
"""A figure that is worse by less than this share is no cost worth telling [-]."""

LEAST_DIGITS = 3.0
"""By so much of its last digit a figure is worse at the least to be told as a cost; a count by one."""

MOST_COSTS = 4
"""Figures that are told as costs, the most worsened first."""

LEAST_WEIGHT_N, LEAST_HEIGHT_MM = 1.0, 1.0
"""Changes of weight and ride height that are told."""

LEAST = "least_margin"
"""The least of all parts, of which each kind has a figure of its own."""

ENOUGH = 1.5
"""A part with more left than this is not told of: it still has enough."""

MARGIN = "margin"
"""How the name of a figure ends that says what a part has left: below 1 it gives."""


@dataclass(frozen=True)
class Gain:
    """What a change does to the figure that is mended. share: how much better, as a share of what it was; beyond: more
    than its near runs differ among themselves."""

    before: Range
    after: Range
    share: float
    beyond: bool


def is_margin(figure: str) -> bool:
    """Whether a figure says what is left of some part."""
    return figure.endswith(MARGIN)


def gain(aim: Finding, before: Tried, after: Tried) -> Gain | None:
    """What a change gives; None where the figure is gone, or was not there."""
    was, now = before.range(aim.figure), after.range(aim.figure)
    if was is None or now is None:
        return None
    sign = 1.0 if figures.figure_of(aim.figure).better is Better.HIGHER else -1.0
    better = sign * (now.median - was.median)
    beyond = above(now, was) if sign > 0.0 else above(was, now)
    share = better / max(abs(was.median), 1e-9)
    if after.over > before.over:  # what did not get over now does: more than any share of a figure
        return Gain(was, now, 1e3 * after.over + share, True)
    # A blow may be less and yet more for what it hits: of a thinner plate, say.
    worse = aim.size > 0.0 and any(f.size > MORE * aim.size for f in _own(aim, after))
    return Gain(was, now, share, beyond and share >= LEAST_GAIN and not worse)


def refusal(aim: Finding, before: Tried, after: Tried) -> str:
    """Why a change is no help whatever it gives; "" if nothing speaks against it."""
    if after.over < min(before.over, after.runs) and aim.harm is not Harm.STOPS:
        return "does not get over"
    if before.trusted and not after.trusted:
        return "its energy ledger does not close"
    for figure in figures.TABLE:
        if (
            is_margin(figure.name)
            and figure.bad is not None  # a stated load case is none that happened
            and figure.name not in (aim.figure, LEAST)
            and _gives(after, figure.name) > _gives(before, figure.name)
        ):
            return f"something else gives: {figure.title}"
    known = {(f.harm, f.figure): f.grade for f in before.findings}
    for finding in after.findings:
        was = known.get((finding.harm, finding.figure), Grade.FINE)
        if finding.figure != aim.figure and finding.grade >= Grade.RISK and finding.grade > was:
            # Without its figures: the same reason of many changes is counted as one.
            return f"something new: {figures.figure_of(finding.figure).title}"
    if is_margin(aim.figure) and _gives(after, aim.figure) > 0.0:
        return STILL
    if aim.harm is Harm.BREAKS and _own(aim, after):
        return STILL
    if aim.harm is Harm.STOPS and after.over < after.runs:
        return STAYS
    return ""


def _own(aim: Finding, after: Tried) -> list[Finding]:
    """The same finding with the change, if it is still there."""
    return [f for f in after.findings if (f.harm, f.figure) == (aim.harm, aim.figure)]


def is_mended(aim: Finding, after: Tried) -> bool:
    """Whether what was to be mended is no risk any more."""
    return all(f.grade < Grade.RISK for f in _own(aim, after))


STILL, STAYS = "it still gives", "it still does not get over"
"""Why a change is no help yet to a part that gives, or to what stays on an obstacle: another step of it may be."""


def _gives(tried: Tried, figure: str) -> float:
    """In what share of the runs a part gives."""
    values = tried.values(figure)
    return sum(v < 1.0 for v in values) / len(values) if values else 0.0


def costs(aim: Finding, before: Tried, after: Tried) -> tuple[str, ...]:
    """What gets worse elsewhere: weight, height, figures beyond the range of their near runs, new findings."""
    found = []
    heavier = after.weight_N - before.weight_N
    if abs(heavier) >= LEAST_WEIGHT_N:
        found.append(f"{abs(heavier) / G:.1f} kg {'heavier' if heavier > 0.0 else 'lighter'}")
    height, now = before.range("ride_height_mm"), after.range("ride_height_mm")
    if height is not None and now is not None and abs(now.median - height.median) >= LEAST_HEIGHT_MM:
        by = now.median - height.median
        found.append(f"sits {abs(by):.0f} mm {'higher' if by > 0.0 else 'lower'}")
    worse = sorted(_worse(aim, before, after), key=lambda w: -w[0])
    found += [text for _, text in worse[:MOST_COSTS]]
    known = {(f.harm, f.figure) for f in before.findings} | {(f.harm, aim.figure) for f in after.findings}
    found += [f"new: {f.short}" for f in after.findings if (f.harm, f.figure) not in known]
    return tuple(dict.fromkeys(found))


def remains(aim: Finding, before: Tried, after: Tried) -> tuple[str, ...]:
    """What is a risk or worse with the change as it was before, beside what it mends."""
    known = {(f.harm, f.figure) for f in before.findings}
    bad = [f for f in after.findings if f.grade >= Grade.RISK and f.figure != aim.figure]
    return tuple(f.short for f in bad if (f.harm, f.figure) in known)


def _worse(aim: Finding, before: Tried, after: Tried) -> Iterator[tuple[float, str]]:
    known = {f.name for f in aims()}
    for figure in aims():
        was, now = before.range(figure.name), after.range(figure.name)
        # Of a blow its mean is told, which has less luck in it; the margin of the weakest part is that of its own kind.
        if figure.name in (aim.figure, LEAST) or mean_name(figure.name) in known or not figure.compared:
            continue
        if was is None or now is None or (is_margin(figure.name) and now.median > ENOUGH):
            continue
        higher = figure.better is Better.HIGHER
        by = was.median - now.median if higher else now.median - was.median
        beyond = above(was, now) if higher else above(now, was)
        share = by / max(abs(was.median), 1e-9)
        # From nothing to next to nothing is an endless share and no cost.
        told = by * 10**figure.digits >= (1.0 if figure.counted else LEAST_DIGITS)
        if beyond and told and share >= LEAST_COST:
            yield min(share, 9.0), f"{figure.title} {figure.cell(was.median)} -> {figure.text(now.median)}"


def said(value: Range, figure: Figure) -> str:
    """`0.39 (0.35 to 0.44)`."""
    if figure.cell(value.low) == figure.cell(value.high):
        return figure.text(value.median)
    return f"{figure.text(value.median)} ({figure.cell(value.low)} to {figure.cell(value.high)})"
