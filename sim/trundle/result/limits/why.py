"""What stopped a run, in a word with the evidence."""

from __future__ import annotations

from trundle.findings.ending import Cause, Ending, Evidence, evidence
from trundle.findings.passage import passages
from trundle.findings.record import Record


def passed(result: Record) -> bool:
    """True if the run reached its end with every obstacle behind the tail (or the end on the obstacle)."""
    if not result.completed:
        return False
    met = passages(result.log, result.assembly, result.ground.spans)
    end = result.ground.length_m
    return all(p.over or p.end_m > end - 0.1 for p in met)


def why_not(result: Record) -> str:
    """What stopped a run, in a word with the evidence: grip, torque, belly, nose, overturning."""
    if passed(result):
        return "no answer: it gets past, but the energy ledger of that run does not close"
    because = result.summary["ended_because"]
    shown = evidence(result.log, result.assembly)
    if because == Ending.OVERTURNED:
        return f"overturning: it falls over {'backwards' if shown.pitch_deg > 0.0 else 'forwards'}"
    if because == Ending.BLEW_UP:
        return "no answer: the numbers blew up (no limit of the vehicle)"
    found = [_said(cause, shown, result) for cause in shown.causes]
    if because == Ending.ROLLED_BACK:
        found.append("it rolls back off the start")
    if not found and result.completed:
        found = ["the tail does not follow"]
    if not found:
        found = [
            f"{because}: {100.0 * shown.grip:.0f} % of the grip and {100.0 * shown.push:.0f} % of the torque in use"
        ]
    return "; ".join(found)


def _said(cause: Cause, shown: Evidence, result: Record) -> str:
    """One cause with its evidence."""
    track = result.vehicle.track
    sprocket, idler = ("tail", "nose") if track is not None and track.idler_at_front else ("nose", "tail")
    return {
        Cause.BELLY: f"belly: it carries {100.0 * shown.belly:.0f} % of the weight",
        Cause.GRIP: f"grip: all of {result.vehicle.drive.grip:g} is used up",
        Cause.SPROCKET: f"{sprocket}: the sprocket is pressed against the ground",
        Cause.IDLER: f"{idler}: the idler is pressed against the ground",
        Cause.MOTOR: "torque: the motor is at its limit",
    }[cause]
