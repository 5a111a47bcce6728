"""Puts a whole frame together: layers, strip, buttons. One for window, picture, movie."""

from __future__ import annotations

import pygame

from trundle.units import MM
from trundle_viewer import ink, layers, strip
from trundle_viewer.camera import STILL, WHEEL, Camera
from trundle_viewer.compared import Compared
from trundle_viewer.film import Film
from trundle_viewer.frame import Frame
from trundle_viewer.head import Head
from trundle_viewer.pair import COMPARED
from trundle_viewer.palette import PALETTES
from trundle_viewer.scene import Scene, SceneMaker
from trundle_viewer.stage import Stage
from trundle_viewer.toolbar import Toolbar
from trundle_viewer.traces import Traces
from trundle_viewer.view import View

Surface = pygame.Surface

BELOW = 154.0
"""So far above the picture's lower edge the ground lies: arrows hang from it, and below them is the foot
[screen units]."""

ABOVE = 34.0
"""Kept free above the vehicle, for what is said on leaders [screen units]."""


class Painter:
    """Draws views at one size. `tools`: with the row of buttons (a window has it, a movie does not)."""

    def __init__(self, size: tuple[int, int], view: View, tools: bool = True) -> None:
        self.size, self.tools = size, tools
        self.view = view
        self.u = max(0.5, min(size[0] / 1280.0, size[1] / 720.0))
        self._makers: dict[int, SceneMaker] = {}
        self._by_hand: tuple[float, float] | None = None
        self.zoomed = 1.0
        self.build()

    def build(self) -> None:
        """Lay the frame out anew: after a change of size, theme or film."""
        view, u = self.view, self.u
        w, h = self.size
        p = self.palette = PALETTES[view.theme]
        bar = round(38 * u) if self.tools else 0
        foot = round(strip.HIGH * u)
        # A page that is laid aside takes the place of what stands there, not of the picture.
        beside = {layer.name: layer.side for layer in layers.visible(view.layers) if layer.side}
        if view.ghost is None:
            beside.pop(COMPARED, None)
        side = round((view.aside or sum(beside.values())) * u)
        self.toolbar = Toolbar(pygame.Rect(0, h - bar, w, bar), p, u)
        self.strip = strip.Strip(pygame.Rect(0, h - bar - foot, w, foot), p, u)
        self.rect = pygame.Rect(0, 0, w - side, h - bar - foot)
        self.side = pygame.Rect(w - side, 0, side, h - bar - foot)
        self.head = Head(self.rect, p, u)
        columns: dict[str, pygame.Rect] = {}
        left = w - side
        for name, wide in beside.items() if not view.aside else ():
            columns[name] = pygame.Rect(left, 0, round(wide * u), h - bar - foot)
            left += round(wide * u)
        self.compared = Compared(columns[COMPARED], p, u) if COMPARED in columns else None
        self.traces = Traces(columns["traces"], view.film, p, u) if "traces" in columns else None
        self.stage = Stage(p, u)
        fit = self.fit_scale()
        rect = (self.rect.left, self.rect.top, self.rect.width, self.rect.height)
        if not hasattr(self, "camera"):
            self.camera = Camera(rect, fit)
        else:
            self.camera.rect, self.camera.scale = rect, fit * self.zoomed

    def fit_scale(self) -> float:
        """Pixels per mm at which the vehicle fills a little less than two thirds of the width, and stands clear of the
        words above and below it."""
        film = self.view.film
        hull = film.vehicle.hull
        radius = [float(r.radius) / MM for r in film.assembly.model.rings]
        reach = max(hull.length_mm, *(x for x, _ in hull.belly_mm)) + 2.2 * max(radius)
        across = 0.64 * self.rect.width / reach
        if film.rows == 0:
            return across
        room = self.rect.height - (BELOW + ABOVE) * self.u - self.head.most
        return min(across, max(room, 0.2 * self.rect.height) / self.maker(film).height_mm)

    def maker(self, film: Film) -> SceneMaker:
        """The scene maker of a film, kept."""
        if id(film) not in self._makers:
            if len(self._makers) > 3:
                self._makers.clear()
            self._makers[id(film)] = SceneMaker(film)
        return self._makers[id(film)]

    def scene(self) -> Scene:
        """The scene shown."""
        return self.maker(self.view.film).make(self.view.row)

    def aim(self, s: Scene) -> None:
        """Point the camera. Following keeps the bounce visible: upwards it follows the ground."""
        cam, view = self.camera, self.view
        if view.camera == STILL and self._by_hand is not None:
            return
        if view.camera == WHEEL:
            w = s.wheels[view.wheel % len(s.wheels)]
            x, y = w.x, w.y
        else:
            ground = view.film.ground
            at = s.hull_x * MM
            near = [float(ground.height_at(at + 0.15 * k)) for k in range(-6, 7)]
            x = s.hull_x
            y = sum(near) / len(near) / MM + (0.5 * self.rect.height - BELOW * self.u) / self.fit_scale()
        shift = self._by_hand or (0.0, 0.0)
        if view.camera == STILL:
            self._by_hand = (0.0, 0.0)
        elif self._by_hand is not None:
            x, y = x + shift[0], y + shift[1]
        cam.x, cam.y = x, y

    def pan(self, dx_px: float, dy_px: float) -> None:
        """Move the picture by pixels."""
        scale = self.camera.scale
        move = (-dx_px / scale, dy_px / scale)
        if self.view.camera == STILL:
            self.camera.x += move[0]
            self.camera.y += move[1]
            self._by_hand = (0.0, 0.0)
        else:
            old = self._by_hand or (0.0, 0.0)
            self._by_hand = (old[0] + move[0], old[1] + move[1])

    def zoom(self, factor: float, at: tuple[float, float]) -> None:
        """Zoom about a pixel, wherever the camera is tied to."""
        x, y = self.camera.x, self.camera.y
        self.camera.zoom(factor, *at)
        self.zoomed = self.camera.scale / self.fit_scale()
        if self.view.camera != STILL:
            old = self._by_hand or (0.0, 0.0)
            self._by_hand = (old[0] + self.camera.x - x, old[1] + self.camera.y - y)
        else:
            self._by_hand = (0.0, 0.0)

    def fit(self) -> None:
        """Back to the whole vehicle in the middle."""
        self._by_hand = None
        self.zoomed = 1.0
        self.camera.scale = self.fit_scale()

    def hold(self) -> None:
        """Keep the camera where it is."""
        self._by_hand = (0.0, 0.0) if self.view.camera == STILL else None

    def draw(
        self,
        to: Surface,
        active: frozenset[str] = frozenset(),
        recording: bool = False,
        can_tweak: bool = False,
    ) -> Scene:
        """Draw the view on a surface of `size`. Returns the scene drawn."""
        view, u = self.view, self.u
        ink.set_weight(u)
        s = self.scene()
        self.head.lay(s, view)
        self.camera.scale = self.fit_scale() * self.zoomed
        self.aim(s)
        frame = Frame(
            to,
            self.rect,
            self.camera,
            self.palette,
            u,
            self.stage,
            view,
            s,
            self._ghost,
            self.traces,
            self.compared,
            self.head,
            [],
        )
        shown = layers.visible(view.layers)
        clip = to.get_clip()
        to.set_clip(self.rect)
        for layer in shown:
            layer.draw(frame)
        for layer in shown:
            layer.over(frame)
        to.set_clip(clip)
        for layer in shown:
            layer.beside(frame)
        self.strip.draw(to, view)
        if self.tools:
            self.toolbar.draw(to, view, active, recording, can_tweak)
        return s

    def _ghost(self) -> Scene | None:
        """The other run's scene, if there is one."""
        other = self.view.ghost
        return self.maker(other).make(self.view.ghost_row()) if other is not None and other.rows > 1 else None
