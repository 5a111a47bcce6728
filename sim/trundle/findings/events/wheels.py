"""Wheels off the ground."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trundle.findings.events.finder import SHORT_S, Finder
from trundle.findings.events.kind import About, EventKind, Events, highest_mm, in_all_s
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import wheel_is_off
from trundle.findings.words import millimetres, seconds, spoken, start
from trundle.units import MM

OFF = "wheel off"

FLIES_S = 0.05
"""A hull with nothing on the ground for a shorter while is not said to fly [s] (our own line, no source)."""


def _find(f: Finder) -> Iterator[dict[str, Any]]:
    radius = f.assembly.model.rings["radius"]
    for i, name in enumerate(f.assembly.wheel):
        x, y = f.col(f"wheel.{name}.x_mm"), f.col(f"wheel.{name}.y_mm")
        for a, b, row in f.spells(wheel_is_off(f.col(f"wheel.{name}.load_N")), x, OFF, name, SHORT_S):
            under = f.ground.height_at(x[a:b] * MM)
            # A wheel that is just off can still be a hair below the height at which it would press.
            row["height_mm"] = max(0.0, float(np.max(y[a:b] - (radius[i] + under) / MM)))
            yield row


def _said(off: Events, about: About) -> list[Line]:
    """Which wheels, or how many, and for how long."""
    if not off:
        return []
    lasting = {wheel: in_all_s([e for e in off if e.where == wheel]) for wheel in sorted({e.where for e in off})}
    wheel = max(lasting, key=lambda w: lasting[w])
    lasts, height = lasting[wheel], highest_mm(off)
    high = f", up to {millimetres(height)} above what is under it" if height >= 0.5 else ""
    if len(lasting) == 1:
        return [Line(Grade.NOTE, f"{start(spoken(wheel))} wheel off the ground for {seconds(lasts)}{high}.")]
    stations = len(about.assembly.wheel)
    together, hanging = at_once(off, stations)
    if hanging:
        lasts_all = seconds(max(sum(b - a for a, b in hanging), 0.01))
        flies = sum(_nothing_touches(about, *spell) for spell in hanging)
        most = f"all at once for {lasts_all}"
        if flies >= FLIES_S:
            most += ": the hull flies" if seconds(flies) == lasts_all else f", the hull in flight for {seconds(flies)}"
    else:
        most = f"at most {together} at once" if together > 1 else "one at a time"
    text = (
        f"{len(lasting)} of {stations} stations leave the ground, {most}; longest {spoken(wheel)} for "
        f"{seconds(lasts)} in all{high}."
    )
    return [Line(Grade.NOTE, text)]


def at_once(off: Events, stations: int) -> tuple[int, list[tuple[float, float]]]:
    """How many stations are off at once at most, and from when to when all of them are [s]."""
    changes = sorted([(e.time_s, 1) for e in off] + [(e.time_s + e.duration_s, -1) for e in off])
    now = most = 0
    since, hanging = 0.0, []
    for time, change in changes:
        if now == stations and time > since:
            hanging.append((since, time))
        now, since = now + change, time
        most = max(most, now)
    return most, hanging


def _nothing_touches(about: About, begin_s: float, end_s: float) -> float:
    """For how long of a while neither belly nor an end of the track touches the ground either [s]."""
    dt_s = float(about.summary["dt_ms"]) * 1e-3
    rows = slice(max(round(begin_s / dt_s) - 1, 0), max(round(end_s / dt_s) - 1, 0))
    parts = ("belly",) if about.assembly.vehicle.track is None else ("belly", "sprocket", "idler")
    touches = np.zeros(len(about.timeline["belly.load_N"].to_numpy()[rows]), dtype=np.bool_)
    for part in parts:
        touches |= about.timeline[f"{part}.load_N"].to_numpy()[rows] > 0.0
    return float((~touches).sum()) * dt_s


KINDS = (EventKind(OFF, Subject.HULL, ("height_mm",), _find, _said),)
