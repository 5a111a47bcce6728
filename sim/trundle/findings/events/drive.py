"""The drive's events: grip that is used up, standing still where it should move, standing and backing up as told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trundle.findings.events.finder import Finder
from trundle.findings.events.kind import About, EventKind, Events, in_all_s, nothing
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.readings import Floats
from trundle.findings.states import backs_up, brake_holds, grip_is_used_up, stands_still, waits
from trundle.findings.words import force, seconds, times
from trundle.units import MM

SPIN, STILL = "grip used up", "standing still"

WAIT, BACK = "waiting", "backing up"

SPIN_S, STILL_S, WAIT_S = 0.1, 0.3, 0.1
"""Shorter spells are not worth a line [s]."""

NEAR_M = 0.02
"""A vehicle that stands so near to a stop's place stands there [m]."""

MOSTLY = 0.5
"""Share of a wait that the brake has to hold to have held it: one that gives way leaves the rest to the motor."""

ALL_WAIT = 0.99
"""Share of the time told from which a wait is over: steps are counted."""


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
    """Stands as told; its force is what the brake holds at most, if it holds."""
    held, push, x = brake_holds(f.col("drive.brake_holds")), np.abs(f.col("drive.push_N")), f.col("hull.x_mm") * MM
    for a, b, row in f.spells(waits(f.col("drive.target_m_s")), f.col("hull.x_mm"), WAIT, "hull", WAIT_S):
        if not _told_to_wait(f, a, b, x[a:b]):
            continue
        on = held[a:b]
        yield row | {"peak_N": float(push[a:b][on].max()) if on.mean() > MOSTLY else np.nan}


def _told_to_wait(f: Finder, a: int, b: int, x: Floats) -> bool:
    """Whether a stop is carried out in rows a to b at places x [m]. Backing up begins and ends with a stand too, at
    another place or shorter."""
    for task in f.ground.tasks:
        # A stop behind the start (0) is due at the start.
        there = x.min() - NEAR_M <= task.at_m <= x.max() + NEAR_M or (a == 0 and task.at_m < x[0])
        # One that a record begins or ends with is cut off.
        long = a == 0 or b == len(f.t) or (b - a) * f.dt >= ALL_WAIT * task.wait_s
        if task.wait_s > 0.0 and there and long:
            return True
    return False


def _wait_said(waited: Events, _: About) -> list[Line]:
    if not waited:
        return []
    held = [e.peak_N for e in waited if e.peak_N == e.peak_N]
    told = f"Waited as told {times(len(waited))}, {seconds(in_all_s(waited))} in all"
    if not held:
        return [Line(Grade.RISK, f"{told}, the brake not holding: the motor has to. Give drive.brake_N more.")]
    if len(held) == len(waited):
        return [Line(Grade.FINE, f"{told}, held by the brake with up to {force(max(held))}.")]
    text = f"{told}; the brake held {times(len(held))}, with up to {force(max(held))}"
    return [Line(Grade.RISK, f"{text}. Otherwise it does not hold, and the motor has to: give drive.brake_N more.")]


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
