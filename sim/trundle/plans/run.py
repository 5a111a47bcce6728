"""The track's run, the idler's tensioner, and where sprocket, idler and rollers sit."""

from __future__ import annotations

import math
from collections.abc import Iterator

from trundle.engine.standing import Standing
from trundle.model.arrays import SIDES
from trundle.plans.assembled import tenth
from trundle.plans.composed import Composition, sheets
from trundle.plans.page import Page, room
from trundle.plans.run_views import ends_cut, idler_places, left_out_of_run, run, tensioner, wrapped
from trundle.plans.stood import Stood, stood_of
from trundle.plans.subject import Subject
from trundle.plans.table import Laid, notes, table
from trundle.spec.track import Track
from trundle.units import MM

MARK = "TR"


def pages(subject: Subject) -> Iterator[Page]:
    """None of a vehicle without a track, or that does not stand."""
    stood, track = stood_of(subject), subject.vehicle.track
    if stood is None or track is None:
        return
    left, _, right, _ = room(subject.paper)
    wide = right - left
    whole = Composition((((run(stood, track),),),), ("Track run",))
    yield from sheets(
        f"{MARK}1",
        [whole],
        [_figures(stood, track, 0.5 * wide), _places(stood, track, 0.46 * wide)],
        subject.paper,
        0.5,
    )
    cuts = ends_cut(stood, track)
    idler = tensioner(stood, track)
    choices = [
        Composition((((idler, *cuts),),), ("Track's ends",)),
        Composition((((idler,),), (tuple(cuts),)), ("Tensioner", "Sprocket and idler on their axles")),
        Composition(
            (((idler,),), ((cuts[0],),), ((cuts[1],),)), ("Tensioner", "Sprocket on its axle", "Idler on its axle")
        ),
    ]
    yield from sheets(
        f"{MARK}2",
        choices,
        [_idler(stood, track, 0.45 * wide), notes("Notes", _remarks(stood, track), 0.45 * wide)],
        subject.paper,
        0.5,
        0.2,
    )


def tension_N(at: Standing) -> float:
    """Pull in one track, standing [N]."""
    return float(at.state["band.tension_N"]) / SIDES


def _figures(stood: Stood, track: Track, most_mm: float) -> Laid:
    pose = stood.pose
    rows = [
        ("links", f"{track.links} of {tenth(track.pitch_mm)}, {tenth(track.links * track.pitch_mm)} in all"),
        ("sprocket", f"{track.sprocket.teeth} teeth, pitch circle Ø{2.0 * track.sprocket_radius_m / MM:.2f}"),
        ("pull in one track, standing", f"{tension_N(stood.at):.0f} N"),
    ]
    for end in pose.ends:
        wrap = wrapped(pose, end, track.thickness_mm)
        if wrap is not None:
            links = math.radians(wrap[1] - wrap[0]) * (end.radius + 0.5 * track.thickness_mm) / track.pitch_mm
            rows.append((f"wrapped round the {end.name}", f"{wrap[1] - wrap[0]:.1f}°, {links:.1f} links"))
    if pose.sag is not None:
        rows.append(("sag, standing", f"{tenth(math.dist(*pose.sag))} at {tenth(pose.sag[0][0])} from the tail datum"))
    return table("Track", ("what", "how much"), rows, most_mm)


def _places(stood: Stood, track: Track, most_mm: float) -> Laid:
    rows = [(e.name, tenth(e.x), tenth(e.y), f"Ø{tenth(2.0 * e.radius)}", "") for e in stood.pose.ends]
    for i, r in enumerate(track.roller, 1):
        (x, y), radius = r.at_mm, r.radius_mm
        rows.append((f"roller {i}", tenth(x), tenth(y), f"Ø{tenth(2.0 * radius)}", tenth(y + radius)))
    heads = ("what", "forward", "up", "its face", "track passes at")
    return table("Axles, from the datums", heads, rows, most_mm)


def _idler(stood: Stood, track: Track, most_mm: float) -> Laid:
    rows = [(what, tenth(x)) for what, x in idler_places(stood, track)]
    return table("Idler's axle, from the tail datum", ("where", "forward"), rows, most_mm)


def _remarks(stood: Stood, track: Track) -> list[str]:
    found = []
    at = stood.at.assembly.idler_mm
    file_x = track.idler.at_mm[0]
    if at is not None and abs(at[0] - file_x) > 0.05:
        out = (at[0] - file_x) * track.idler_sign
        found.append(
            f"To set the track as the file has it, the idler is moved {tenth(abs(out))} {'out' if out > 0 else 'in'} "
            "from its place there."
        )
    spring = track.idler.tensioner
    if spring is not None:
        found.append(
            f"Tensioner's spring, one side: {spring.rate_N_per_mm:g} N/mm, preload {spring.preload_N:g} N, travel "
            f"{tenth(spring.travel_mm)}. The spring is drawn where it pushes, not as it is made."
        )
    found.append("Webs and rims of sprocket and idler are drawn as a guess: no field has them.")
    missing = left_out_of_run(track)
    if missing:
        found.append(f"Not given, drawn by a guess: {'; '.join(missing)}.")
    return found
