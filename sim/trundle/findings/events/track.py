"""What could throw or tear the track: loose, a wheel clear of its guide teeth, pulled too hard."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from trundle.findings.events.finder import SHORT_S, Finder
from trundle.findings.events.kind import About, Event, EventKind, Events, hardest, in_all_s, longest_s
from trundle.findings.grades import Grade, Line, Subject
from trundle.findings.states import track_is_loose
from trundle.findings.words import force, millimetres, seconds, spoken, times

if TYPE_CHECKING:
    from trundle.spec.track import Track

LOOSE, TOOTH, TIGHT = "track loose", "wheel clear of tooth", "track overloaded"

LONG_LOOSE_S = 0.1
"""A track that is loose for less than this at a stretch has no time to walk [s] (our own line, no source)."""

NEAR_CLEAR = 0.7
"""A wheel further off than this share of the guide tooth is worth a note (our own line, no source)."""

LEFT_OUT = 1.4
"""By how much more than the law's peak the links may pull: passing sprocket and rollers they add a third of it (430 N
on 1270 N, the chain of links over a kerb in results/measured/links.md), the hull's own jerk on the hanging spans
a tenth (trundle.law.top). A peak that with this passes the stated limit gets no tick."""


def _loose(f: Finder) -> Iterator[dict[str, Any]]:
    if f.assembly.vehicle.track is None:
        return
    spare = f.col("track.spare_mm")
    loose = track_is_loose(f.col("track.slack_N"), spare)
    for a, b, row in f.spells(loose, f.col("hull.x_mm"), LOOSE, "track", SHORT_S):
        row["height_mm"] = float(spare[a:b].max())
        yield row


def hangs_mm(spare_mm: float, track: Track) -> float:
    """How far below its taut place a track hangs in the middle of its longest free piece, with so much of it to spare
    [mm]: sqrt(3 L s / 8), the flat parabola's, any handbook. The piece is the longest between sprocket, rollers and
    idler."""
    at = sorted((track.sprocket.at_mm[0], track.idler.at_mm[0], *(roller.at_mm[0] for roller in track.roller)))
    longest = max(b - a for a, b in itertools.pairwise(at))
    return math.sqrt(0.375 * longest * max(spare_mm, 0.0))


def lets_go(spell: Event, track: Track) -> bool:
    """Whether a loose track hangs as deep as its guide tooth is high in one spell that is long enough for it to walk
    off what it runs on."""
    return spell.duration_s >= LONG_LOOSE_S and hangs_mm(spell.height_mm, track) >= track.tooth_mm


def worst_loose(loose: Events, track: Track) -> Event:
    """The spell to tell of: that hangs deepest of those in which the track can let go; if none can, the longest."""
    can = [e for e in loose if lets_go(e, track)]
    return max(can, key=lambda e: e.height_mm) if can else max(loose, key=lambda e: e.duration_s)


def _loose_grade(loose: Events, about: About) -> Grade:
    return Grade.RISK if any(lets_go(e, _track(about)) for e in loose) else Grade.NOTE


def _loose_said(loose: Events, about: About) -> list[Line]:
    if not loose:
        return []
    lasts = seconds(in_all_s(loose))
    return [Line(_loose_grade(loose, about), f"Track loose {times(len(loose))}, {lasts} in all.")]


def _loose_in_all(loose: Events, about: About) -> list[Line]:
    if not loose:
        return [Line(Grade.FINE, "Never loose.")]
    track = _track(about)
    worst = worst_loose(loose, track)
    can = lets_go(worst, track)
    spare, hangs = worst.height_mm, hangs_mm(worst.height_mm, track)
    text = f"Loose {times(len(loose))}, {seconds(in_all_s(loose))} in all, {'once' if can else 'longest'} "
    text += seconds(worst.duration_s)
    if spare >= 0.5:
        text += f" with up to {millimetres(spare)} of track to spare, which hang {millimetres(hangs)} deep"
        text += f" (guide tooth {track.tooth_mm:g} mm)"
    text += ". A loose track can be thrown." if can else "."
    return [Line(_loose_grade(loose, about), text)]


def _tooth(f: Finder) -> Iterator[dict[str, Any]]:
    track = f.assembly.vehicle.track
    if track is None:
        return
    for name in f.assembly.wheel:
        gap = f.col(f"wheel.{name}.band_gap_mm")
        for a, b, row in f.spells(gap > track.tooth_mm, f.col(f"wheel.{name}.x_mm"), TOOTH, name):
            row["height_mm"] = float(gap[a:b].max())
            yield row


def _names(clear: Events) -> str:
    return ", ".join(spoken(n) for n in dict.fromkeys(e.where for e in clear))


def _tooth_said(clear: Events, _: About) -> list[Line]:
    return [] if not clear else [Line(Grade.RISK, f"Clear of the guide tooth: {_names(clear)}.")]


def _tooth_in_all(clear: Events, about: About) -> list[Line]:
    tooth_mm = _track(about).tooth_mm
    gaps = {n: float(about.timeline[f"wheel.{n}.band_gap_mm"].max()) for n in about.assembly.wheel}
    wheel = max(gaps, key=lambda n: gaps[n])
    if clear:
        lasts = seconds(longest_s(clear))
        text = (
            f"Wheel clear of the {tooth_mm:g} mm guide tooth {times(len(clear))} ({_names(clear)}), "
            f"longest {lasts}, up to {millimetres(gaps[wheel])} off the track. The track can walk off."
        )
        return [Line(Grade.RISK, text)]
    if gaps[wheel] < 0.5:
        return [Line(Grade.FINE, "All wheels stay on the track.")]
    most = f"{millimetres(gaps[wheel])} off ({spoken(wheel)})"
    text = f"No wheel clear of the {tooth_mm:g} mm guide tooth; most {most}."
    return [Line(Grade.NOTE if gaps[wheel] > NEAR_CLEAR * tooth_mm else Grade.FINE, text)]


def _tight(f: Finder) -> Iterator[dict[str, Any]]:
    track = f.assembly.vehicle.track
    if track is not None and track.tension_limit_N is not None:
        tight = f.col("track.tight_N")
        yield from f.pressed(tight, tight > track.tension_limit_N, f.col("hull.x_mm"), TIGHT, "track")


def _tight_said(tight: Events, _: About) -> list[Line]:
    if not tight:
        return []
    peak = force(hardest(tight).peak_N)
    return [Line(Grade.RISK, f"Track pulled over its stated limit {times(len(tight))}, to {peak}.")]


def _tight_in_all(tight: Events, about: About) -> list[Line]:
    peak, limit = float(about.summary["peak_track_tension_N"]), _track(about).tension_limit_N
    if limit is None:
        return [Line(Grade.FINE, f"Highest tension {force(peak)} in one track; the file states no limit.")]
    near = LEFT_OUT * peak > limit
    said = f"limit {force(limit)}"
    if near:
        said += f"; links that pass the sprocket and the hull's jerk can make it {force(LEFT_OUT * peak)}"
    if tight:
        said = f"over the stated {force(limit)} {times(len(tight))}"
    return [
        Line(
            Grade.RISK if tight else Grade.NOTE if near else Grade.FINE,
            f"Highest tension {force(peak)} in one track, {said}.",
        )
    ]


def _track(about: About) -> Track:
    track = about.assembly.vehicle.track
    assert track is not None
    return track


KINDS = (
    EventKind(LOOSE, Subject.TRACK, ("height_mm",), _loose, _loose_said, _loose_in_all),
    EventKind(TOOTH, Subject.TRACK, ("height_mm",), _tooth, _tooth_said, _tooth_in_all),
    EventKind(TIGHT, Subject.TRACK, ("peak_N",), _tight, _tight_said, _tight_in_all),
)
