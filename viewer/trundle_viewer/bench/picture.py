"""The picture of the bench: the vehicle as it stands, the first state as an outline, handles, faults where they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pygame

from trundle.fields.shape import Shape
from trundle.fields.sketch import XY
from trundle.terrain.ground import Ground, lay
from trundle.units import MM
from trundle_viewer import ink
from trundle_viewer.bench.fields import unit_of, words
from trundle_viewer.bench.handles import Handle
from trundle_viewer.bench.pose import Pose
from trundle_viewer.camera import Camera
from trundle_viewer.palette import Palette, mix
from trundle_viewer.scene import Scene, SceneMaker
from trundle_viewer.stage import Stage

Surface = pygame.Surface

NEAR = 70.0
"""Handles closer than this to the pointer are shown [screen units]."""

GRASP = 13.0
"""One closer than this can be taken [screen units]."""

LOW = 0.74
"""Of the picture's height, so far down lies the ground."""


@dataclass(frozen=True)
class _Level:
    """A course with nothing on it."""

    obstacle: tuple[()] = ()
    run_up_mm: float = 30_000.0
    run_out_mm: float = 30_000.0
    speed_m_s: float | None = None
    driver: tuple[()] = ()


def level_ground() -> Ground:
    """What it stands on."""
    return lay(_Level(), 0.010)


class Picture:
    """Draws in `rect` [px]; keeps the camera, which stays where it is while parts move."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.stage = Stage(palette, u)
        self.ground = level_ground()
        self.camera = Camera((rect.left, rect.top, rect.width, rect.height), 1.0)

    def fit(self, pose: Pose) -> None:
        """The whole vehicle in the middle."""
        left, right, top = _extent(SceneMaker(pose).make(0))
        self.camera.scale = min(0.86 * self.rect.width / (right - left), 0.5 * self.rect.height / max(top, 1.0))
        self.camera.x = 0.5 * (left + right)
        self.camera.y = (LOW - 0.5) * self.rect.height / self.camera.scale

    def draw(self, to: Surface, scene: Scene, first: Scene | None) -> None:
        """Ground, the vehicle, and over it the outline of the first state."""
        cam, stage = self.camera, self.stage
        clip = to.get_clip()
        to.set_clip(self.rect)
        stage.sky(to, self.rect, cam.px(0.0, 0.0)[1] + 3.0)
        stage.grid(to, cam)
        stage.hull(to, cam, scene)
        stage.brackets(to, cam, scene)
        stage.ground(to, cam, self.ground)
        stage.rounds(to, cam, scene)
        stage.wheels(to, cam, scene)
        stage.arms(to, cam, scene)
        stage.springs(to, cam, scene)
        stage.band(to, cam, scene)
        stage.gauges(to, cam, scene)
        if first is not None:
            stage.ghost(to, cam, first)
            at = (self.rect.left + 12 * self.u, self.rect.top + 12 * self.u)
            ink.write(to, "dashed: as it was opened", at, round(12 * self.u), self.p.ghost)
        stage.metres(to, cam)
        to.set_clip(clip)

    def loads(self, to: Surface, scene: Scene, before: dict[str, float], known: bool) -> None:
        """Below each wheel what it carries, and by how much that has changed."""
        size, rows = round(11 * self.u), [-1e9, -1e9]
        for w in sorted(scene.wheels, key=lambda w: w.x):
            x, y = self.camera.px(w.x, 0.0)
            change = round(w.load_N) - round(before.get(w.name, w.load_N))
            said = f"{w.load_N:.0f} N" + (f" ({change:+d})".replace("-", "\N{MINUS SIGN}") if change else "")
            half = 0.5 * ink.text(said, size, self.p.text, True).get_width()
            row = 0 if x - half > rows[0] + 6 * self.u else 1
            rows[row] = x + half
            colour = self.p.text if known else self.p.text_dim
            ink.write(to, said, (x, y + (15 + 15 * row) * self.u), size, colour, True, "n")

    def handles(self, to: Surface, pose: Pose, found: Sequence[Handle], hover: XY, taken: Handle | None) -> None:
        """Those near the pointer, and the name of the one that a press would take (or that is held)."""
        frame = Frame(pose, self.camera)
        hot = taken if taken is not None else self.at(pose, found, hover)
        hull = frame.to_hull(hover)
        for h in found:
            at = frame.to_px(h.nearest(hull))
            if math.hypot(at[0] - hover[0], at[1] - hover[1]) > NEAR * self.u or taken is not None:
                continue
            if h.rim is not None and h is not hot:
                continue  # of circles only the one that would be taken: the tyre itself shows the others
            ink.disc(to, mix(self.p.panel, self.p.mark, 0.25), at[0], at[1], 4.0 * self.u, self.p.mark)
        if hot is not None:
            self._hot(to, frame, hot, hull)

    def _hot(self, to: Surface, frame: Frame, h: Handle, hull: XY) -> None:
        p, u = self.p, self.u
        at = frame.to_px(h.nearest(hull))
        if h.rim is not None:
            centre = frame.to_px(h.rim[0])
            for more in (-1.0, 0.0, 1.0):
                ink.ring(to, p.mark, centre[0], centre[1], h.rim[1] * self.camera.scale + more)
        ink.disc(to, p.mark, at[0], at[1], 6.0 * u, p.panel)
        said = f"{h.path}  {words(h.value)} {unit_of(h.path)}"
        size = round(13 * u)
        half = 0.5 * ink.text(said, size, p.text, True).get_width() + size
        x = min(max(at[0], self.rect.left + half + 4 * u), self.rect.right - half - 4 * u)
        y = at[1] - 26 * u if at[1] > self.rect.top + 60 * u else at[1] + 26 * u
        ink.pill(to, said, (x, y), size, p.mark, p.panel)

    def at(self, pose: Pose, found: Sequence[Handle], px: XY) -> Handle | None:
        """The handle that a press there takes: the nearest within reach; a point before a circle."""
        frame = Frame(pose, self.camera)
        hull = frame.to_hull(px)
        reach = GRASP * self.u
        best: tuple[bool, float] | None = None
        chosen = None
        for h in found:
            at = frame.to_px(h.nearest(hull))
            away = math.hypot(at[0] - px[0], at[1] - px[1])
            limit = reach if h.rim is None else 0.6 * reach
            if away <= limit and (best is None or (h.rim is not None, away) < best):
                best, chosen = (h.rim is not None, away), h
        return chosen

    def wanted(self, to: Surface, pose: Pose, shapes: Sequence[Shape]) -> None:
        """Outlines in the hull of parts that cannot be put together: where the hand wants them."""
        frame, p = Frame(pose, self.camera), self.p
        for shape in shapes:
            points = np.array([frame.to_px((float(x), float(y))) for x, y in shape.points])
            if shape.form == "disc":
                ink.ring(to, p.failed, points[0, 0], points[0, 1], shape.size_mm * self.camera.scale)
            elif len(points) > 1:
                ink.outline(to, p.failed, points, shape.form == "area")

    def faults(self, to: Surface, pose: Pose, spots: Sequence[tuple[XY, str]]) -> None:
        """Why it cannot be so, each at its place in the hull."""
        p, u, frame = self.p, self.u, Frame(pose, self.camera)
        size = round(13 * u)
        for k, (at, said) in enumerate(spots):
            x, y = frame.to_px(at)
            for r in (16.0, 17.0, 18.0):
                ink.ring(to, p.failed, x, y, r * u)
            lines = ink.wrapped(said, size, 460 * u, bold=True)
            height = (len(lines) * 19 + 10) * u
            wide = max(ink.text(line, size, p.failed, True).get_width() for line in lines) + 40 * u
            top = self.rect.top + (14 + 74 * k) * u
            left = min(max(x - 0.5 * wide, self.rect.left + 10 * u), self.rect.right - wide - 10 * u)
            box = pygame.Rect(round(left), round(top), round(wide), round(height))
            ink.line(to, p.failed, (x, y - 18 * u), (min(max(x, box.left), box.right), box.bottom), 1.5)
            ink.rounded(to, p.panel, box, round(6 * u), p.failed)
            ink.mark(to, "cross", (box.left + 15 * u, box.top + 0.5 * height), 6 * u, p.failed)
            for j, line in enumerate(lines):
                ink.write(to, line, (box.left + 30 * u, box.top + (5 + 19 * j) * u), size, p.failed, True)


class Frame:
    """Between the hull's axes (forward of the tail, above the belly) and the screen."""

    def __init__(self, pose: Pose, camera: Camera) -> None:
        self._cam = camera
        x, y, self._pitch = (float(v) for v in pose.q[:3])
        self._x, self._y = x / MM, y / MM
        self._com = pose.assembly.com[0] / MM, pose.assembly.com[1] / MM

    def to_px(self, at: XY) -> XY:
        """Pixel of a place in the hull [mm]."""
        c, s = math.cos(self._pitch), math.sin(self._pitch)
        dx, dy = at[0] - self._com[0], at[1] - self._com[1]
        return self._cam.px(self._x + c * dx - s * dy, self._y + s * dx + c * dy)

    def to_hull(self, px: XY) -> XY:
        """Place in the hull [mm] of a pixel."""
        x, y = self._cam.to_mm(*px)
        c, s = math.cos(self._pitch), math.sin(self._pitch)
        dx, dy = x - self._x, y - self._y
        return self._com[0] + c * dx + s * dy, self._com[1] - s * dx + c * dy

    def axles(self, pose: Pose) -> dict[str, XY]:
        """Where its wheels' axles stand in the hull [mm]."""
        return {
            name: self.to_hull(self._cam.px(pose.at(f"wheel.{name}.x_mm", 0), pose.at(f"wheel.{name}.y_mm", 0)))
            for name in pose.assembly.wheel
        }


def _extent(s: Scene) -> tuple[float, float, float]:
    """Left, right and top of all that is drawn [mm]."""
    circles = [(w.x, w.y, w.radius) for w in s.wheels] + [(w.x, w.y, w.radius) for w in s.rounds]
    xs = [*s.hull[:, 0], *(x - r for x, _, r in circles), *(x + r for x, _, r in circles)]
    ys = [*s.hull[:, 1], *s.seat[:, 1], *(y + r for _, y, r in circles)]
    return float(np.min(xs)), float(np.max(xs)), float(np.max(ys))
