"""The track on paper: the whole loop from the side, its links close by, cut through, and what it runs on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from trundle.fields.shape import Points, Shape, area, disc, line
from trundle.fields.sketch import XY, Around, Mark, Note, Round, Sketch, Span, Turn
from trundle.fields.sketch_parts import arc, between, box, hull_of, placed, polar, thin, wheel

if TYPE_CHECKING:
    from trundle.spec.track import Track
    from trundle.spec.track_ends import EndWheel, Idler, Sprocket, Tensioner

TOOTH = 0.16
"""Height of a sprocket's tooth as drawn, of its pitch radius."""


def pitch_radius_mm(pitch_mm: float, links_per_tooth: int, teeth: int) -> float:
    """Pitch radius p / (2 sin(pi/N)) of a sprocket [mm] (chain drives, any machine-design handbook)."""
    return pitch_mm * links_per_tooth / (2.0 * math.sin(math.pi / teeth))


def sprocket_shapes(at: XY, radius_mm: float, teeth: int) -> tuple[Shape, ...]:
    """A toothed wheel: its teeth stand over its pitch circle."""
    low, high = radius_mm * (1.0 - 0.4 * TOOTH), radius_mm * (1.0 + 0.6 * TOOTH)
    each = 360.0 / teeth
    corners = [
        polar(at, r, each * (k + share))
        for k in range(teeth)
        for r, share in ((low, -0.38), (high, -0.16), (high, 0.16), (low, 0.38))
    ]
    return (
        area("steel", np.array(corners)),
        line("mark", arc(at, radius_mm, 0.0, 360.0)),
        disc("hole", *at, 0.1 * radius_mm),
    )


def idler_shapes(at: XY, radius_mm: float, rubber_mm: float) -> tuple[Shape, ...]:
    """A plain wheel with its rim."""
    rim = disc("rubber", *at, radius_mm), disc("steel", *at, max(radius_mm - max(rubber_mm, 0.04 * radius_mm), 0.0))
    return *rim, disc("hole", *at, 0.12 * radius_mm)


def sprocket_sketches(sprocket: Sprocket, around: Around) -> tuple[Sketch, ...]:
    """From the side, in the hull, and cut through its axle."""
    at = sprocket.at_mm
    radius = pitch_radius_mm(around.pitch_mm, sprocket.links_per_tooth, sprocket.teeth)
    each = 360.0 / sprocket.teeth
    marks = (
        *placed("at_mm", at),
        Note("teeth", polar(at, radius, 2.0 * each)),
        Note("links_per_tooth", polar(at, radius, 1.5 * each)),
        Note("end", at),
    )
    shapes = sprocket_shapes(at, radius, sprocket.teeth)
    side = Sketch("sprocket", "side", shapes, marks, in_hull=True)
    return side, _end_cut("sprocket cut through its axle", sprocket, radius, around)


def idler_sketches(idler: Idler, around: Around) -> tuple[Sketch, ...]:
    """From the side, in the hull, and cut through its axle."""
    at = idler.at_mm
    marks = (
        *placed("at_mm", at),
        Round("radius_mm", at, idler.radius_mm, towards_deg=60.0),
        Note("tensioner", polar(at, 0.4 * idler.radius_mm, 200.0)),
    )
    shapes = idler_shapes(at, idler.radius_mm, idler.rim_rubber_mm)
    side = Sketch("idler", "side", shapes, marks, in_hull=True)
    return side, _end_cut("idler cut through its axle", idler, idler.radius_mm, around)


def _end_cut(title: str, end: EndWheel, radius: float, around: Around) -> Sketch:
    """Seen along the hull: bearing on the left, the wheel out on its axle, x across the vehicle from the bearing."""
    wide = around.track_width_mm
    out = end.overhang_mm if end.overhang_mm is not None else 0.5 * wide + 15.0
    thick = end.axle_mm if end.axle_mm is not None else 0.18 * radius
    rubber, rim = end.rim_rubber_mm, 0.45 * wide
    top = radius
    shapes: list[Shape] = [
        box("steel", -12.0, -1.6 * thick, 12.0, 1.6 * thick),
        box("steel", -30.0, -0.5 * thick, out + 0.5 * rim, 0.5 * thick),
        box("steel", out - 6.0, -radius + rubber, out + 6.0, radius - rubber),
    ]
    for s in (1.0, -1.0):
        inner = s * (top - rubber)
        shapes.append(box("steel", out - 0.5 * rim, inner - s * 0.08 * radius, out + 0.5 * rim, inner))
        if rubber > 0.0:
            shapes.append(box("rubber", out - 0.5 * rim, inner, out + 0.5 * rim, s * top))
        shapes.append(box("rubber", out - 0.5 * wide, s * top, out + 0.5 * wide, s * (top + around.track_thickness_mm)))
    edge = out + 0.5 * rim
    marks: tuple[Mark, ...] = (
        Span("axle_mm", (-24.0, -0.5 * thick), (-24.0, 0.5 * thick), "y"),
        Span("overhang_mm", (0.0, 0.0), (out, 0.0), "x"),
        Span("rim_rubber_mm", (edge, top - rubber), (edge, top), "y")
        if rubber > 0.0
        else Note("rim_rubber_mm", (edge, top)),
    )
    return Sketch(title, "section", (*shapes, thin(((out, -1.2 * radius), (out, 1.2 * radius)))), marks)


def tensioner_sketches(tensioner: Tensioner, around: Around) -> tuple[Sketch, ...]:
    """The idler pushed out by its spring; its travel back from there."""
    (x, y), sign = around.at_mm, around.sign
    radius = 0.9 * around.wheel_radius_mm
    travel = tensioner.travel_mm
    back = x - sign * travel
    seat = x - sign * (travel + 1.9 * radius)
    foot = x - sign * (travel + 0.35 * radius)
    turns = np.linspace(foot, seat, 15)
    swing = np.where(np.arange(15) % 2 == 0, -1.0, 1.0) * 0.22 * radius
    coil = line("spring", np.stack([turns, y + swing], axis=1), 0.07 * radius)
    shapes = (
        *idler_shapes((x, y), radius, 0.0),
        line("mark", arc((back, y), radius, 0.0, 360.0)),
        line("steel", np.array([[seat, y], [x, y]]), 0.12 * radius),
        coil,
        box("steel", seat - sign * 0.2 * radius, y - 0.5 * radius, seat, y + 0.5 * radius),
    )
    middle = 0.5 * (foot + seat)
    marks = (
        Span("travel_mm", (x, y), (back, y), "x"),
        Note("rate_N_per_mm", (middle, y)),
        Note("preload_N", (seat, y)),
    )
    in_hull = around.at_mm != Around().at_mm
    return (Sketch("idler with its tensioner", "side", shapes, marks, in_hull=in_hull),)


def track_sketches(track: Track, around: Around) -> tuple[Sketch, ...]:
    """The loop in the hull, some links close by, and one cut through."""
    return _loop(track, around), _links(track), _link_cut(track, around)


def _rings(track: Track, around: Around) -> tuple[list[tuple[XY, float]], list[tuple[XY, float]]]:
    """(place, radius) of what is above the hull's ends, and of road wheels between them: as said, or four of them."""
    ends = [(track.sprocket.at_mm, track.sprocket_radius_m * 1e3), (track.idler.at_mm, track.idler.radius_mm)]
    ends += [(r.at_mm, r.radius_mm) for r in track.roller]
    axles: Sequence[XY] = around.axles_mm
    if not axles:
        (low, _), (high, _) = sorted(e[0] for e in ends[:2])
        axles = [(low + s * (high - low), -0.45 * around.wheel_radius_mm) for s in (0.18, 0.39, 0.61, 0.82)]
    return ends, [(a, around.wheel_radius_mm) for a in axles]


def _loop(track: Track, around: Around) -> Sketch:
    ends, road = _rings(track, around)
    rings = np.concatenate([arc(at, r + 0.5 * track.thickness_mm, 0.0, 360.0) for at, r in (*ends, *road)])
    taut = hull_of(rings)
    loop, (chord, hang) = _sagging(taut, track.sag_mm if track.sag_mm is not None else 8.0)
    sprocket, idler = track.sprocket, track.idler
    shapes: list[Shape] = [s for at, r in road for s in wheel(at, r)]
    shapes += sprocket_shapes(sprocket.at_mm, track.sprocket_radius_m * 1e3, sprocket.teeth)
    shapes += idler_shapes(idler.at_mm, idler.radius_mm, idler.rim_rubber_mm)
    shapes += [disc("steel", *r.at_mm, r.radius_mm) for r in track.roller]
    shapes.append(line("rubber", loop, track.thickness_mm))
    lowest = taut[int(np.argmin(taut[:, 1]))]
    front, rear = max(ends[:2])[0], min(ends[:2])[0]
    bottom = (0.5 * (front[0] + rear[0]), float(lowest[1]))
    sag: Mark = Span("sag_mm", chord, hang, "y") if track.sag_mm is not None else Note("sag_mm", hang)
    marks = (
        sag,
        Note("tension_N", _over(loop, 0.75)),
        Note("tension_limit_N", _over(loop, 0.6)),
        Note("links", between(bottom, (rear[0], bottom[1]), 0.35)),
        Note("mass_kg_per_m", between(bottom, (rear[0], bottom[1]), 0.15)),
        Note("rolling_drag", between(bottom, (front[0], bottom[1]), 0.25)),
        Note("sprocket", sprocket.at_mm),
        Note("idler", idler.at_mm),
        Note("roller", track.roller[0].at_mm if track.roller else hang),
        Note("end_rate_N_per_mm", polar(front, max(ends[:2])[1], -30.0)),
        Note("end_loss", polar(rear, min(ends[:2])[1], 210.0)),
    )
    return Sketch("track", "side", tuple(shapes), marks, in_hull=True)


def _over(loop: Points, share: float) -> XY:
    """A place on the top run, so far from its rear end to its front."""
    x = float(loop[:, 0].min() + share * np.ptp(loop[:, 0]))
    middle = 0.5 * (loop[:, 1].max() + loop[:, 1].min())
    top = loop[loop[:, 1] > middle]
    top = top[np.argsort(top[:, 0])]
    return x, float(np.interp(x, top[:, 0], top[:, 1]))


def _sagging(taut: Points, sag_mm: float) -> tuple[Points, tuple[XY, XY]]:
    """The closed loop with its longest top span hanging in a parabola; (middle of that span's chord, of the span)."""
    middle = 0.5 * (taut[:, 1].max() + taut[:, 1].min())
    after = np.roll(taut, -1, axis=0)
    long = np.where((taut[:, 1] > middle) & (after[:, 1] > middle), np.hypot(*(after - taut).T), 0.0)
    k = int(np.argmax(long))
    t = np.linspace(0.0, 1.0, 25)[1:-1, None]
    hung = taut[k] + t * (after[k] - taut[k]) - np.array([0.0, 4.0 * sag_mm]) * t * (1.0 - t)
    loop = np.concatenate([taut[: k + 1], hung, taut[k + 1 :], taut[:1]])
    x, y = 0.5 * (taut[k] + after[k])
    return loop, ((float(x), float(y)), (float(x), float(y) - sag_mm))


def _links(track: Track) -> Sketch:
    """Three links from the side, the wheels' face up."""
    pitch, thick, tooth = track.pitch_mm, track.thickness_mm, track.tooth_mm
    pad = _pad_mm(track)
    pin = min(0.16 * thick, 0.08 * pitch)
    body = pad + 0.5 * (thick - pad)
    shapes: list[Shape] = []
    for k in range(3):
        x = k * pitch
        shapes.append(box("steel", x + 0.03 * pitch, pad, x + 0.97 * pitch, thick))
        if pad > 0.0:
            shapes.append(box("rubber", x + 0.06 * pitch, 0.0, x + 0.94 * pitch, pad))
        if tooth > 0.0:
            low, high = 0.24 * pitch, 0.10 * pitch
            horn = [
                [x + 0.5 * pitch + d, y]
                for d, y in ((-low, thick), (low, thick), (high, thick + tooth), (-high, thick + tooth))
            ]
            shapes.append(area("steel", np.array(horn)))
    shapes += [disc("hole", k * pitch, body, pin) for k in range(4)]
    right = 3.0 * pitch
    marks: tuple[Mark, ...] = (
        Span("pitch_mm", (pitch, body), (2.0 * pitch, body), "x"),
        Span("thickness_mm", (right, thick), (right, 0.0), "y"),
        Span("tooth_mm", (1.5 * pitch, thick), (1.5 * pitch, thick + tooth), "y")
        if tooth > 0.0
        else Note("tooth_mm", (1.5 * pitch, thick)),
        Span("pad_mm", (0.0, 0.0), (0.0, pad), "y") if pad > 0.0 else Note("pad_mm", (0.5 * pitch, 0.0)),
        Note("rubber_hardness_irhd", (0.5 * pitch, 0.3 * pad)),
        Note("stretch_N", (2.5 * pitch, body)),
    )
    return Sketch("links of the track", "side", tuple(shapes), marks)


def _pad_mm(track: Track) -> float:
    """Rubber on its ground face as given, or as the model takes it."""
    if track.pad_mm is not None:
        return track.pad_mm
    return track.thickness_mm if track.stretch_N is not None else 0.5 * track.thickness_mm


def _link_cut(track: Track, around: Around) -> Sketch:
    """One link seen along the track, a pair of wheels on it."""
    half, thick, tooth, pad = 0.5 * track.width_mm, track.thickness_mm, track.tooth_mm, _pad_mm(track)
    wide = min(around.wheel_width_mm, 0.38 * track.width_mm)
    gap = max(0.12 * track.width_mm, 8.0)
    tall = min(1.4 * around.wheel_radius_mm, 0.25 * track.width_mm + tooth)
    shapes: list[Shape] = [box("steel", -half, pad, half, thick)]
    if pad > 0.0:
        shapes.append(box("rubber", -half, 0.0, half, pad))
    shapes += [box("rubber", s * gap, thick, s * (gap + wide), thick + tall) for s in (-1.0, 1.0)]
    flank = 70.0 if track.tooth_flank_deg is None else track.tooth_flank_deg
    foot, side = 0.7 * gap, (0.7 * gap, thick)
    if tooth > 0.0:
        tip = max(foot - tooth / math.tan(math.radians(flank)), 0.05 * gap)
        horn = [[-foot, thick], [foot, thick], [tip, thick + tooth], [-tip, thick + tooth]]
        shapes.append(area("steel", np.array(horn)))
    plates = [(s * 0.8 * half, 0.5 * (pad + thick)) for s in (-1.0, 1.0)]
    size = 0.25 * (thick - pad) if thick > pad else 0.2 * thick
    shapes += [box("spring", x - 2.0 * size, y - size, x + 2.0 * size, y + size) for x, y in plates]
    marks = (
        Span("width_mm", (-half, 0.0), (half, 0.0), "x"),
        Note("link_steel_mm2", plates[1]),
        Turn("tooth_flank_deg", side, 0.6 * gap, 180.0 - flank, 180.0)
        if tooth > 0.0 and track.tooth_flank_deg is not None
        else Note("tooth_flank_deg", side),
        Note("tooth_friction", (-0.55 * gap, thick + 0.4 * tooth)),
    )
    return Sketch("track seen along it, a pair of wheels on it", "section", tuple(shapes), marks)
