"""What stands where at one row of a run, in course millimetres: pure geometry from the record.

Nothing here knows of pixels, colours or time. Wheel centres, loads, stop forces are the recorded ones; arms,
brackets, springs and band are the model's parts at the recorded pose.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from trundle.engine.band_shape import BandShape, BandTracer
from trundle.fields.shape import Shape
from trundle.findings.states import track_is_loose, wheel_is_off
from trundle.model.assembly import Assembly
from trundle.record.columns import ENDS
from trundle.units import DEG, MM
from trundle_viewer.shapes import bracket, hull_shades

Points = NDArray[np.float64]

SHADES = 14
"""Bands of shade on the hull's side."""


@dataclass(frozen=True)
class ArmView:
    """One arm or beam. pivot, tip: (x, y) [mm]; bump, droop: direction to the tip at the stops [rad, course
    axes]; angle_deg and its stops as the builder states them; stop_N > 0 on the bump stop, < 0 on droop."""

    name: str
    pivot: tuple[float, float]
    tip: tuple[float, float]
    shapes: tuple[Shape, ...]
    bump: float
    droop: float
    angle_deg: float
    bump_deg: float
    droop_deg: float
    stop_N: float


@dataclass(frozen=True)
class WheelView:
    """One road-wheel station. load_N: one wheel; gap_mm: off the band; turn [rad], anticlockwise."""

    name: str
    x: float
    y: float
    radius: float
    turn: float
    load_N: float
    off: bool
    gap_mm: float


@dataclass(frozen=True)
class RoundView:
    """Sprocket, idler or return roller."""

    what: str
    x: float
    y: float
    radius: float
    turn: float
    teeth: int = 0
    load_N: float = 0.0


@dataclass(frozen=True, eq=False)
class Scene:
    """Everything to draw at one row [mm]. shades: corners of the bands of shade on the hull's side, one after
    the other; shade_ends: where each band ends in them."""

    time_s: float
    row: int
    hull_x: float
    hull_y: float
    pitch_rad: float
    hull: Points
    shades: Points
    shade_ends: tuple[int, ...]
    belly: Points
    seat: Points
    com: tuple[float, float]
    brackets: tuple[Points, ...]
    struts: tuple[Points, ...]
    arms: tuple[ArmView, ...]
    springs: tuple[Shape, ...]
    wheels: tuple[WheelView, ...]
    rounds: tuple[RoundView, ...]
    band: BandShape | None
    slack: bool
    spare_mm: float
    belly_N: float


class Rows(Protocol):
    """What a scene is made of: a film, or a vehicle that only stands. Columns as of a run's timeline."""

    @property
    def assembly(self) -> Assembly: ...
    def at(self, name: str, row: int) -> float: ...
    def time(self, row: int) -> float: ...
    def travel_mm(self, row: int) -> float: ...


class SceneMaker:
    """Builds scenes of one film. Keeps what does not change between rows."""

    def __init__(self, film: Rows) -> None:
        self.film = film
        a = self.assembly = film.assembly
        v = a.vehicle
        self.com = np.array(a.com) / MM
        bands, outline = hull_shades(v.hull, SHADES)
        self._hull = outline - self.com
        self._shades = np.concatenate(bands) - self.com
        self._shade_ends = tuple(np.cumsum([len(b) for b in bands]).tolist())
        self._belly = np.array(v.hull.belly_mm) - self.com
        self._seat = np.array(v.hull.seat_mm) + np.array(
            [[-150.0, 120.0], [-120.0, 130.0], [-95.0, 14.0], [95.0, 14.0], [95.0, -8.0], [-125.0, -8.0]]
        ) - self.com  # fmt: skip
        self.joints = [f"arm.{j}.angle_deg" for j in a.joint]
        belly = float(np.min(np.array(v.hull.belly_mm)[:, 1]))
        self._brackets = []
        for name in v.bogie:
            held = [p for p in a.parts.swings if p.bogie == name and p.parent == 0]
            self._brackets.append(bracket(held, belly) - self.com)
        self.radius = [v.wheel[kind].radius_mm for kind in a.wheel_kind]
        self.tracer = BandTracer(a) if v.track is not None else None
        self._last: tuple[int, Scene] | None = None

    @cached_property
    def height_mm(self) -> float:
        """How high it stands in the film's first row, from its lowest wheel to its roof or seat [mm]."""
        s = self.make(0)
        top = max(float(s.hull[:, 1].max()), float(s.seat[:, 1].max()))
        return top - min(w.y - w.radius for w in s.wheels)

    def _end_struts(self, pressed_mm: float) -> list[Points]:
        """Plates that carry sprocket and idler where they stand clear of the hull."""
        a = self.assembly
        if a.vehicle.track is None:
            return []
        left, right = float(self._hull[:, 0].min()), float(self._hull[:, 0].max())
        out = []
        for end, ring in zip(ENDS, a.model.rings[a.model.road :], strict=True):
            moved = pressed_mm * float(a.model.band.tensioner_x) if end == "idler" else 0.0
            x, y = ring.x / MM - moved, ring.y / MM
            inside = min(max(x, left + 130.0), right - 130.0)
            out.append(np.array([[x, y - 18.0], [inside, y - 46.0], [inside, y + 60.0], [x, y + 18.0]]))
        return out

    def _pressed_mm(self, row: int, here: Points, pitch: float) -> float:
        """How far the tensioner's idler is pressed in, from where it was recorded; 0 without a tensioner.

        (The timeline's own column is what the step found at its end: one step ahead of the places.)
        """
        model = self.assembly.model
        outward = float(model.band.tensioner_x)
        if outward == 0.0:
            return 0.0
        away = np.array([self.film.at("idler.x_mm", row), self.film.at("idler.y_mm", row)]) - here
        along = math.cos(pitch) * away[0] + math.sin(pitch) * away[1]
        pressed = (float(model.rings[model.road + 1].x) / MM - float(along)) * outward
        # A film keeps single precision: places 20 m on are good to 0.002 mm.
        return pressed if pressed > 0.02 else 0.0

    def make(self, row: int) -> Scene:
        """The scene at a row."""
        if self._last is not None and self._last[0] == row:
            return self._last[1]
        scene = self._make(row)
        self._last = (row, scene)
        return scene

    def _make(self, row: int) -> Scene:
        film = self.film
        x, y, pitch = (film.at(n, row) for n in ("hull.x_mm", "hull.y_mm", "hull.pitch_deg"))
        pitch *= DEG
        c, s = math.cos(pitch), math.sin(pitch)
        turn = np.array([[c, s], [-s, c]])
        here = np.array([x, y])
        angle = [film.at(n, row) * DEG for n in self.joints]
        frames = self._frames(here, pitch, turn, angle)
        arms = self._arms(row, angle, frames)
        wheels = tuple(self._wheels(row))
        band: BandShape | None = None
        rounds: tuple[RoundView, ...] = ()
        slack, spare, pressed = False, 0.0, 0.0
        if self.tracer is not None:
            q = np.array([x * MM, y * MM, pitch, *angle])
            pressed = self._pressed_mm(row, here, pitch)
            band = self.tracer.shape(q, film.at("track.sag_mm", row), film.travel_mm(row), pressed)
            rounds = tuple(self._rounds(row, here, turn, pitch))
            spare = film.at("track.spare_mm", row)
            slack = bool(track_is_loose(film.at("track.slack_N", row), spare))
        return Scene(
            time_s=film.time(row), row=row, hull_x=x, hull_y=y, pitch_rad=pitch,
            hull=self._hull @ turn + here,
            shades=self._shades @ turn + here, shade_ends=self._shade_ends,
            belly=self._belly @ turn + here,
            seat=self._seat @ turn + here,
            com=(x, y),
            brackets=tuple(b @ turn + here for b in self._brackets),
            struts=tuple(b @ turn + here for b in self._end_struts(pressed)),
            arms=arms,
            springs=tuple(self._springs(row, pitch, angle, frames)),
            wheels=wheels, rounds=rounds, band=band, slack=slack, spare_mm=spare,
            belly_N=film.at("belly.load_N", row),
        )  # fmt: skip

    def _frames(self, here: Points, pitch: float, turn: Points, angle: list[float]) -> list[tuple[Points, float]]:
        """Pivot [mm] and body angle [rad] of every swing part."""
        out: list[tuple[Points, float]] = []
        for part, a in zip(self.assembly.parts.swings, angle, strict=True):
            at = np.array([part.pivot_x, part.pivot_y]) / MM
            if part.parent == 0:
                pivot, own = here + (at - self.com) @ turn, pitch
            else:
                base, own = out[part.parent - 1]
                c, s = math.cos(own), math.sin(own)
                pivot = base + at @ np.array([[c, s], [-s, c]])
            out.append((pivot, own - part.sign * a))
        return out

    def _arms(self, row: int, angle: list[float], frames: list[tuple[Points, float]]) -> tuple[ArmView, ...]:
        views = []
        for part, a, (pivot, own) in zip(self.assembly.parts.swings, angle, frames, strict=True):
            c, s = math.cos(own), math.sin(own)
            r = part.radius / MM
            tip = (pivot[0] + part.sign * r * c, pivot[1] + part.sign * r * s)
            shapes = tuple(shape.moved(own, pivot) for shape in part.shapes)
            base = 0.0 if part.sign > 0.0 else math.pi
            level = own + part.sign * a + base
            views.append(
                ArmView(
                    part.name, (float(pivot[0]), float(pivot[1])), tip, shapes,
                    level - part.sign * part.bump, level - part.sign * part.droop,
                    a / DEG, part.bump / DEG, part.droop / DEG, self.film.at(f"arm.{part.name}.stop_N", row),
                )
            )  # fmt: skip
        return tuple(views)

    def _wheels(self, row: int) -> list[WheelView]:
        film, tracked = self.film, self.tracer is not None
        travel = film.travel_mm(row)
        out = []
        for name, radius in zip(self.assembly.wheel, self.radius, strict=True):
            load = film.at(f"wheel.{name}.load_N", row)
            gap = film.at(f"wheel.{name}.band_gap_mm", row) if tracked else 0.0
            out.append(
                WheelView(
                    name, film.at(f"wheel.{name}.x_mm", row), film.at(f"wheel.{name}.y_mm", row), radius,
                    -math.fmod(travel / radius, 2.0 * math.pi), load, bool(wheel_is_off(load)), gap,
                )
            )  # fmt: skip
        return out

    def _rounds(self, row: int, here: Points, turn: Points, pitch: float) -> list[RoundView]:
        track = self.assembly.vehicle.track
        assert track is not None
        travel = self.film.travel_mm(row)
        sprocket = track.sprocket_radius_m / MM
        sizes = ((sprocket, track.sprocket.teeth), (track.idler.radius_mm, 0))
        out = []
        for end, (radius, teeth) in zip(ENDS, sizes, strict=True):
            out.append(
                RoundView(
                    end, self.film.at(f"{end}.x_mm", row), self.film.at(f"{end}.y_mm", row), radius,
                    pitch - math.fmod(travel / radius, 2.0 * math.pi), teeth,
                    self.film.at(f"{end}.load_N", row),
                )
            )  # fmt: skip
        for roller in track.roller:
            p = here + (np.array(roller.at_mm) - self.com) @ turn
            spin = math.fmod(travel / roller.radius_mm, 2.0 * math.pi)
            out.append(RoundView("roller", float(p[0]), float(p[1]), roller.radius_mm, pitch - spin))
        return out

    def _springs(
        self, row: int, pitch: float, angle: list[float], frames: list[tuple[Points, float]]
    ) -> list[Shape]:  # fmt: skip
        parts = self.assembly.parts
        out: list[Shape] = []
        for place in parts.springs:
            torques = tuple(self.film.at(f"arm.{parts.swings[k].name}.spring_Nm", row) for k in place.swings)
            middle = np.mean([frames[k][0] for k in place.swings], axis=0)
            found = place.shapes(tuple(angle[k] for k in place.swings), torques)
            out += [shape.moved(pitch, middle) for shape in found]
        return out


def standing_load_N(assembly: Assembly) -> float:
    """An even share of the weight for one wheel [N]: what load arrows are scaled by."""
    return assembly.weight_N / sum(assembly.per_station)
