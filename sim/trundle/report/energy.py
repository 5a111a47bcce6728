"""Where the energy went: the ledger's end state as an account that adds up."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.record.long import Timeline

LOOSE = "running through where the track hangs loose"
MADE = "made where the track hangs loose: contacts there do not feel all of their slip"
"""A negative amount of LOOSE (see trundle.law.loose) is energy that came from nowhere, and is called so."""

_SPENT = (
    ("brake", "braking", -1.0),
    ("slip", "track or wheels slipping on the ground", 1.0),
    ("drag", "drag in track and bearings", 1.0),
    ("loose", LOOSE, 1.0),
    ("friction", "friction in the pivots", -1.0),
    ("damper", "dampers", -1.0),
    ("stop", "bump and droop pads", -1.0),
    ("tyre_loss", "rubber of wheels and pads on the ground", -1.0),
    ("belly", "belly on the ground", -1.0),
    ("gravity", "lifting the vehicle", -1.0),
)
"""Column of the ledger, what it is, and the sign that makes spending positive."""


@dataclass(frozen=True)
class Entry:
    """One line of the account. joules: positive for spent; share: of the largest line, 0 to 1."""

    what: str
    joules: float
    share: float


def account(timeline: Timeline) -> list[Entry]:
    """What the motor put in, then what became of it; the last line is what is not accounted for.

    By the ledger's own identity (trundle.law.ledger.book): motor = all that was spent + what is still moving or
    held in springs and track + error. Lines below half a joule are left out.
    """

    def at_end(name: str) -> float:
        return float(timeline[f"energy.{name}_J"].iloc[-1])

    motor, error = at_end("motor"), at_end("error")
    lines = [(what, sign * at_end(name)) for name, what, sign in _SPENT]
    held = at_end("stored") - float(timeline["energy.stored_J"].iloc[0])
    moving = motor - sum(j for _, j in lines) - held - error
    lines += [("still held in springs, rubber and track", held), ("still moving at the end", moving)]
    lines = [(what, j) for what, j in lines if abs(j) >= 0.5]
    lines = [(MADE if what == LOOSE and j < 0.0 else what, j) for what, j in lines]
    lines = [
        ("put in by the motor", motor),
        *sorted(lines, key=lambda e: -e[1]),
        ("not accounted for", error),
    ]
    largest = max(*(abs(j) for _, j in lines), 1e-9)
    return [Entry(what, j, abs(j) / largest) for what, j in lines]
