"""Of the track and what it runs on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from trundle.errors import Problem
from trundle.spec.doubts.loads import Loads

if TYPE_CHECKING:
    from trundle.spec.track import Track
    from trundle.spec.vehicle import Vehicle

STEEL_KG_M3 = 7_850.0
"""A track is no denser than solid steel of its width and thickness."""

STRONG_MPA = 1_500.0
"""No steel of a link bears more."""


def doubts(vehicle: Vehicle, loads: Loads) -> Iterator[Problem]:
    """Nothing without a track."""
    track = vehicle.track
    if track is None:
        return
    yield from _links(vehicle, track)
    yield from _ends(vehicle, track)
    yield from _pull(track, loads)


def _links(vehicle: Vehicle, track: Track) -> Iterator[Problem]:
    wheels = vehicle.wheel.values()
    least, most = min(w.radius_mm for w in wheels), max(w.radius_mm for w in wheels)
    wide = max(w.width_mm * w.abreast for w in wheels)
    if track.width_mm < wide:
        yield Problem(
            f"the track is {track.width_mm:g} mm wide, its wheels side by side {wide:g} mm (a wheel's "
            "width_mm, that of one, "
            "times abreast)",
            "track.width_mm",
        )
    if track.width_mm > 6.0 * wide or track.width_mm > 0.5 * vehicle.hull.length_mm:
        yield Problem(
            f"one track of {track.width_mm:g} mm under wheels {wide:g} mm wide side by side", "track.width_mm"
        )
    if track.tooth_mm > least:
        yield Problem(f"it is {track.tooth_mm:g}, higher than a wheel's radius", "track.tooth_mm")
    if track.pitch_mm > 1.1 * most or track.pitch_mm < 0.6 * track.thickness_mm:
        yield Problem(
            f"links of {track.pitch_mm:g} mm, {track.thickness_mm:g} mm thick, under wheels of radius "
            f"{most:g} mm: from pin to "
            "pin of one link?",
            "track.pitch_mm",
        )
    if track.thickness_mm > 0.7 * most:
        yield Problem(
            f"a track {track.thickness_mm:g} mm thick under wheels of radius {most:g} mm", "track.thickness_mm"
        )
    dense = track.mass_kg_per_m / (track.width_mm * track.thickness_mm * 1e-6)
    if not 100.0 < dense < STEEL_KG_M3:
        yield Problem(
            f"{track.mass_kg_per_m:g} kg for each metre, {track.width_mm:g} by {track.thickness_mm:g} mm, is "
            f"{dense:.0f} kg/m3 "
            "(solid steel has 7850): of one metre of one track?",
            "track.mass_kg_per_m",
        )
    ends = abs(track.sprocket.at_mm[0] - track.idler.at_mm[0]) / (len(track.roller) + 1)
    if track.sag_mm is not None and not 0.0025 < track.sag_mm / ends < 0.08:
        yield Problem(
            f"top spans of about {ends:.0f} mm that hang by {track.sag_mm:g} mm, {track.sag_mm / ends:.1%}: "
            "0.5 to 3 % is usual",
            "track.sag_mm",
        )


def _ends(vehicle: Vehicle, track: Track) -> Iterator[Problem]:
    most = max(w.radius_mm for w in vehicle.wheel.values())
    if not 0.2 < track.idler.radius_mm / most < 1.6:
        yield Problem(
            f"an idler of {2 * track.idler.radius_mm:g} mm diameter before wheels of {2 * most:g} mm: the radius?",
            "track.idler.radius_mm",
        )
    sprocket = track.sprocket_radius_m * 1e3
    if not 0.2 < sprocket / most < 2.2:
        yield Problem(
            f"{track.sprocket.teeth} teeth at a pitch of {track.pitch_mm:g} mm are a sprocket of "
            f"{2 * sprocket:.0f} mm diameter "
            f"before wheels of {2 * most:g} mm",
            "track.sprocket.teeth",
        )
    for i, roller in enumerate(track.roller):
        if roller.radius_mm > 0.55 * most:
            yield Problem(
                f"a return roller of {2 * roller.radius_mm:g} mm diameter over wheels of {2 * most:g} mm: the radius?",
                f"track.roller[{i + 1}].radius_mm",
            )
    for name, end in (("sprocket", track.sprocket), ("idler", track.idler)):
        if end.at_mm[1] > 0.4 * vehicle.hull.height_mm:
            yield Problem(
                f"its axle is {end.at_mm[1]:g} mm above the belly plate of a hull {vehicle.hull.height_mm:g} "
                "mm high: from the "
                "belly plate, not from the ground?",
                f"track.{name}.at_mm",
            )


def _pull(track: Track, loads: Loads) -> Iterator[Problem]:
    limit = track.tension_limit_N
    if limit is not None and limit < 0.3 * loads.weight_N:
        yield Problem(
            f"the track may pull {limit:g} N, and the vehicle weighs {loads.weight_N:.0f} N: in newtons?",
            "track.tension_limit_N",
        )
    strong = limit if limit is not None else loads.weight_N
    if track.link_steel_mm2 is not None and strong / track.link_steel_mm2 > STRONG_MPA:
        yield Problem(
            f"{track.link_steel_mm2:g} mm2 of steel in a link that bears {strong:.0f} N: "
            f"{strong / track.link_steel_mm2:.0f} MPa",
            "track.link_steel_mm2",
        )
    stretch = strong / track.stiffness_N
    if track.stretch_N is not None and not 0.0002 < stretch < 0.05:
        yield Problem(f"{strong:.0f} N stretch the track by {stretch:.2%}: 0.1 to 2 % is usual", "track.stretch_N")
    spring = track.idler.tensioner
    if spring is not None:
        if spring.preload_N > strong:
            yield Problem(
                f"its spring pushes {spring.preload_N:g} N from the start, more than the track bears or the "
                "vehicle weighs "
                f"({strong:.0f} N)",
                "track.idler.tensioner.preload_N",
            )
        if spring.rate_N_per_mm * spring.travel_mm > 20.0 * strong:
            yield Problem(
                f"over its {spring.travel_mm:g} mm the spring would come to "
                f"{spring.rate_N_per_mm * spring.travel_mm:.0f} N, and "
                f"the track bears about {strong:.0f} N: in N for each mm?",
                "track.idler.tensioner.rate_N_per_mm",
            )
