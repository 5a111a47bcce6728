"""What could throw the track, or tip the vehicle over."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from trundle.findings.events.kind import highest_mm, longest_s
from trundle.findings.events.track import LONG_LOOSE_S, LOOSE, TOOTH, hangs_mm, lets_go
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import Case, in_so_many
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import force, millimetres, place, seconds, spoken, start, times
from trundle.units import DEG, MM

NEAR_TIPPING = 0.6
"""Share of the angle at which it tips from which a pitch is told of (our own line, no source)."""


def tooth(case: Case) -> Iterator[Finding]:
    """A wheel so far off the track that its guide teeth do not hold it."""
    clear = [e for e in case.events if e.kind == TOOTH]
    count, of = case.often("wheel_clear_of_tooth", lambda v: v > 0.0)
    if not count:
        return
    track = case.assembly.vehicle.track
    assert track is not None
    short = f"the track can walk off{in_so_many(count, of)}"
    if not clear:
        text = f"{start(short)}: a wheel comes clear of the {track.tooth_mm:g} mm guide tooth, though not in this run."
        yield Finding(Harm.THROWS, Grade.NOTE, 1.0, short, text, "wheel_clear_of_tooth")
        return
    gap = highest_mm(clear)
    worst = max(clear, key=lambda e: e.height_mm)
    at = worst.course_mm * MM
    text = (
        f"{start(short)}: {spoken(worst.where)} wheel {millimetres(gap)} off it, clear of the {track.tooth_mm:g} mm "
        f"guide tooth for {seconds(longest_s(clear))}, {place(at)}."
    )
    yield Finding(
        Harm.THROWS, Grade.RISK, gap / track.tooth_mm, short, text, "wheel_clear_of_tooth", worst.where, worst.time_s,
        at, (*seen_from(case, worst.time_s, at), *_slack(case, worst.time_s)),
    )  # fmt: skip


def loose(case: Case) -> Iterator[Finding]:
    """The track without pull for so long that it can be thrown: a risk where it then hangs as deep as its guide tooth
    is high."""
    track = case.assembly.vehicle.track
    spells = [e for e in case.events if e.kind == LOOSE]
    if track is None or not spells or longest_s(spells) < LONG_LOOSE_S:
        return
    worst = max(spells, key=lambda e: e.duration_s)
    at, spare = worst.course_mm * MM, highest_mm(spells)
    deep, long = hangs_mm(spare, track), seconds(longest_s(spells))
    short = "the track hangs loose"
    text = f"The track is loose {times(len(spells))}, {long} at a stretch, {case.said('track_loose_s')} in all"
    if spare >= 0.5:
        text += f"; {millimetres(spare)} of it to spare hang {millimetres(deep)} deep, the guide tooth is "
        text += f"{track.tooth_mm:g} mm high"
    can = lets_go(spells, track)
    text += f": it can be thrown. Longest {place(at)}." if can else f". Longest {place(at)}."
    yield Finding(
        Harm.THROWS, Grade.RISK if can else Grade.NOTE, deep / max(track.tooth_mm, 1.0), short, text, "track_loose_s",
        "track", worst.time_s, at, (*seen_from(case, worst.time_s, at), *_slack(case, worst.time_s)),
    )  # fmt: skip


def _slack(case: Case, time_s: float) -> tuple[str, ...]:
    """What left the track with more length than its path takes: pull at rest, and how the wheels stood."""
    row = case.row_of(time_s)
    rest = float(case.column("track.slack_N")[0])
    causes = [f"{force(rest)} of pull standing"]
    path = case.column("track.path_mm")
    shorter = float(path[0] - path[row : row + max(round(0.1 / case.dt_s), 1)].min())
    if shorter >= 1.0:
        causes.append(f"its path {millimetres(shorter)} shorter than standing, with the wheels pushed up or hanging")
    return tuple(causes)


def tips(case: Case) -> Iterator[Finding]:
    """Its pitch, against the angle at which its centre of mass passes over its end on the ground."""
    pitch, slope = case.column("hull.pitch_deg"), tip_deg(case)
    for sign, which, limit in ((1.0, "back", slope[0]), (-1.0, "forward", slope[1])):
        row = int(np.argmax(sign * pitch))
        most = sign * float(pitch[row])
        if most < NEAR_TIPPING * limit:
            continue
        at, time = case.place_m(row), float(case.column("time_s")[row])
        short = f"it nearly tips {which}"
        text = (
            f"{start(short)}: {most:.0f}° of the {limit:.0f}° at which its centre of mass is over its last wheels, "
            f"{place(at)}."
        )
        yield Finding(
            Harm.THROWS, Grade.RISK if most > 0.8 * limit else Grade.NOTE, most / limit, short, text, "peak_pitch_deg",
            "hull", time, at, seen_from(case, time, at),
        )  # fmt: skip


def tip_deg(case: Case) -> tuple[float, float]:
    """Angles nose up and nose down at which the hull's centre of mass is over the last, or the first, wheels [deg].

    atan(distance along / height above the ground) as it stands at the start: springs taken as stiff, the track's ends
    as not there.
    """
    x = case.column("hull.x_mm")[0]
    places = {w: float(case.column(f"wheel.{w}.x_mm")[0] - x) for w in case.assembly.wheel}
    first, last = max(places, key=lambda w: places[w]), min(places, key=lambda w: places[w])
    radius = float(case.assembly.model.rings["radius"][case.assembly.wheel.index(last)]) / MM
    high = float(case.column("hull.y_mm")[0] - (case.column(f"wheel.{last}.y_mm")[0] - radius))
    return math.atan2(-places[last], high) / DEG, math.atan2(places[first], high) / DEG
