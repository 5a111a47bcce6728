"""The drive's events: grip that is used up, standing still where it should move, standing and backing up as told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trundle.findings.events.finder import Finder
from trundle.findings.events.kind import About, EventKind, Events, in_all_s, nothing
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import backs_up, brake_holds, grip_is_used_up, stands_still, waits
from trundle.findings.words import force, seconds, times

SPIN, STILL = "grip used up", "standing still"

WAIT, BACK = "waiting", "backing up"

SPIN_S, STILL_S, WAIT_S = 0.1, 0.3, 0.1
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


def _wait(f: Finder) -> Iterator[dict[str, Any]]:
    """Its force is what the brake holds at most, once it holds."""
    held, push = brake_holds(f.col("drive.brake_holds")), np.abs(f.col("drive.push_N"))
    for a, b, row in f.spells(waits(f.col("drive.target_m_s")), f.col("hull.x_mm"), WAIT, "hull", WAIT_S):
        on = held[a:b]
        yield row | {"peak_N": float(push[a:b][on].max()) if on.any() else np.nan}


def _wait_said(waited: Events, _: About) -> list[Line]:
    if not waited:
        return []
    held = [e.peak_N for e in waited if e.peak_N == e.peak_N]
    brake = f", held by the brake with up to {force(max(held))}" if held else ", the brake not holding"
    return [Line(Grade.FINE, f"Waited as told {times(len(waited))}, {seconds(in_all_s(waited))} in all{brake}.")]


def _back(f: Finder) -> Iterator[dict[str, Any]]:
    for _, _, row in f.spells(backs_up(f.col("drive.target_m_s")), f.col("hull.x_mm"), BACK, "hull"):
        yield row


def _back_said(backed: Events, _: About) -> list[Line]:
    if not backed:
        return []
    return [Line(Grade.FINE, f"Backed up as told {times(len(backed))}, for {seconds(in_all_s(backed))} in all.")]


KINDS = (
    # Over the whole course the figures grip_used_up_s and peak_slip_m_s say it.
    EventKind(SPIN, Subject.GRIP, (), _spin, _spin_said, nothing),
    EventKind(STILL, Subject.GRIP, (), _still, _still_said, nothing),
    EventKind(WAIT, Subject.MOTOR, ("peak_N",), _wait, nothing, _wait_said),
    EventKind(BACK, Subject.MOTOR, (), _back, nothing, _back_said),
)
