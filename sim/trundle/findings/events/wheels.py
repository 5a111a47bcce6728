"""Wheels off the ground."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings.events.finder import SHORT_S, Finder
from trundle.findings.events.kind import About, EventKind, Events, highest_mm, in_all_s
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import wheel_is_off
from trundle.findings.words import millimetres, seconds, spoken, start
from trundle.units import MM

if TYPE_CHECKING:
    pass

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


def _said(off: Events, _: About) -> list[Line]:
    """Which wheels, or how many, and for how long."""
    if not off:
        return []
    lasting = {wheel: in_all_s([e for e in off if e.where == wheel]) for wheel in sorted({e.where for e in off})}
    wheel = max(lasting, key=lambda w: lasting[w])
    lasts, height = lasting[wheel], highest_mm(off)
    high = f", up to {millimetres(height)} high" if height >= 0.5 else ""
    if len(lasting) == 1:
        return [Line(Grade.NOTE, f"{start(spoken(wheel))} wheel off for {seconds(lasts)}{high}.")]
    text = f"{len(lasting)} wheels off, longest {spoken(wheel)} for {seconds(lasts)} in all{high}."
    return [Line(Grade.NOTE, text)]


KINDS = (EventKind(OFF, Subject.HULL, ("height_mm",), _find, _said),)
