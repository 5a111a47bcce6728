"""One size of one obstacle, tried: does it get past, and is anyone or anything harmed."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.findings.ending import Ending
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.words import force, g_range
from trundle.result.limits.why import passed, why_not
from trundle.result.result import Result
from trundle.result.run import run
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle

FINER_MS = (0.25, 0.125)
"""Steps of the runs that follow one whose energy ledger does not close, till one does [ms]."""

NEAR = 4
"""How often each size is rolled close by: it counts as passed where all get past, and unharmed by the median of what
they find."""

HURTS = frozenset((Harm.BREAKS, Harm.STRIKES, Harm.HITS, Harm.THROWS))
"""What a vehicle is to be spared, to be called unharmed."""


@dataclass(frozen=True)
class Tried:
    """over: it gets past, in a run to be trusted. why: what stopped it, if not. harm: the worst that was found on the
    way, if it harms; hit: what struck hardest, in words; runs: how many it took; trusted: whether the last one's
    ledger closes."""

    over: bool
    why: str
    harm: Finding | None
    hit: str
    runs: int
    trusted: bool

    @property
    def unharmed(self) -> bool:
        """Past it, and nothing harmed."""
        return self.over and self.harm is None


def tried(vehicle: Vehicle, course: Course, speed_m_s: float | None) -> Tried:
    """Roll a vehicle over a course; finer, by itself, as long as the energy ledger does not close.

    Raises InputError from the runs.
    """
    result = run(vehicle, course, speed_m_s=speed_m_s, near=NEAR)
    runs = NEAR
    for dt_ms in FINER_MS:
        if result.trusted:
            break
        result = run(vehicle, course, speed_m_s=speed_m_s, dt_ms=dt_ms, near=NEAR)
        runs += NEAR
    near = result.near
    missed = [] if near is None else [why for why in near.ended if why != Ending.COURSE_END]
    over = passed(result) and result.trusted and not missed
    harms = [f for f in result.verdict.findings if f.grade >= Grade.RISK and f.harm in HURTS]
    if passed(result) and missed:
        why = f"in {len(missed)} of {NEAR} runs close by it does not: {missed[0]}"
    else:
        why = "" if over else why_not(result)
    return Tried(over, why, harms[0] if harms else None, hit(result), runs, result.trusted)


def hit(result: Result) -> str:
    """The hardest blows of a run, the median of those close by: `15.8 g along at the seat, idler 28.9 kN`."""
    said = []
    jolts = {"along": _middle(result, "peak_seat_forward_g"), "up or down": _middle(result, "peak_seat_g")}
    known = {way: jolt for way, jolt in jolts.items() if jolt is not None}
    if known:
        way = max(known, key=lambda w: known[w])
        said.append(f"{g_range(known[way], known[way])} {way} at the seat")
    loads = {part: _middle(result, f"peak_{part}_load_N") or 0.0 for part in ("belly", "sprocket", "idler")}
    worst = max(loads, key=lambda p: loads[p])
    if loads[worst] > 0.0:
        said.append(f"{worst} {force(loads[worst])}")
    return ", ".join(said)


def _middle(result: Result, figure: str) -> float | None:
    """A figure's median over the near runs; None if it is not given."""
    spread = result.near.spread(figure) if result.near is not None else None
    if spread is not None:
        return spread.median
    value = result.summary.get(figure)
    return None if value is None else float(value)
