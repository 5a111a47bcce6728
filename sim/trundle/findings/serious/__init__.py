"""What a run found that matters, the worst first: what breaks, what hits the rider, what could throw track or vehicle.

A new kind of finding is a finder, a function of a Case, in its subject's file here, and a line in FINDERS.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from trundle.findings.finding import Finding
from trundle.findings.serious import breaks, motors, nearly, pads, stops, strikes, throws
from trundle.findings.serious.case import Case

__all__ = ["FINDERS", "Case", "findings_of"]

FINDERS: tuple[Callable[[Case], Iterator[Finding]], ...] = (
    stops.ends_early,
    stops.ledger,
    breaks.parts,
    breaks.on_stone,
    breaks.not_known,
    breaks.belly,
    breaks.pull,
    motors.battery,
    motors.too_hot,
    motors.stalls,
    motors.too_slow,
    strikes.jolt_along,
    strikes.jolt_up,
    strikes.thrown_out,
    strikes.ends,
    strikes.belly,
    throws.tooth,
    throws.loose,
    throws.tips,
    pads.pressed,
    nearly.bump_stops,
)
"""All that look for something."""


def findings_of(case: Case) -> tuple[Finding, ...]:
    """All findings of a run, the worst first."""
    found = [finding for finder in FINDERS for finding in finder(case)]
    return tuple(sorted(found, key=lambda f: f.order, reverse=True))
