"""Where the vehicle stands on the course, from tail to nose, and when it passes an obstacle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings.readings import Floats
from trundle.record.long import Timeline
from trundle.units import DEG, MM

if TYPE_CHECKING:
    from trundle.model.assembly import Assembly

APPROACH_S = 0.2
"""The speed on approach is the mean over this time before the nose arrives [s]."""


def footprint(timeline: Timeline, assembly: Assembly) -> tuple[Floats, Floats]:
    """Course position of the vehicle's rearmost and foremost point [m], each of shape (rows,).

    Counted are the belly outline, the hull box's ends, and all wheels, sprocket and idler with the track.
    """
    x = timeline["hull.x_mm"].to_numpy() * MM
    pitch = timeline["hull.pitch_deg"].to_numpy() * DEG
    c, s = np.cos(pitch), np.sin(pitch)
    hull = assembly.model.hull
    points = [*assembly.model.belly, (float(hull.tail_x), 0.0), (float(hull.nose_x), 0.0)]
    tail, nose = np.full(len(x), np.inf), np.full(len(x), -np.inf)
    for px, py in points:
        across = x + c * px - s * py
        np.minimum(tail, across, out=tail)
        np.maximum(nose, across, out=nose)
    names = [f"wheel.{n}" for n in assembly.wheel]
    if assembly.vehicle.track is not None:
        names += ["sprocket", "idler"]
    for name, radius in zip(names, assembly.model.rings["radius"], strict=False):
        at = timeline[f"{name}.x_mm"].to_numpy() * MM
        np.minimum(tail, at - radius, out=tail)
        np.maximum(nose, at + radius, out=nose)
    return tail, nose


@dataclass(frozen=True)
class Passage:
    """One obstacle as the vehicle met it. rows: first and last+1 row during which it stood over it.

    over: the tail has been past its end. speed_m_s: hull speed on approach, nan if it was never reached.
    """

    title: str
    start_m: float
    end_m: float
    rows: tuple[int, int] | None
    over: bool
    speed_m_s: float


def passages(timeline: Timeline, assembly: Assembly, spans: tuple[tuple[str, float, float], ...]) -> list[Passage]:
    """Each obstacle of `spans` (title, start [m], end [m]) in the course's order."""
    tail, nose = footprint(timeline, assembly)
    # Once there, always there: a vehicle that rolls back has still been over.
    furthest_tail, furthest_nose = np.maximum.accumulate(tail), np.maximum.accumulate(nose)
    speed = timeline["hull.speed_m_s"].to_numpy()
    time = timeline["time_s"].to_numpy()
    before = max(1, round(APPROACH_S / float(time[1] - time[0]))) if len(time) > 1 else 1
    found = []
    for title, start, end in spans:
        first = int(np.searchsorted(furthest_nose, start))
        if first >= len(nose):
            found.append(Passage(title, start, end, None, False, float("nan")))
            continue
        last = int(np.searchsorted(furthest_tail, end, side="right"))
        fast = float(speed[max(0, first - before) : first + 1].mean())
        found.append(Passage(title, start, end, (first, min(last + 1, len(tail))), last < len(tail), fast))
    return found


def stopped_on(summary: Mapping[str, Any], passed: Sequence[Passage]) -> Passage | None:
    """The obstacle that ended a run early: the foremost that it met and did not get over, if any."""
    if summary["completed"]:
        return None
    met = [p for p in passed if p.rows is not None and not p.over]
    return met[-1] if met else None
