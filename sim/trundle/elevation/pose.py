"""How a vehicle is put for its drawing: arms, level ground under it, the track as it lies; all in the hull's axes [mm].

Standing, all arms at one of their stops, or, of a file that is refused, as if in the middle of their travel.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from trundle.bogies.parts import Parts
from trundle.engine.band_shape import BandTracer
from trundle.engine.standing import Standing
from trundle.fields.shape import Points
from trundle.fields.sketch_parts import hull_of
from trundle.law.ask import forces_at_rest
from trundle.law.named import State
from trundle.law.scratch import Scratch, new_scratch
from trundle.model.arrays import DEEPEST_SAG, Floats
from trundle.model.assembly import Assembly
from trundle.spec.vehicle import Vehicle
from trundle.units import MM

How = Literal["standing", "bump", "droop", "middle"]

_REST = 60
"""Times that the law is asked at one place, so that the track's tension and its tensioner come to rest."""


@dataclass(frozen=True)
class Round:
    """A wheel or end of the track: its axle and radius, the track on it not counted [mm]."""

    name: str
    kind: str
    x: float
    y: float
    radius: float


@dataclass(frozen=True, eq=False)
class Pose:
    """arms_rad: of each swing part, below the hull's horizontal. pitch_rad: of the hull over level ground, nose up;
    ground_mm: height of the belly datum over the ground at the tail datum, measured square to the ground. outer,
    inner: the track's two faces as closed lines, (n, 2); pins: where its links meet, (links, 2, 2); sag: middle of the
    chord of its longest top span, and of the span itself, both on the ground face. A track without pins is drawn taut:
    nobody has worked out how it hangs."""

    how: How
    arms_rad: tuple[float, ...]
    wheels: tuple[Round, ...]
    ends: tuple[Round, ...] = ()
    pitch_rad: float = 0.0
    ground_mm: float = 0.0
    outer: Points | None = None
    inner: Points | None = None
    pins: Points | None = None
    sag: tuple[tuple[float, float], tuple[float, float]] | None = None

    def ground_at(self, x_mm: float) -> float:
        """Height of the ground line in the hull's axes at a place along the hull [mm]."""
        return -self.ground_mm / math.cos(self.pitch_rad) - x_mm * math.tan(self.pitch_rad)

    def on_ground(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        """A place in the hull as seen with the ground level: along it from below the tail datum, and above it [mm]."""
        c, s = math.cos(self.pitch_rad), math.sin(self.pitch_rad)
        return c * x_mm - s * y_mm, s * x_mm + c * y_mm + self.ground_mm


def standing_pose(at: Standing) -> Pose:
    """The vehicle at rest."""
    return _posed(at.assembly, "standing", np.array(at.q), at.state, at.scratch)


def stop_pose(assembly: Assembly, how: Literal["bump", "droop"]) -> Pose:
    """All arms at their stops, beams level where theirs let them, on what then touches the ground first."""
    swings = assembly.parts.swings
    arms = [_at_stop(assembly.parts, j, how) for j in range(len(swings))]
    wheels = wheels_at(assembly.vehicle, assembly.parts, arms)
    thick = _thick(assembly.vehicle)
    touching = [(w.x, w.y, w.radius + thick) for w in wheels]
    if assembly.vehicle.track is not None:
        touching += [(e.x, e.y, e.radius + thick) for e in _ends(assembly)]
    touching += [(x, y, 0.0) for x, y in assembly.vehicle.hull.belly_mm]
    height, pitch = resting_on(touching, assembly.com[0] / MM)
    q = np.array([*_hull_at(assembly, height, pitch), pitch, *arms])
    scratch, state = new_scratch(assembly.model), State.of(assembly)
    return _posed(assembly, how, q, state, scratch)


def middle_pose(vehicle: Vehicle, parts: Parts) -> Pose:
    """Arms in the middle of their travel, on ground as it would then lie: of a vehicle that does not stand."""
    arms = [0.5 * (p.bump + p.droop) for p in parts.swings]
    wheels = wheels_at(vehicle, parts, arms)
    thick = _thick(vehicle)
    height = -min((w.y - w.radius - thick for w in wheels), default=0.0)
    ends: tuple[Round, ...] = ()
    outer = inner = None
    if (track := vehicle.track) is not None:
        ends = (
            Round("sprocket", "sprocket", *track.sprocket.at_mm, _sprocket_mm(vehicle)),
            Round("idler", "idler", *track.idler.at_mm, track.idler.radius_mm),
        )
        over = [Round("roller", "roller", *r.at_mm, r.radius_mm) for r in track.roller]
        outer = taut([(r.x, r.y, r.radius + thick) for r in (*wheels, *ends, *over)])
        inner = taut([(r.x, r.y, r.radius) for r in (*wheels, *ends, *over)])
    return Pose("middle", tuple(arms), wheels, ends, 0.0, height, outer, inner)


def _posed(assembly: Assembly, how: How, q: Floats, state: State, scratch: Scratch) -> Pose:
    arms = [float(a) for a in q[3:]]
    wheels = wheels_at(assembly.vehicle, assembly.parts, arms)
    pitch = float(q[2])
    c, s = math.cos(pitch), math.sin(pitch)
    com = np.array(assembly.com)
    height = float(q[1]) - s * float(com[0]) - c * float(com[1])
    if assembly.vehicle.track is None:
        return Pose(how, tuple(arms), wheels, (), pitch, height / MM)
    if how != "standing":
        for _ in range(_REST):
            forces_at_rest(assembly.model, state, q, scratch)
    band = assembly.model.band
    tension = max(state["band.tension_N"], 1e-3)
    sag = min(float(band.weight) * float(band.longest) ** 2 / (8.0 * tension), DEEPEST_SAG * float(band.longest))
    pressed = state["band.idler_shift_m"]
    tracer = BandTracer(assembly)
    shape = tracer.shape(q, sag / MM, 0.0, pressed / MM)
    x, y, tx, ty, long = (float(v) for v in max(tracer.top_spans, key=lambda span: float(span[4])))
    middle = (x + 0.5 * long * tx + com[0]) / MM, (y + 0.5 * long * ty + com[1]) / MM
    # It hangs towards the ground, which is not the hull's down where it stands nose up.
    hung = middle[0] - s * sag / MM, middle[1] - c * sag / MM
    turn = np.array([[c, -s], [s, c]])

    def in_hull(points: Points) -> Points:
        """From the world [mm]; turned back about the centre of mass."""
        return np.asarray((points - q[:2] / MM) @ turn + com / MM)

    return Pose(
        how,
        tuple(arms),
        wheels,
        _ends(assembly, pressed),
        pitch,
        height / MM,
        in_hull(shape.outer),
        in_hull(shape.inner),
        in_hull(shape.pins.reshape(-1, 2)).reshape(-1, 2, 2),
        (middle, hung),
    )


def _hull_at(assembly: Assembly, height_mm: float, pitch: float) -> tuple[float, float]:
    """Where the centre of mass is with the tail datum over the course's start [m]."""
    x, y = assembly.com
    c, s = math.cos(pitch), math.sin(pitch)
    return c * x - s * y, s * x + c * y + height_mm * MM


def _at_stop(parts: Parts, j: int, how: Literal["bump", "droop"]) -> float:
    """An arm at its stop; a beam level with the hull, or, on an arm, in the middle of what its stops let it rock."""
    part = parts.swings[j]
    if part.what == "beam":
        if not part.parent:
            return 0.0
        # Level ground holds both its wheels: it lies level, unless its stops hold it.
        carrier = parts.swings[part.parent - 1]
        level = -carrier.sign * _at_stop(parts, part.parent - 1, how) * part.sign
        return min(max(level, part.bump), part.droop)
    return part.bump if how == "bump" else part.droop


def pivots_at(parts: Parts, arms_rad: Sequence[float]) -> list[tuple[float, float, float]]:
    """Pivot of each swing part in the hull [mm], and how it is turned from level, anticlockwise [rad]."""
    found: list[tuple[float, float, float]] = []
    for part, angle in zip(parts.swings, arms_rad, strict=True):
        x, y, turn = found[part.parent - 1] if part.parent else (0.0, 0.0, 0.0)
        c, s = math.cos(turn), math.sin(turn)
        px, py = part.pivot_x / MM, part.pivot_y / MM
        found.append((x + c * px - s * py, y + s * px + c * py, turn - part.sign * angle))
    return found


def wheels_at(vehicle: Vehicle, parts: Parts, arms_rad: Sequence[float]) -> tuple[Round, ...]:
    """The road wheels, from front to rear."""
    found = []
    for part, (x, y, turn) in zip(parts.swings, pivots_at(parts, arms_rad), strict=True):
        c, s = math.cos(turn), math.sin(turn)
        for w in part.wheels:
            wx, wy = w.x / MM, w.y / MM
            found.append(
                Round(w.name, w.kind, x + c * wx - s * wy, y + s * wx + c * wy, vehicle.wheel[w.kind].radius_mm)
            )
    return tuple(sorted(found, key=lambda r: -r.x))


def _thick(vehicle: Vehicle) -> float:
    return vehicle.track.thickness_mm if vehicle.track is not None else 0.0


def _sprocket_mm(vehicle: Vehicle) -> float:
    """Of the face that the track's inner face runs on: the pitch line is the middle of the track."""
    assert vehicle.track is not None
    return vehicle.track.sprocket_radius_m / MM - 0.5 * vehicle.track.thickness_mm


def _ends(assembly: Assembly, pressed_m: float = 0.0) -> tuple[Round, ...]:
    track = assembly.vehicle.track
    if track is None or assembly.idler_mm is None:
        return ()
    x, y = assembly.idler_mm
    x -= pressed_m / MM * float(assembly.model.band.tensioner_x)
    return (
        Round("sprocket", "sprocket", *track.sprocket.at_mm, _sprocket_mm(assembly.vehicle)),
        Round("idler", "idler", x, y, track.idler.radius_mm),
    )


def resting_on(rounds: Sequence[tuple[float, float, float]], over_x: float) -> tuple[float, float]:
    """Height of the hull's datum over level ground at x = 0 [mm], and pitch [rad], of a hull that rests on the two of
    these circles (x, y, radius) [mm] between which its centre of mass lies; on the nearest two if it lies outside."""
    best: tuple[float, float, float] | None = None
    for i, a in enumerate(rounds):
        for b in rounds[i + 1 :]:
            (x0, y0, r0), (x1, y1, r1) = (a, b) if a[0] < b[0] else (b, a)
            gap = math.hypot(x1 - x0, y1 - y0)
            if gap <= abs(r1 - r0):
                continue
            # The common tangent below both; the ground slopes by that in the hull, and the hull the other way.
            slope = math.atan2(y1 - y0, x1 - x0) - math.asin((r1 - r0) / gap)
            nx, ny = -math.sin(slope), math.cos(slope)
            height = -(x0 * nx + y0 * ny - r0)
            if any(x * nx + y * ny - r + height < -1e-6 for x, y, r in rounds):
                continue
            off = max(x0 - over_x, over_x - x1, 0.0)
            if best is None or off < best[0]:
                best = (off, height, -slope)
    if best is None:
        return -min((y - r for _, y, r in rounds), default=0.0), 0.0
    return best[1], best[2]


def taut(rounds: Sequence[tuple[float, float, float]]) -> Points:
    """The shortest closed line round some circles (x, y, radius) [mm]: their convex hull, by points on each."""
    turns = np.linspace(0.0, 2.0 * np.pi, 240, endpoint=False)
    circle = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    points = np.concatenate([np.array([[x, y]]) + r * circle for x, y, r in rounds])
    return hull_of(points)
