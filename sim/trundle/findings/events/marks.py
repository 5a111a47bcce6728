"""How each kind of event is marked, in the report and in the viewer alike."""

from __future__ import annotations

from collections.abc import Mapping

from trundle.findings.events.drive import BACK, SPIN, STILL, WAIT
from trundle.findings.events.hull import BELLY, NOSE
from trundle.findings.events.stops import BUMP, DROOP
from trundle.findings.events.track import LOOSE, TIGHT, TOOTH
from trundle.findings.events.wheels import OFF

UP, DOWN = "up", "down"
"""Triangles: up is bump, as the wheel goes up in it."""

MARKS: Mapping[str, str] = {
    BUMP: UP,
    DROOP: DOWN,
    OFF: "ring",
    TOOTH: "diamond",
    LOOSE: "wave",
    TIGHT: "bar",
    NOSE: "diamond",
    BELLY: "square",
    SPIN: "bar",
    STILL: "square",
    WAIT: "bar",
    BACK: "diamond",
}
"""The shape of every kind of event."""

SIGNS: Mapping[str, str] = {BUMP: "\N{BLACK UP-POINTING TRIANGLE}", DROOP: "\N{WHITE DOWN-POINTING TRIANGLE}"}
"""The marks of a picture of stops, as letters for its key: a filled one for bump."""
