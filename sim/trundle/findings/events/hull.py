"""What of the hull meets the ground: the belly, and the track's ends, sprocket and idler."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from trundle.findings.events.finder import Finder
from trundle.findings.events.kind import About, EventKind, Events, hardest, in_all_s
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import belly_is_down
from trundle.findings.words import force, millimetres, seconds, start, times

if TYPE_CHECKING:
    pass

BELLY, NOSE = "belly down", "end on ground"
ENDS = ("sprocket", "idler")


def _belly(f: Finder) -> Iterator[dict[str, Any]]:
    load, clear = f.col("belly.load_N"), f.col("belly.clearance_mm")
    for a, b, row in f.spells(belly_is_down(load), f.col("hull.x_mm"), BELLY, "hull"):
        row["peak_N"] = float(load[a:b].max())
        row["height_mm"] = float(clear[a:b].min())
        yield row


def _belly_said(down: Events, about: About) -> list[Line]:
    if not down:
        return [Line(Grade.FINE, f"Belly {millimetres(max(about.clear_mm, 0.0))} clear.")]
    lasts, hard = seconds(in_all_s(down)), force(hardest(down).peak_N)
    return [Line(Grade.RISK, f"Belly touched {times(len(down))}, {lasts} in all, hardest {hard}.")]


def _ends(f: Finder) -> Iterator[dict[str, Any]]:
    if f.assembly.vehicle.track is None:
        return
    for end in ENDS:
        load = f.col(f"{end}.load_N")
        yield from f.pressed(load, load > 0.0, f.col(f"{end}.x_mm"), NOSE, end)


def _ends_said(met: Events, _: About) -> list[Line]:
    lines = []
    for end in ENDS:
        hits = [e for e in met if e.where == end]
        if hits:
            hard = "" if len(hits) == 1 else "hardest "
            peak = force(hardest(hits).peak_N)
            lines.append(Line(Grade.NOTE, f"{start(end)} met the ground {times(len(hits))}, {hard}{peak}."))
    return lines


KINDS = (
    EventKind(BELLY, Subject.HULL, ("peak_N", "height_mm"), _belly, _belly_said),
    EventKind(NOSE, Subject.HULL, ("peak_N",), _ends, _ends_said),
)
