"""Draws one scene: ground, vehicle, band, ghost."""

from __future__ import annotations

import math

import numpy as np
import pygame
from numpy.typing import NDArray

from trundle.fields.shape import Material, Shape
from trundle.findings.states import belly_is_down
from trundle.terrain.ground import Ground
from trundle.units import MM
from trundle_viewer import ink
from trundle_viewer.camera import Camera
from trundle_viewer.pair import SIGNS
from trundle_viewer.palette import Colour, Palette, mix
from trundle_viewer.scene import ArmView, Scene
from trundle_viewer.sprites import Sprites

Points = NDArray[np.float64]
Surface = pygame.Surface

FOOT = 64.0
"""Height of the plate along the foot of the picture [screen units]."""

SHORT_NAME = 4
"""An obstacle's name that is cut to so many letters says nothing."""

_TWELFTHS = np.linspace(0.0, 1.0, 12)
_QUARTERS = [np.linspace(b, b + 0.5 * math.pi, 8) for b in (0.0, math.pi)]
_SPACINGS = (50.0, 100.0, 250.0, 500.0, 1e3, 2e3, 5e3, 1e4, 5e4, 1e5)


class Stage:
    """Draws scenes with one palette at one size. `u`: screen unit, 1 px on a 1280 x 720 window."""

    def __init__(self, palette: Palette, u: float) -> None:
        self.p, self.u = palette, u
        self.sprites = Sprites(palette)
        p, black = palette, palette.tyre
        self._colours: dict[Material, tuple[Colour, Colour]] = {
            "spring": (p.spring, p.spring_edge),
            "steel": (p.steel, p.steel_edge),
            "rubber": (mix(p.spring, black, 0.5), p.spring_edge),
            "hole": (black, p.steel_edge),
            "mark": (p.spring_edge, p.spring_edge),
        }
        self._sky: Surface | None = None
        self._ground: tuple[Ground, Points, Points] | None = None

    def sky(self, to: Surface, rect: pygame.Rect, down_to: float) -> None:
        """A quiet backdrop down to a pixel row, lighter towards the ground; kept, since it never changes."""
        if self._sky is None or self._sky.get_size() != rect.size:
            strip = pygame.Surface((1, 64))
            for k in range(64):
                strip.set_at((0, k), mix(self.p.sky, self.p.sky_low, k / 63.0))
            self._sky = pygame.transform.smoothscale(
                strip.convert() if pygame.display.get_surface() else strip, rect.size
            )
        to.blit(self._sky, rect, (0, 0, rect.width, max(0, min(rect.height, round(down_to) - rect.top))))

    def _spacing(self, cam: Camera) -> float:
        """Round distance [mm] that is wide enough apart on the screen."""
        return next((d for d in _SPACINGS if d * cam.scale > 80.0 * self.u), _SPACINGS[-1])

    def grid(self, to: Surface, cam: Camera) -> None:
        """Upright lines along the course, numbered in metres, at a spacing that suits the zoom."""
        left, right, _, _ = cam.span()
        _, top, _, height = cam.rect
        step = self._spacing(cam)
        for k in range(math.floor(left / step), math.ceil(right / step) + 1):
            x, _ = cam.px(k * step, 0.0)
            pygame.draw.line(to, self.p.grid, (round(x), top), (round(x), top + height))

    def foot(self, to: Surface, cam: Camera) -> None:
        """The plate along the foot of the picture that has the course's metres, obstacles and the scale on it."""
        left, top, width, height = cam.rect
        plate = pygame.Rect(left, round(top + height - FOOT * self.u), width, math.ceil(FOOT * self.u))
        to.fill(self.p.panel, plate)
        pygame.draw.line(to, self.p.panel_edge, plate.topleft, plate.topright)

    def metres(self, to: Surface, cam: Camera) -> None:
        """The numbers to those lines, along the upper edge of the plate; one that would be cut is left out."""
        left, right, _, _ = cam.span()
        begin, top, width, height = cam.rect
        step, edge = self._spacing(cam), top + height - FOOT * self.u
        size = ink.small(11 * self.u)
        for k in range(max(math.floor(left / step), 0), math.ceil(right / step) + 1):
            x, _ = cam.px(k * step, 0.0)
            words = f"{k * step * MM:.2f} m" if step < 500.0 else f"{k * step * MM:.1f} m"
            half = 0.5 * ink.text(words, size, self.p.text_dim).get_width()
            if begin + half <= x <= begin + width - half:
                ink.line(to, self.p.text_dim, (x, edge), (x, edge + 4 * self.u))
                ink.write(to, words, (x, edge + 4 * self.u), size, self.p.text_dim, anchor="n")

    def ground(self, to: Surface, cam: Camera, ground: Ground) -> None:
        """The ground in view: a firm surface over a quieter body."""
        left, right, bottom, _ = cam.span()
        x, y = self._corners(ground)
        first, last = np.searchsorted(x, [left, right])
        first, last = max(int(first) - 1, 0), min(int(last) + 1, len(x))
        # Two points a pixel are enough.
        stride = max(1, (last - first) // (2 * cam.rect[2]))
        x, y = x[first:last:stride], y[first:last:stride]
        x = np.concatenate([[min(left - 20.0, x[0])], x, [max(right + 20.0, x[-1])]])
        y = np.concatenate([y[:1], y, y[-1:]])
        top = cam.to_px(np.stack([x, y], axis=1))
        low = min(float(top[:, 1].max()) + 2.0, cam.px(0.0, bottom)[1] + 4.0)
        top = np.clip(top, -30_000.0, 30_000.0)
        # Below the lowest point of the surface a plain fill does, which is quicker.
        to.fill(self.p.ground_deep, (cam.rect[0], round(low) - 1, cam.rect[2], cam.rect[3]))
        body = np.concatenate([top, [[top[-1, 0], low], [top[0, 0], low]]])
        pygame.draw.polygon(to, self.p.ground_deep, np.rint(body).tolist())
        firm = np.concatenate([top, (top + np.array([0.0, 12.0 * self.u]))[::-1]])
        pygame.draw.polygon(to, self.p.ground, np.rint(firm).tolist())
        pygame.draw.aalines(to, self.p.ground_edge, False, top.tolist())
        pygame.draw.lines(to, self.p.ground_edge, False, (top + np.array([0.0, 0.9])).tolist(), max(1, round(self.u)))

    def _corners(self, ground: Ground) -> tuple[Points, Points]:
        """The grid points at which the ground bends [mm]; straight stretches need no points between."""
        if self._ground is None or self._ground[0] is not ground:
            h = ground.height_m
            keep = np.ones(len(h), dtype=bool)
            keep[1:-1] = np.abs(h[2:] - 2.0 * h[1:-1] + h[:-2]) > 1e-7
            at = np.flatnonzero(keep)
            self._ground = (ground, np.asarray(at * (ground.dx_m / MM)), np.asarray(h[at] / MM))
        _, x, y = self._ground
        return x, y

    def names(self, to: Surface, cam: Camera, ground: Ground) -> None:
        """A bar for each obstacle in view, on the plate, and below it what it is called; where they stand close, a name
        is cut to the room that it has."""
        low, high = float(cam.rect[0]), float(cam.rect[0] + cam.rect[2])
        size, y = ink.small(12 * self.u), cam.rect[1] + cam.rect[3] - (FOOT - 22) * self.u
        seen = [
            (title, max(a, low), min(max(b, a + 2.0), high))
            for title, begin, end in ground.spans
            for a, b in [(cam.px(begin / MM, 0.0)[0], cam.px(end / MM, 0.0)[0])]
            if b >= low and a <= high
        ]
        middles = [0.5 * (a + b) for _, a, b in seen]
        for k, (title, a, b) in enumerate(seen):
            ink.line(to, self.p.text_dim, (a, y), (b, y), 3.0 * self.u)
            left = 0.5 * (middles[k - 1] + middles[k]) if k else low
            right = 0.5 * (middles[k] + middles[k + 1]) if k + 1 < len(seen) else high
            words = ink.shortened(title, size, right - left - 8 * self.u, True)
            half = 0.5 * ink.text(words, size, self.p.text_dim, True).get_width()
            middle = min(max(middles[k], left + half + 4 * self.u), right - half - 4 * self.u)
            if len(words) > SHORT_NAME or words == title:
                ink.write(to, words, (middle, y + 2 * self.u), size, self.p.text_dim, True, "n")

    def hull(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Hull side shaded from belly to roof, plates that hold the track's ends, seat, centre of mass."""
        p = self.p
        for strut in s.struts:
            ink.fill(to, p.hull_dark, cam.to_px(strut), mix(p.hull_dark, p.hull_edge, 0.5))
        corners, begin = np.rint(cam.to_px(s.shades)).tolist(), 0
        for k, end in enumerate(s.shade_ends):
            if end - begin > 2:
                colour = mix(p.hull_dark, p.hull, k / (len(s.shade_ends) - 1.0))
                pygame.draw.polygon(to, colour, corners[begin:end])
            begin = end
        ink.fill(to, mix(p.hull, p.hull_dark, 0.55), cam.to_px(s.seat), mix(p.hull, p.hull_edge, 0.5))
        body = cam.to_px(s.hull)
        ink.outline(to, p.hull_edge, body)
        ink.outline(to, mix(p.hull_edge, p.hull, 0.4), body + np.array([0.0, 1.0]))
        # The belly plate is what meets the ground: a heavier line.
        ink.path(to, p.stop if belly_is_down(s.belly_N) else p.hull_edge, cam.to_px(s.belly), max(2.0, 2.0 * self.u))
        x, y = cam.px(*s.com)
        r = 7.0 * self.u
        ink.disc(to, p.panel, x, y, r, p.text)
        for part in _QUARTERS:
            a = part - s.pitch_rad
            quarter = np.stack([x + r * np.cos(a), y + r * np.sin(a)], axis=1)
            ink.fill(to, p.text, np.concatenate([[[x, y]], quarter]))

    def brackets(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Plates that hold the pivots."""
        for b in s.brackets:
            ink.fill(
                to,
                mix(self.p.hull_dark, self.p.steel, 0.3),
                cam.to_px(b),
                mix(self.p.hull_edge, self.p.hull_dark, 0.4),
            )

    def springs(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Each spring as what it is."""
        for shape in s.springs:
            self._shape(to, cam, shape)

    def arms(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Arms and beams with their pins."""
        for arm in s.arms:
            for shape in arm.shapes:
                self._shape(to, cam, shape)

    def _shape(self, to: Surface, cam: Camera, shape: Shape) -> None:
        """One shape of a part, by its form and its material's colours."""
        fill, edge = self._colours[shape.material]
        points = cam.to_px(shape.points)
        if shape.form == "area":
            ink.fill(to, fill, points, edge)
            for between in shape.lines:
                ink.outline(to, mix(self.p.spring, self.p.tyre, 0.7), cam.to_px(between), False)
        elif shape.form == "disc":
            x, y = points[0]
            ink.disc(to, fill, x, y, shape.size_mm * cam.scale, edge)
        elif shape.size_mm > 0.0:
            width = max(2.0, shape.size_mm * cam.scale)
            ink.path(to, edge, points, width + 1.0)
            ink.path(to, fill, points, width - 1.0)
        else:
            ink.path(to, fill, points, max(1.6, 1.8 * self.u))

    def gauges(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Each arm's travel between its stops: an arc with pads at both ends, and where the arm is in it."""
        for arm in s.arms:
            self._gauge(to, cam, arm)

    def _gauge(self, to: Surface, cam: Camera, arm: ArmView) -> None:
        p, (x, y) = self.p, cam.px(*arm.pivot)
        tip = cam.px(*arm.tip)
        reach = math.hypot(tip[0] - x, tip[1] - y)
        r = 0.62 * reach
        a = arm.bump + (arm.droop - arm.bump) * _TWELFTHS
        ink.outline(to, p.text, np.stack([x + r * np.cos(a), y - r * np.sin(a)], axis=1), False)
        for angle, colour, hit in (
            (arm.bump, p.stop, arm.stop_N > 0.0),
            (arm.droop, p.droop, arm.stop_N < 0.0),
        ):
            c, sn = math.cos(angle), -math.sin(angle)
            size = (7.0 if hit else 3.5) * self.u
            width = (4.0 if hit else 2.0) * self.u
            # Pads stand across the arc: a bump pad as a solid block, a droop stop as a thin one.
            ink.line(
                to,
                colour,
                (x + (r - size) * c, y + (r - size) * sn),
                (x + (r + size) * c, y + (r + size) * sn),
                width,
            )
        now = math.atan2(y - tip[1], tip[0] - x)
        ink.disc(to, p.text, x + r * math.cos(now), y - r * math.sin(now), 2.5 * self.u)

    def wheels(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Road wheels that turn with the band; one that carries nothing gets a dashed ring."""
        for w in s.wheels:
            x, y = cam.px(w.x, w.y)
            r = w.radius * cam.scale
            self.sprites.put(to, "road", x, y, r, w.turn)
            if w.off:
                for more in (0.0, 1.0):
                    ink.dashes(to, self.p.off, ink.circle(x, y, 0.85 * r + more), 5.0 * self.u, 3.0 * self.u, True)

    def rounds(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Sprocket with its teeth, idler, rollers."""
        for w in s.rounds:
            x, y = cam.px(w.x, w.y)
            self.sprites.put(to, w.what, x, y, w.radius * cam.scale, w.turn, w.teeth)

    def band(self, to: Surface, cam: Camera, s: Scene) -> None:
        """The band between its two faces, a stroke at every pin, paint on every few links."""
        if s.band is None:
            return
        p, b = self.p, s.band
        outer, inner = cam.to_px(b.outer), cam.to_px(b.inner)
        # A belt is a ring: one polygon out along the outer face and back along the inner one.
        loop = np.concatenate([outer, outer[:1], inner[:1], inner[::-1]])
        pygame.draw.polygon(to, p.band, np.rint(loop).tolist())
        for corners in cam.to_px(b.painted.reshape(-1, 2)).reshape(-1, 4, 2):
            ink.fill(to, p.paint, corners)
        ink.outline(to, p.band_edge, outer)
        ink.outline(to, p.band_edge, inner)
        for a, e in cam.to_px(b.pins.reshape(-1, 2)).reshape(-1, 2, 2).tolist():
            pygame.draw.aaline(to, p.band_edge, a, e)
        if s.slack:
            top = cam.to_px(b.top)
            wave = np.stack([np.zeros(len(top)), np.where(np.arange(len(top)) % 2 == 0, -3.0, 3.0) * self.u], axis=1)
            ink.outline(to, p.slack, top + wave, False)
            ink.outline(to, p.slack, top + wave + [0.0, 1.0], False)

    def ghost(self, to: Surface, cam: Camera, s: Scene) -> None:
        """Another run as dashed outlines, heavier than a window's thin lines, with its letter at its roof."""
        g: Colour = self.p.ghost
        on, off = 8.0 * self.u, 5.0 * self.u
        for more in (0.0, 1.0):
            ink.dashes(to, g, cam.to_px(s.hull) + np.array([0.0, more]), on, off, True)
        for w in s.wheels:
            x, y = cam.px(w.x, w.y)
            for more in (0.0, 1.0):
                ink.dashes(to, g, ink.circle(x, y, w.radius * cam.scale + more), on, off, True)
        for arm in s.arms:
            ink.line(to, g, cam.px(*arm.pivot), cam.px(*arm.tip), 1.0)
        if s.band is not None:
            ink.dashes(to, g, cam.to_px(s.band.outer), on, off, True)
        corners = cam.to_px(s.hull)
        x, y = corners[np.argmin(corners.sum(axis=1))]
        ink.pill(to, SIGNS[1], (x - 12.0 * self.u, y - 12.0 * self.u), round(13 * self.u), g, self.p.panel)
