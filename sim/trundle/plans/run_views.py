"""The track's run: the whole loop standing; the idler with its tensioner; sprocket's and idler's axles, cut."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from trundle.drawing.pens import Pen
from trundle.elevation.pose import Pose, Round
from trundle.fields.sketch import Around, Span, Turn
from trundle.fields.sketch import Round as RoundMark
from trundle.plans.assembled import Line, named, tenth, view_of
from trundle.plans.ink import Centre, Ink, Path, Ring, Toned, round_points
from trundle.plans.stood import Stood
from trundle.plans.view import Dim, Stop, Tape, View
from trundle.spec.track import Track
from trundle.units import MM

ON_RING_MM = 0.02
"""A point of the track's face lies on a wheel's ring if it is no further off."""


def run(stood: Stood, track: Track) -> View:
    """The whole track from the side, without hull and arms."""
    pose = stood.pose
    shapes = [s for s in stood.seen if s.part in ("track", "links", "end", "roller", "wheel")]
    thick = track.thickness_mm
    dims: list[Dim] = []
    lines: list[Line] = []
    for end in pose.ends:
        lines += _cross(end, 14.0)
        wrap = wrapped(pose, end, thick)
        if wrap is not None:
            name, (a, b) = f"run.{end.name} wrap", wrap
            dims.append(named(name, (f"{b - a:.0f}° wrapped",), Turn("", (end.x, end.y), 1.9 * end.radius, a, b)))
            for turn in wrap:
                reach = end.radius + thick
                c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
                lines.append((((end.x, end.y), (end.x + reach * c, end.y + reach * s)), "axis"))
    sprocket, idler = pose.ends
    pitch_radius = track.sprocket_radius_m / MM
    lines.append((round_points((sprocket.x, sprocket.y), pitch_radius, 0.0, 360.0), "axis"))
    words = (f"Ø{tenth(2.0 * pitch_radius)} pitch circle, {track.sprocket.teeth} teeth",)
    dims.append(
        named("run.pitch circle", words, RoundMark("", (sprocket.x, sprocket.y), pitch_radius, "diameter", 200.0))
    )
    idler_words = (f"Ø{tenth(2.0 * idler.radius)} idler",)
    dims.append(named("run.idler", idler_words, RoundMark("", (idler.x, idler.y), idler.radius, "diameter", -20.0)))
    for i, roller in enumerate(track.roller, 1):
        mark = RoundMark("", roller.at_mm, roller.radius_mm, "diameter", -120.0)
        dims.append(named(f"run.roller {i}", (f"Ø{tenth(2.0 * roller.radius_mm)}",), mark))
    if pose.sag is not None:
        chord, hung = pose.sag
        dims.append(named("run.sag", (f"sag {tenth(math.dist(chord, hung))}",), Span("", chord, hung)))
    return view_of("Track run, standing", pose, shapes, dims, (), list(_tapes(stood, track)), lines)


def _cross(r: Round, more: float) -> list[Line]:
    reach = r.radius + more
    return [
        (((r.x - reach, r.y), (r.x + reach, r.y)), "axis"),
        (((r.x, r.y - reach), (r.x, r.y + reach)), "axis"),
    ]


def _tapes(stood: Stood, track: Track) -> Iterator[Tape]:
    """From the datums: axles along above, heights on both sides."""
    pose = stood.pose
    along = [Stop(f"run.forward.{e.name}", (e.x, e.y), f"{tenth(e.x)}  {e.name}") for e in pose.ends]
    heights = [Stop(f"run.up.{e.name}", (e.x, e.y), f"{tenth(e.y)}  {e.name}") for e in pose.ends]
    for i, r in enumerate(track.roller, 1):
        x, y = r.at_mm
        name = f"roller {i}" if len(track.roller) > 1 else "roller"
        along.append(Stop(f"run.forward.{name}", (x, y), f"{tenth(x)}  {name}"))
        heights.append(Stop(f"run.up.{name}", (x, y), f"{tenth(y)}  {name}"))
    if pose.sag is not None:
        x = pose.sag[0][0]
        along.append(Stop("run.forward.sag", pose.sag[0], f"{tenth(x)}  measure sag here"))
    yield Tape("above", "tail datum, run", (0.0, 0.0), tuple(sorted(along, key=lambda s: s.at[0])))
    middle = 0.5 * sum(e.x for e in pose.ends)
    for side, left in (("left", True), ("right", False)):
        own = tuple(sorted((h for h in heights if (h.at[0] <= middle) == left), key=lambda s: s.at[1]))
        if own:
            yield Tape("left" if left else "right", f"belly datum, run {side}", (0.0, 0.0), own)


def wrapped(pose: Pose, end: Round, thick: float) -> tuple[float, float] | None:
    """From which to which direction the track lies on an end's ring, anticlockwise from forward [deg]; None where it
    does not touch."""
    assert pose.outer is not None
    out = pose.outer - np.array([end.x, end.y])
    on = np.abs(np.hypot(out[:, 0], out[:, 1]) - end.radius - thick) < ON_RING_MM
    if int(on.sum()) < 2:
        return None
    # All of its points are on one side: measured about the direction away from the other end.
    away = 180.0 if end.x < 0.5 * sum(e.x for e in pose.ends) else 0.0
    turns = np.degrees(np.arctan2(out[on, 1], out[on, 0])) - away
    turns = (turns + 180.0) % 360.0 - 180.0 + away
    return float(turns.min()), float(turns.max())


def tensioner(stood: Stood, track: Track) -> View:
    """The idler where it stands, at its outmost and at its stop."""
    pose, at = stood.pose, stood.at
    idler = next(e for e in pose.ends if e.name == "idler")
    assert at.assembly.idler_mm is not None
    sign, r = track.idler_sign, track.idler.radius_mm
    # About where it stands.
    out_x, y = at.assembly.idler_mm[0] - idler.x, 0.0
    ink: list[Ink] = [Ring((0.0, 0.0), r, "cut")]
    if track.idler.axle_mm is not None:
        ink.append(Ring((0.0, 0.0), 0.5 * track.idler.axle_mm, "cut", cross=False))
    dims: list[Dim] = []
    spring = track.idler.tensioner
    if spring is not None:
        stop_x = out_x - sign * spring.travel_mm
        for x in (out_x, stop_x):
            ink.append(Path(round_points((x, y), r, 0.0, 360.0), "hidden"))
            ink.append(Centre((x, y - 0.5 * r), (x, y + 0.5 * r)))
        spans = [("travel", stop_x, out_x, "travel"), ("pressed", 0.0, out_x, "pressed in, standing")]
        spans.append(("left", stop_x, 0.0, "left to the stop"))
        for name, a, b, words in spans:
            if abs(b - a) > 0.05:
                mark = Span("", (a, y), (b, y), "x")
                dims.append(named(f"tensioner.{name}", (f"{tenth(abs(b - a))} {words}",), mark))
        ink += _coil(stop_x, 0.0, y, r, sign)
    dims.append(named("tensioner.idler", (f"Ø{tenth(2.0 * r)}",), RoundMark("", (0.0, 0.0), r, "diameter", 60.0)))
    title = "Tensioner, the hull to the " + ("left" if sign > 0 else "right") if spring is not None else "Idler"
    return View(title, tuple(ink), tuple(dims))


def idler_places(stood: Stood, track: Track) -> list[tuple[str, float]]:
    """Where the idler's axle is, from the tail datum [mm]: standing, and where it can be."""
    at = stood.at.assembly.idler_mm
    assert at is not None
    found = [
        ("standing", next(e.x for e in stood.pose.ends if e.name == "idler")),
        ("as in the file", track.idler.at_mm[0]),
    ]
    spring = track.idler.tensioner
    if spring is not None:
        found += [("all the way out", at[0]), ("at its stop", at[0] - track.idler_sign * spring.travel_mm)]
    return found


def _coil(stop_x: float, idler_x: float, y: float, r: float, sign: float) -> list[Ink]:
    """A spring between the stop and a seat on the hull's side of the idler: where it pushes, not how it is made."""
    begin, seat = idler_x - sign * 0.45 * r, stop_x - sign * 1.7 * r
    turns = np.linspace(begin, seat, 13)
    points = tuple((float(x), y + (0.16 * r if k % 2 else -0.16 * r)) for k, x in enumerate(turns))
    pen: Pen = "thin"
    wall = ((seat, y - 0.4 * r), (seat, y + 0.4 * r))
    return [Path(points, pen), Path(wall, "cut"), Path(((idler_x, y), (begin, y)), pen)]


def ends_cut(stood: Stood, track: Track) -> list[View]:
    """Sprocket and idler cut through their axles, seen along the hull: bearing on the left. Only what the file gives
    has a dimension."""
    around = Around(
        track_width_mm=track.width_mm, track_thickness_mm=track.thickness_mm, pitch_mm=track.pitch_mm,
        sign=track.idler_sign,
    )  # fmt: skip
    found = []
    for name, end in (("sprocket", track.sprocket), ("idler", track.idler)):
        sketch = next(s for s in end.sketches(around) if s.view == "section")
        dims: list[Dim] = []
        for mark in sketch.marks:
            value = getattr(end, mark.field)
            if isinstance(mark, Span) and mark.field in end.model_fields_set and value:
                words = {"axle_mm": f"Ø{tenth(value)}", "overhang_mm": tenth(value)}.get(mark.field, tenth(value))
                dims.append(named(f"{name}.{mark.field}", (words,), mark))
        low = track.sprocket_radius_m / MM if name == "sprocket" else track.idler.radius_mm
        dims += _width_dim(name, end.overhang_mm, low, track)
        found.append(View(f"{name.capitalize()}'s axle, cut", (Toned(sketch.shapes),), tuple(dims)))
    return found


def _width_dim(name: str, overhang: float | None, radius: float, track: Track) -> Sequence[Dim]:
    out = overhang if overhang is not None else 0.5 * track.width_mm + 15.0
    top = radius + track.thickness_mm
    a, b = (out - 0.5 * track.width_mm, top), (out + 0.5 * track.width_mm, top)
    return [named(f"{name}.track width", (f"{tenth(track.width_mm)} track",), Span("", a, b, "x"))]


def left_out_of_run(track: Track) -> list[str]:
    """What is not given and drawn by a guess, and which field would add it."""
    found = []
    for name, end in (("sprocket", track.sprocket), ("idler", track.idler)):
        if end.axle_mm is None:
            found.append(f"the {name}'s axle (track.{name}.axle_mm)")
        if end.overhang_mm is None:
            found.append(f"how far the {name} stands out from its bearing (track.{name}.overhang_mm)")
    return found
