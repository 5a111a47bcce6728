"""The drive's events: grip that is used up, and standing still where it should move."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from trundle.findings.events.finder import Finder
from trundle.findings.events.kind import About, EventKind, Events, in_all_s, nothing
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import grip_is_used_up, stands_still
from trundle.findings.words import seconds, times

if TYPE_CHECKING:
    pass

SPIN, STILL = "grip used up", "standing still"

SPIN_S, STILL_S = 0.1, 0.3
"""Shorter spells are not worth a line [s]."""


def _spin(f: Finder) -> Iterator[dict[str, Any]]:
    for _, _, row in f.spells(grip_is_used_up(f.col("drive.grip_used")), f.col("hull.x_mm"), SPIN, "drive", SPIN_S):
        yield row


def _spin_said(spin: Events, _: About) -> list[Line]:
    if not spin:
        return []
    return [Line(Grade.NOTE, f"Grip used up for {seconds(in_all_s(spin))}.")]


def _still(f: Finder) -> Iterator[dict[str, Any]]:
    still = stands_still(f.col("drive.target_m_s"), f.col("hull.speed_m_s"))
    for a, _, row in f.spells(still, f.col("hull.x_mm"), STILL, "hull", STILL_S):
        # What stops a vehicle is what its front has met, not what lies under its middle.
        met = [s for s in f.ground.spans if s[1] <= f.nose[a] and s[2] >= f.tail[a]]
        row["obstacle"] = met[-1][0] if met else row["obstacle"]
        yield row


def _still_said(still: Events, _: About) -> list[Line]:
    if not still:
        return []
    lasts = seconds(in_all_s(still))
    return [Line(Grade.NOTE, f"Stood still {times(len(still))}, {lasts} in all.")]


KINDS = (
    # Over the whole course the figures grip_used_up_s and peak_slip_m_s say it.
    EventKind(SPIN, Subject.GRIP, (), _spin, _spin_said, nothing),
    EventKind(STILL, Subject.GRIP, (), _still, _still_said, nothing),
)
