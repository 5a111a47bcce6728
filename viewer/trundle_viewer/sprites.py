"""Turning wheels as pictures: drawn large once per few degrees of turn, shrunk smoothly, then kept."""

from __future__ import annotations

import math
from collections import OrderedDict

import numpy as np
import pygame

from trundle_viewer.palette import Palette

Surface = pygame.Surface

STEP_DEG = 4
"""A wheel's picture is renewed each so many degrees of turn."""

_KEPT = 700
_TIMES = 3


class Sprites:
    """Faces of road wheels, sprocket, idler and rollers at pixel sizes."""

    def __init__(self, palette: Palette) -> None:
        self.p = palette
        self._kept: OrderedDict[tuple[str, int, int, int], Surface] = OrderedDict()

    def put(self, to: Surface, what: str, x: float, y: float, r: float, turn: float, teeth: int = 0) -> None:
        """Draw the face of a wheel of radius r px, turned by `turn` [rad], with its middle at (x, y)."""
        step = round(math.degrees(turn) / STEP_DEG) % (360 // STEP_DEG)
        # Halves of a pixel are kept apart, or a wheel would jump against its tyre by up to one.
        size = round(2.0 * r)
        key = (what, size, step, teeth)
        image = self._kept.get(key)
        if image is None:
            image = self._build(what, 0.5 * size, math.radians(step * STEP_DEG), teeth)
            self._kept[key] = image
            if len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        to.blit(image, (round(x - 0.5 * image.get_width()), round(y - 0.5 * image.get_height())))

    def _build(self, what: str, r: float, turn: float, teeth: int) -> Surface:
        p = self.p
        # A large wheel is smooth enough drawn twice its size.
        times = _TIMES if r < 80.0 else 2
        half = math.ceil(1.1 * r) + 2
        big = pygame.Surface((2 * half * times, 2 * half * times), pygame.SRCALPHA)
        # Transparent, but of the edge's colour: shrinking must not mix in black.
        big.fill((*(p.tyre_edge if what == "road" else p.steel_edge), 0))
        c, r = float(half * times), r * times
        line = max(1, round(0.9 * times))

        def spot(colour: tuple[int, int, int], at: float, size: float, angle: float) -> None:
            pygame.draw.circle(big, colour, (c + at * math.cos(angle), c - at * math.sin(angle)), max(size, times))

        def rim(colour: tuple[int, int, int], size: float, edge: tuple[int, int, int]) -> None:
            pygame.draw.circle(big, edge, (c, c), size)
            pygame.draw.circle(big, colour, (c, c), size - line)

        if what == "road":
            rim(p.tyre, r, p.tyre_edge)
            rim(p.rim, 0.72 * r, p.tyre_edge)
            for q in range(5):
                spot(p.hull_dark, 0.45 * r, 0.14 * r, turn + 2.0 * math.pi * (q + 0.5) / 5)
            rim(p.tyre, 0.18 * r, p.tyre_edge)
            # A valve mark shows the turning best.
            spot(p.paint, 0.61 * r, 0.06 * r, turn)
        elif what == "sprocket":
            k = np.arange(teeth) * (2.0 * math.pi / teeth) + turn
            wide, tip = 0.62 * math.pi / teeth, 0.3 * math.pi / teeth
            a = np.stack([k - wide, k - tip, k + tip, k + wide], axis=1).ravel()
            for grow, colour in ((0.0, p.steel_edge), (float(line), p.steel)):
                size = np.tile([0.88, 1.07, 1.07, 0.88], teeth) * r - grow
                points = np.stack([c + size * np.cos(a), c - size * np.sin(a)], axis=1)
                pygame.draw.polygon(big, colour, points.tolist())
            for q in range(5):
                spot(p.hull_dark, 0.52 * r, 0.14 * r, turn + 2.0 * math.pi * (q + 0.5) / 5)
            rim(p.tyre, 0.18 * r, p.steel_edge)
            spot(p.paint, 0.75 * r, 0.06 * r, turn)
        else:
            rim(p.steel, r, p.steel_edge)
            if what == "idler":
                for q in range(4):
                    spot(p.hull_dark, 0.56 * r, 0.17 * r, turn + 2.0 * math.pi * (q + 0.5) / 4)
            rim(p.tyre, 0.2 * r, p.steel_edge)
            spot(p.paint, 0.78 * r, 0.07 * r, turn)
        return pygame.transform.smoothscale(big, (2 * half, 2 * half))


__all__ = ["STEP_DEG", "Sprites"]
