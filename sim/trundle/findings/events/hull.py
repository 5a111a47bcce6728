"""What of the hull meets the ground: the belly, and the track's ends, sprocket and idler."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from trundle.findings.blows import HARD_BLOW_G, Blow, blow_at
from trundle.findings.events.finder import Finder
from trundle.findings.events.kind import About, Event, EventKind, Events, hardest, in_all_s
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.readings import Floats
from trundle.findings.states import belly_is_down
from trundle.findings.words import force, forces, g_range, millimetres, seconds, start, times
from trundle.units import MM

BELLY, NOSE = "belly down", "end on ground"
BELLY_PART, ENDS = "belly", ("sprocket", "idler")

HARD_END = 1.0
"""Sprocket or idler that takes more than this share of the vehicle's weight, on one side, is at risk (our own line, no
source)."""


def _belly(f: Finder) -> Iterator[dict[str, Any]]:
    load, clear = f.col("belly.load_N"), f.col("belly.clearance_mm")
    for a, b, row in f.spells(belly_is_down(load), f.col("hull.x_mm"), BELLY, "hull"):
        row["peak_N"] = float(load[a:b].max())
        row["height_mm"] = float(clear[a:b].min())
        yield row


def _belly_said(down: Events, about: About) -> list[Line]:
    if not down:
        return [Line(Grade.FINE, f"Belly {millimetres(max(about.clear_mm, 0.0))} clear.")]
    lasts, hard = seconds(in_all_s(down)), _hardest(down, BELLY_PART, about)
    return [Line(Grade.RISK, f"Belly touched {times(len(down))}, {lasts} in all, hardest {hard}.")]


def _belly_in_all(down: Events, about: About) -> list[Line]:
    lines = _belly_said(down, about)
    if down:
        blow = _blow(hardest(down), BELLY_PART, about)
        lines += [*_blow_lines(blow, about), *_dent_lines(blow, about)]
    return lines


def _dent_lines(blow: Blow, about: About) -> list[Line]:
    """Whether the hardest load dents the belly plate for good."""
    dent = about.assembly.dent_N
    low, high = (blow.peak_N * share for share in blow.share)
    if dent is None or high <= dent:
        return []
    steel = about.assembly.vehicle.hull.belly_steel
    plate = f"the belly plate ({steel}) for good, from about {force(dent)} on"
    if low > dent:
        return [Line(Grade.RISK, f"That dents {plate}.")]
    return [Line(Grade.NOTE, f"That may dent {plate}.")]


def _blow(event: Event, part: str, about: About) -> Blow:
    """The hardest moment of an event of a part."""
    timeline = about.timeline
    dt = float(about.summary["dt_ms"]) * 1e-3
    first = int(np.searchsorted(timeline["time_s"].to_numpy(), event.time_s - 0.5 * dt))
    give = next(give for give in about.assembly.gives if give.part == part)

    def column(name: str) -> Floats:
        values: Floats = np.asarray(timeline[name].to_numpy())
        return values

    return blow_at(column, about.assembly, give, first, first + round(event.duration_s / dt), dt)


def _hardest(events: Events, part: str, about: About) -> str:
    """The highest force of some events, with the range that the part's rate gives it."""
    blow = _blow(hardest(events), part, about)
    low, high = blow.share
    return forces(low * blow.peak_N, high * blow.peak_N)


def _blow_lines(blow: Blow, about: About) -> list[Line]:
    """What the hardest blow on a part is at the seat; nothing of what is no blow."""
    if not blow.is_blow:
        return []
    part = blow.give.part
    at = float(about.timeline["hull.x_mm" if part == BELLY_PART else f"{part}.x_mm"].iloc[blow.row]) * MM
    felt = ""
    if blow.seat_g is not None:
        low, high = (blow.seat_g * share for share in blow.share)
        felt = f"{g_range(low, high)} at the seat, up and forward together, "
    text = f"Hardest blow on the {part}, at {at:.2f} m: {felt}for {1e3 * blow.lasts_s:.2g} ms."
    if blow.sharp:
        text += f" Shorter than the {1e3 * blow.answers_s:.2g} ms in which the hull answers: a sharp hit, not a number."
    return [Line(Grade.RISK if (blow.seat_g or 0.0) >= HARD_BLOW_G else Grade.NOTE, text)]


def _ends(f: Finder) -> Iterator[dict[str, Any]]:
    if f.assembly.vehicle.track is None:
        return
    for end in ENDS:
        load = f.col(f"{end}.load_N")
        yield from f.pressed(load, load > 0.0, f.col(f"{end}.x_mm"), NOSE, end)


def _ends_said(met: Events, about: About) -> list[Line]:
    lines = []
    for end in ENDS:
        hits = [e for e in met if e.where == end]
        if hits:
            hard = "" if len(hits) == 1 else "hardest "
            peak = _hardest(hits, end, about)
            lines.append(
                Line(_end_grade(hits, about), f"{start(end)} met the ground {times(len(hits))}, {hard}{peak}.")
            )
    return lines


def _end_grade(hits: Events, about: About) -> Grade:
    return Grade.RISK if hardest(hits).peak_N > HARD_END * about.assembly.weight_N else Grade.NOTE


def _ends_in_all(met: Events, about: About) -> list[Line]:
    lines = _ends_said(met, about)
    for end in ENDS:
        hits = [e for e in met if e.where == end]
        if hits:
            lines += _blow_lines(_blow(hardest(hits), end, about), about)
    return lines


KINDS = (
    EventKind(BELLY, Subject.HULL, ("peak_N", "height_mm"), _belly, _belly_said, _belly_in_all),
    EventKind(NOSE, Subject.HULL, ("peak_N",), _ends, _ends_said, _ends_in_all),
)
