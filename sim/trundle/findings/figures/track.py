"""How tight the track is, and whether it could come off. Pulls are in one track."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trundle.findings.events import LOOSE, TOOTH, events_of
from trundle.findings.events.kind import longest_s
from trundle.findings.events.track import lets_go
from trundle.findings.figures.blow import with_mean
from trundle.findings.figures.figure import Bad, Better, Figure, Needs, Told
from trundle.findings.grades import Subject
from trundle.findings.states import track_is_loose

if TYPE_CHECKING:
    from trundle.findings.readings import Readings


def _least(readings: Readings) -> float:
    return float(readings.column("track.slack_N").min())


def _most(readings: Readings) -> float:
    return float(readings.column("track.tight_N").max())


def _loose(readings: Readings) -> float:
    return readings.seconds(track_is_loose(readings.column("track.slack_N"), readings.column("track.spare_mm")))


def _longest(readings: Readings) -> float:
    spells = events_of(readings.events[readings.events["kind"] == LOOSE])
    return longest_s(spells) if spells else 0.0


def _lets_go(readings: Readings) -> int:
    track = readings.assembly.vehicle.track
    return sum(lets_go(e, track) for e in events_of(readings.events[readings.events["kind"] == LOOSE]) if track)


def _clear_of_tooth(readings: Readings) -> int:
    return len(readings.peaks_N(TOOTH))


def _span(readings: Readings) -> float:
    return float(readings.column("track.span_load_N").max())


FIGURES = (
    Figure(
        name="min_track_tension_N", title="least slack tension", unit="N", better=Better.HIGHER,
        subject=Subject.TRACK, of=_least, needs=Needs.TRACK, told=Told.SENTENCE, ranked=True,
    ),
    *with_mean(
        Figure(
            name="peak_track_tension_N", title="peak tension", unit="N", better=Better.LOWER, subject=Subject.TRACK,
            of=_most, needs=Needs.TRACK, told=Told.SENTENCE, single_blow=True,
        ),
        lambda r: [r.column("track.tight_N")],
    ),
    Figure(
        name="track_loose_s", title="track loose", unit="s", digits=2, better=Better.LOWER, subject=Subject.TRACK,
        of=_loose, needs=Needs.TRACK, told=Told.SENTENCE, how_sure=False, bad=Bad("track goes slack", "<=", 0),
    ),
    Figure(
        name="track_loose_longest_s", title="track loose at a stretch", unit="s", digits=2, better=Better.LOWER,
        subject=Subject.TRACK, of=_longest, needs=Needs.TRACK, told=Told.SENTENCE, compared=False, guarded=False,
        how_sure=False,
    ),
    Figure(
        name="track_lets_go", title="loose for long and as deep as the guide tooth", better=Better.LOWER,
        subject=Subject.TRACK, of=_lets_go, needs=Needs.TRACK, told=Told.SENTENCE, counted=True, compared=False,
        guarded=False, how_sure=False,
    ),
    Figure(
        name="wheel_clear_of_tooth", title="wheel clear of the guide tooth", better=Better.LOWER,
        subject=Subject.TRACK, of=_clear_of_tooth, needs=Needs.TRACK, told=Told.SENTENCE, how_sure=False,
    ),
    Figure(
        name="peak_span_load_N", title="peak load on a span", unit="N", subject=Subject.TRACK,
        of=_span, needs=Needs.TRACK, told=Told.NOT, single_blow=True, compared=False, how_sure=False,
    ),
)  # fmt: skip
