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
    together, flies = at_once(off, stations)
    if flies > 0.0:
        most = f"all at once for {seconds(max(flies, 0.01))}: the hull flies"
    else:
        most = f"at most {together} at once" if together > 1 else "one at a time"
    text = (
        f"{len(lasting)} of {stations} wheel stations leave the ground, {most}; longest {spoken(wheel)} for "
        f"{seconds(lasts)} in all{high}."
    )
    return [Line(Grade.NOTE, text)]


def at_once(off: Events, stations: int) -> tuple[int, float]:
    """How many stations are off at once at most, and for how long all of them are [s]."""
    changes = sorted([(e.time_s, 1) for e in off] + [(e.time_s + e.duration_s, -1) for e in off])
    now = most = 0
    flies, since = 0.0, 0.0
    for time, change in changes:
        if now == stations:
            flies += time - since
        now, since = now + change, time
        most = max(most, now)
    return most, flies


KINDS = (EventKind(OFF, Subject.HULL, ("height_mm",), _find, _said),)
