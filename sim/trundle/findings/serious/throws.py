"""What could throw the track, or tip the vehicle over."""

from __future__ import annotations

import math
import operator
from collections.abc import Iterator
from functools import partial

import numpy as np

from trundle.findings.events.kind import highest_mm, longest_s
from trundle.findings.events.track import LONG_LOOSE_S, LOOSE, TOOTH, hangs_mm, worst_loose
from trundle.findings.finding import Finding, Harm
from trundle.findings.grades import Grade
from trundle.findings.serious.case import NOT_KEPT, Case, in_so_many, worry
from trundle.findings.serious.causes import seen_from
from trundle.findings.words import force, millimetres, place, seconds, spoken, start, times
from trundle.units import DEG, MM

NEAR_TIPPING = 0.6
"""Share of the angle at which it tips from which a pitch is told of (our own line, no source)."""

VERY_NEAR_TIPPING = 0.8
"""The same from which it is a risk (our own line, no source)."""


def tooth(case: Case) -> Iterator[Finding]:
    """A wheel so far off the track that its guide teeth do not hold it."""
    clear = [e for e in case.events if e.kind == TOOTH]
    count, of = case.often("wheel_clear_of_tooth", lambda v: v > 0.0)
    if not count:
        return
    track = case.assembly.vehicle.track
    assert track is not None
    short = f"the track can walk off{in_so_many(count, of)}"
    grade = worry(count, of)
    if not clear:
        text = f"{start(short)}: a wheel comes clear of the {track.tooth_mm:g} mm guide tooth, {NOT_KEPT}."
        yield Finding(Harm.THROWS, grade, 1.0, short, text, "wheel_clear_of_tooth")
        return
    gap = highest_mm(clear)
    worst = max(clear, key=lambda e: e.height_mm)
    at = worst.course_mm * MM
    text = (
        f"{start(short)}: {spoken(worst.where)} wheel {millimetres(gap)} off it, clear of the {track.tooth_mm:g} mm "
        f"guide tooth for {seconds(longest_s(clear))}, {place(at)}."
    )
    yield Finding(
        Harm.THROWS, grade, gap / track.tooth_mm, short, text, "wheel_clear_of_tooth", worst.where, worst.time_s,
        at, (*seen_from(case, worst.time_s, at), *_slack(case, worst.time_s)),
    )  # fmt: skip


def loose(case: Case) -> Iterator[Finding]:
    """The track without pull for so long that it can be thrown: a risk where in one such spell it hangs as deep as its
    guide tooth is high."""
    track = case.assembly.vehicle.track
    count, of = case.often("track_loose_longest_s", lambda v: v >= LONG_LOOSE_S)
    if track is None or not count:
        return
    can, _ = case.often("track_lets_go", lambda v: v > 0.0)
    short = f"the track hangs loose{in_so_many(count, of)}"
    if can:
        short = f"the loose track can be thrown{in_so_many(can, of)}"
    grade = worry(can, of) if can else Grade.NOTE
    text = f"{start(short)}: loose for {case.sized('track_loose_s')} in all"
    spells = [e for e in case.events if e.kind == LOOSE]
    if not spells:
        yield Finding(Harm.THROWS, grade, 1.0, short, f"{text}, {NOT_KEPT}.", "track_loose_s", "track")
        return
    worst = worst_loose(spells, track)
    at, deep = worst.course_mm * MM, hangs_mm(worst.height_mm, track)
    kept = "in the run that is kept " if case.near is not None else ""
    text += f", {kept}{times(len(spells))}; {seconds(worst.duration_s)} at a stretch {place(at)}"
    if worst.height_mm >= 0.5:
        text += f", with {millimetres(worst.height_mm)} of it to spare that hang {millimetres(deep)} deep (the guide "
        text += f"tooth is {track.tooth_mm:g} mm high)"
    yield Finding(
        Harm.THROWS, grade, deep / max(track.tooth_mm, 1.0), short, f"{text}.", "track_loose_s",
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
    ways = ((1.0, "back", "last", "peak_nose_up_deg"), (-1.0, "forward", "first", "peak_nose_down_deg"))
    for (sign, which, wheels, figure), limit in zip(ways, slope, strict=True):
        count, of = case.often(figure, partial(operator.le, NEAR_TIPPING * limit))
        if not count:
            continue
        close, _ = case.often(figure, partial(operator.le, VERY_NEAR_TIPPING * limit))
        row = int(np.argmax(sign * pitch))
        at, time = case.place_m(row), float(case.column("time_s")[row])
        short = f"it nearly tips {which}{in_so_many(count, of)}"
        text = (
            f"{start(short)}: {case.sized(figure, bare_deg)} of the {limit:.0f}° at which its centre of mass is over "
        )
        text += f"its {wheels} wheels, {place(at)}."
        yield Finding(
            Harm.THROWS, worry(close, of) if close else Grade.NOTE, case.middle(figure) / limit, short, text,
            "peak_pitch_deg", "hull", time, at, seen_from(case, time, at),
        )  # fmt: skip


def bare_deg(deg: float) -> str:
    """`31°`."""
    return f"{deg:.0f}°"


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
