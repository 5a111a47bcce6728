"""One size of one obstacle, tried: does it get past, and is anyone or anything harmed."""

from __future__ import annotations

from dataclasses import dataclass

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

HURTS = frozenset((Harm.BREAKS, Harm.STRIKES, Harm.THROWS))
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
    result = run(vehicle, course, speed_m_s=speed_m_s, near=1)
    runs = 1
    for dt_ms in FINER_MS:
        if result.trusted:
            break
        result = run(vehicle, course, speed_m_s=speed_m_s, dt_ms=dt_ms, near=1)
        runs += 1
    over = passed(result) and result.trusted
    harms = [f for f in result.verdict.findings if f.grade >= Grade.RISK and f.harm in HURTS]
    return Tried(over, "" if over else why_not(result), harms[0] if harms else None, hit(result), runs, result.trusted)


def hit(result: Result) -> str:
    """The hardest blows of a run: `15.8 g at the seat; idler 28.9 kN`."""
    summary = result.summary
    jolt = float(summary.get("peak_seat_resultant_g") or summary["peak_seat_g"])
    said = [f"{g_range(jolt, jolt)} at the seat"]
    loads = {part: float(summary.get(f"peak_{part}_load_N") or 0.0) for part in ("belly", "sprocket", "idler")}
    worst = max(loads, key=lambda p: loads[p])
    if loads[worst] > 0.0:
        said.append(f"{worst} {force(loads[worst])}")
    return ", ".join(said)
