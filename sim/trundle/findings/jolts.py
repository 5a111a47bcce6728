"""What a moving seat does to what is in it: speed taken off, and how far what is loose leaves it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trundle.findings.intervals import stretches
from trundle.model.arrays import Floats
from trundle.units import DEG, G

SHORT_S = 0.2
"""Speed lost is the most within this time [s]: in less nobody takes hold of anything, as a simple reaction takes about
0.2 s (common practice, no source)."""

MOST_OF_IT = 0.9
"""Over what time it was lost is told of this share of it, the middle: its ends creep."""


@dataclass(frozen=True)
class Stop:
    """The hardest loss of speed. lost_m_s, over_s; row: where it begins (0 where there is none)."""

    lost_m_s: float
    over_s: float
    row: int


def hardest_stop(speed_m_s: Floats, dt_s: float, within_s: float = SHORT_S) -> Stop:
    """The most speed that a hull loses within a short time, by whatever: an edge, a wall, its own brake.

    speed_m_s: along its course, below 0 backwards. A rider has to be stopped by as much, whatever stops the hull.
    Thrown back counts in full: from 1 to -0.3 m/s is 1.3.
    """
    rows = max(round(within_s / dt_s), 1)
    forward = np.maximum(speed_m_s, 0.0) - np.where(speed_m_s > 0.0, _least_within(speed_m_s, rows), 0.0)
    backward = np.maximum(-speed_m_s, 0.0) - np.where(speed_m_s < 0.0, _least_within(-speed_m_s, rows), 0.0)
    lost = np.maximum(forward, backward)
    row = int(lost.argmax())
    most = float(lost[row])
    if most <= 0.0:
        return Stop(0.0, 0.0, 0)
    sign = 1.0 if forward[row] >= backward[row] else -1.0
    left = sign * (speed_m_s[row] - speed_m_s[row : row + rows + 1])
    # From the last row at which a twentieth is gone to the first at which all but a twentieth is.
    edge = 0.5 * (1.0 - MOST_OF_IT) * most
    end = int((left >= most - edge).argmax())
    begin = int(np.flatnonzero(left[: end + 1] <= edge)[-1])
    return Stop(most, max(end - begin, 1) * dt_s, row + begin)


def _least_within(values: Floats, rows: int) -> Floats:
    """Of each row the least of itself and the `rows` behind it, shape (n,). By doubling: log2(rows) passes."""
    least, span = values.copy(), 1
    while span <= rows:
        step = min(span, rows + 1 - span)
        if step >= len(least):
            break
        np.minimum(least[:-step], least[step:].copy(), out=least[:-step])
        span += step
    return least


@dataclass(frozen=True)
class Thrown:
    """What lies loose in a seat, over a run. off_s: not touching it, in all; high_mm: highest above it; met_m_s:
    hardest return, relative speed; row: where the highest flight begins (0 where there is none)."""

    off_s: float
    high_mm: float
    met_m_s: float
    row: int


def loose_in_seat(up_m_s2: Floats, pitch_deg: Floats, dt_s: float) -> Thrown:
    """A loose body on a seat that falls away under it: free flight until the seat is back.

    up_m_s2: the seat's acceleration along the hull's own upward axis; gravity along it is g cos(pitch). The body starts
    each flight with the seat's speed, meets it without rebound and rides on. A soft cushion throws it further.
    """
    falls = -(up_m_s2 + G * np.cos(np.asarray(pitch_deg) * DEG))  # >= 0: the seat leaves the body behind
    off, high, met, row, free = 0.0, 0.0, 0.0, 0, 0
    for first, end in stretches(falls > 0.0):
        begin = max(first, free)  # the flight before may not be over
        if begin >= end:
            continue
        free, speed, gap = _until(falls, begin, end, dt_s, gap=True)
        off += (free - begin) * dt_s
        top = float(gap.max(initial=0.0))
        met = max(met, -float(speed[-1]))
        if top > high:
            high, row = top, begin
    return Thrown(off, 1e3 * high, met, row)


@dataclass(frozen=True)
class Slid:
    """What slides along on the seat, over a run. mm, m_s: the furthest, and the fastest of any; row: where the furthest
    begins; forward: whether it went forward, as when the seat is stopped."""

    mm: float
    m_s: float
    row: int
    forward: bool


def slides_on_seat(forward_m_s2: Floats, pitch_deg: Floats, hold_m_s2: float, dt_s: float) -> Slid:
    """What is held by no more than so much of its mass times this acceleration: it goes on where the seat stops.

    forward_m_s2: the seat's acceleration along the hull's forward axis; along it gravity pulls back by g sin(pitch). It
    slides until it has the seat's speed again, each time from its place: who slid has sat up since.
    """
    back = forward_m_s2 + G * np.sin(np.asarray(pitch_deg) * DEG)
    furthest, fastest, row, onward = 0.0, 0.0, 0, True
    for forward in (True, False):
        pushes = (-back if forward else back) - hold_m_s2
        free = 0
        for first, end in stretches(pushes > 0.0):
            begin = max(first, free)
            if begin >= end:
                continue
            free, speed, way = _until(pushes, begin, end, dt_s, gap=False)
            fastest = max(fastest, float(speed.max(initial=0.0)))
            if len(way) and float(way[-1]) > furthest:
                furthest, row, onward = float(way[-1]), begin, forward
    return Slid(1e3 * furthest, fastest, row, onward)


def _until(pushes: Floats, first: int, end: int, dt_s: float, gap: bool) -> tuple[int, Floats, Floats]:
    """One flight or slide: the row at which the gap has closed (or the speed is gone), its speed [m/s] and its gap [m]
    up to there; speed has one row more where the gap closed. The end of the record ends it too."""
    n = max(2 * (end - first), 64)
    while True:
        speed = np.cumsum(pushes[first : first + n]) * dt_s
        way = np.cumsum(speed) * dt_s
        over = np.flatnonzero((way if gap else speed) <= 0.0)
        if len(over):
            k = int(over[0])
            return first + k, speed[: k + 1], way[:k]
        if first + n >= len(pushes):
            return len(pushes), speed, way
        n *= 2
