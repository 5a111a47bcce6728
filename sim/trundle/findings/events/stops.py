"""Arms and beams that meet their bump or droop stops."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from trundle.findings.events.finder import Finder, wheels_of
from trundle.findings.events.kind import About, EventKind, Events, hardest
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.words import force, spoken, start, times
from trundle.units import DEG, MM

if TYPE_CHECKING:
    pass

BUMP, DROOP = "bump stop", "droop stop"

SIGN = {BUMP: 1.0, DROOP: -1.0}
"""Of arm.NAME.stop_N where that stop pushes."""

HARD_HIT = 0.5
"""A stop hit above this share of the vehicle's weight, on one arm, is a risk (our own line, no source)."""


def _hits(kind: str) -> Callable[[Finder], Iterator[dict[str, Any]]]:
    sign = SIGN[kind]

    def find(f: Finder) -> Iterator[dict[str, Any]]:
        parts = f.assembly.parts
        for number, (part, name) in enumerate(zip(parts.swings, f.assembly.joint, strict=True)):
            pushing = sign * f.col(f"arm.{name}.stop_N")
            holds = pushing > 0.0
            if not holds.any():
                continue
            angle = f.col(f"arm.{name}.angle_deg")
            carried = wheels_of(parts, number)
            x = functools.reduce(np.add, (f.col(f"wheel.{w}.x_mm") for w in carried)) / len(carried)
            rate = np.gradient(angle, f.dt) * DEG * part.radius / MM if len(angle) > 1 else 0.0 * angle
            for a, b, row in f.spells(holds, x, kind, name):
                row["peak_N"] = float(pushing[a:b].max())
                row["closing_mm_s"] = float(max(0.0, -sign * rate[max(a - 1, 0)]))
                power = pushing[a:b] * np.maximum(0.0, -sign * rate[a:b]) * MM
                row["energy_J"] = float(power.sum() * f.dt)
                yield row

    return find


def _said(kind: str) -> Callable[[Events, About], list[Line]]:
    """Hits counted; the hardest with the arm that had it."""

    def said(hits: Events, about: About) -> list[Line]:
        if not hits:
            return []
        arms = len({hit.where for hit in hits})
        peak, arm = hardest(hits).peak_N, spoken(hardest(hits).where)
        grade = Grade.RISK if kind == BUMP and peak > HARD_HIT * about.assembly.weight_N else Grade.NOTE
        count, hard = times(len(hits)), "" if len(hits) == 1 else "hardest "
        if arms == 1:
            text = f"{start(arm)} {kind} hit {count}, {hard}{force(peak)}."
        else:
            text = f"{start(kind)}s hit {count} on {arms} arms, hardest {force(peak)} ({arm})."
        return [Line(grade, text)]

    return said


KINDS = tuple(
    EventKind(kind, Subject.HULL, ("peak_N", "closing_mm_s", "energy_J"), _hits(kind), _said(kind))
    for kind in (BUMP, DROOP)
)
