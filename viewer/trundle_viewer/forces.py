"""The force on each wheel, sprocket and idler, drawn as it points; its hardest of the last half second; the scale."""

from __future__ import annotations

import math

import numpy as np
import pygame

from trundle_viewer import ink
from trundle_viewer.camera import Camera
from trundle_viewer.film import FORCES, Film
from trundle_viewer.palette import Palette
from trundle_viewer.scene import RoundView, Scene, WheelView, standing_load_N
from trundle_viewer.stage import FOOT
from trundle_viewer.view import View

Surface = pygame.Surface

LONGEST = 92.0
"""Longest arrow [screen units]; a longer one is drawn broken, with its number."""

HIGH = 74.0
"""Length of an arrow for six times an even share of the weight [screen units]."""

TIMES = 6.0

BACK_S = 0.5
"""The hardest push of so long stays marked [s]."""

NO_FORCES = "kept without how the forces point: run it again to see them"


def arrow_scale(film: Film, u: float) -> float:
    """Pixels of arrow per newton."""
    return HIGH * u / (TIMES * standing_load_N(film.assembly))


def round_load(film: Film) -> float:
    """A round load for the scale bar [N]: 1, 2 or 5 times a power of ten, near three times an even share."""
    about = 3.0 * standing_load_N(film.assembly)
    power = 10.0 ** math.floor(math.log10(about))
    return power * max(k for k in (1.0, 2.0, 5.0) if k * power <= about)


def pushes(film: Film, row: int, back_s: float = BACK_S) -> tuple[np.ndarray, np.ndarray]:
    """Force on one of each ring [N], forward and up, shape (rings, 2): now, and the hardest of the last while."""
    begin = max(0, row - round(back_s / film.dt_s))
    names = [f"{ring}.{axis}" for axis in FORCES for ring in film.assembly.ring_names]
    forward, up = film.block(names, begin, row + 1).reshape(2, len(names) // 2, -1)
    hardest = np.argmax(np.hypot(forward, up), axis=1)
    each = np.arange(len(hardest))
    return np.stack([forward[:, -1], up[:, -1]], axis=1), np.stack([forward[each, hardest], up[each, hardest]], axis=1)


def arrows(to: Surface, cam: Camera, p: Palette, u: float, s: Scene, view: View) -> None:
    """An arrow to each wheel's rim from where it is pushed, and a bar where its tail was at its hardest."""
    film = view.film
    if not film.has_forces:
        return
    per_N, longest, size = arrow_scale(film, u), LONGEST * u, round(11 * u)
    track = film.vehicle.track
    thick = track.thickness_mm if track is not None else 0.0
    now, most = pushes(film, s.row)
    numbers = Numbers(to, p, size, pygame.Rect(cam.rect), cam.rect[1] + cam.rect[3] - FOOT * u)
    rings: list[WheelView | RoundView] = [*s.wheels, *s.rounds[: len(now) - len(s.wheels)]]
    for ring, push, peak in zip(rings, now, most, strict=True):
        rim = (ring.radius + thick) * cam.scale + 3.0 * u
        middle = cam.px(ring.x, ring.y)
        held = min(math.hypot(*peak) * per_N, longest)
        if held > 2.0:
            way = _towards(peak)
            end = np.array(middle) - way * (rim + held)
            across = np.array([-way[1], way[0]]) * 6.0 * u
            ink.line(to, p.text_dim, end - across, end + across, 1.6 * u)
        force = math.hypot(*push)
        length = min(force * per_N, longest)
        if length > 1.0:
            way = _towards(push)
            tip = np.array(middle) - way * rim
            _arrow(to, p, u, tip, way, length, force * per_N > longest)
        if ("numbers" in view.layers and force * per_N > 12.0 * u) or force * per_N > longest:
            # Past the mark of the hardest push where that is close by, or else between it and the arrow.
            past = held if held - length < 2.0 * size else length
            tail = np.array(middle) - _towards(push) * (rim + past)
            numbers.put(f"{force:.0f} N", tail, _towards(push))


class Numbers:
    """The figures at the arrows' tails: whole, inside the picture, above its foot, none on another or on an arrow."""

    def __init__(self, to: Surface, p: Palette, size: int, rect: pygame.Rect, floor: float) -> None:
        self.to, self.p, self.size = to, p, size
        self.room = pygame.Rect(rect.left + 4, rect.top + 4, rect.width - 8, round(floor) - rect.top - 6)
        self.taken: list[pygame.Rect] = []

    def put(self, words: str, tail: np.ndarray, way: np.ndarray) -> None:
        """Words at a tail of an arrow that points this way: beyond an upright one, above a level one."""
        image = ink.text(words, self.size, self.p.load, True)
        box = image.get_rect()
        box.center = (round(tail[0]), round(tail[1]))
        if abs(way[0]) > abs(way[1]):
            # Above the higher side of the shaft, which leans.
            box.move_ip(round(0.5 * box.width * way[0]), -round(1.1 * self.size + 0.5 * box.width * abs(way[1])))
        else:
            box.move_ip(0, -round(math.copysign(0.9 * self.size, way[1])))
        inside = box.clamp(self.room)
        if abs(way[0]) <= abs(way[1]) and inside.y != box.y:
            # No room below: beside the shaft.
            inside.x = round(tail[0] + 0.6 * self.size)
        step = inside.height - 2
        for dx, dy in ((0, 0), (0, 1), (0, -1), (1, 0), (-1, 0), (0, 2), (0, -2), (1, 1), (-1, 1)):
            spot = inside.move(dx * (inside.width + 4), dy * step).clamp(self.room)
            if spot.collidelist(self.taken) < 0:
                break
        self.taken.append(spot)
        self.to.blit(image, spot)


def _towards(push: np.ndarray) -> np.ndarray:
    """The way a push points, on the screen."""
    return np.array([push[0], -push[1]]) / max(math.hypot(*push), 1e-9)


def _arrow(to: Surface, p: Palette, u: float, tip: np.ndarray, way: np.ndarray, length: float, broken: bool) -> None:
    head, half = min(9.0 * u, length), 3.0 * u
    side = np.array([-way[1], way[0]])
    neck, tail = tip - way * head, tip - way * length
    shaft = [tip, neck + 2.1 * half * side, neck + half * side, tail + half * side,
             tail - half * side, neck - half * side, neck - 2.1 * half * side]  # fmt: skip
    ink.fill(to, p.load, np.array(shaft))
    if broken:
        for k in (0.60, 0.68):
            cut = tip - way * k * length
            ink.line(to, p.ground_deep, cut - 8 * u * side - 3 * u * way, cut + 8 * u * side + 3 * u * way, 3.0 * u)


def scale_bar(to: Surface, at: tuple[float, float], p: Palette, u: float, film: Film, cam: Camera) -> None:
    """How long a round distance is on the screen, and what an arrow's length means, in one line about `at`."""
    x, y = at
    size = ink.small(11 * u)
    room = 110.0 * u / cam.scale
    power = 10.0 ** math.floor(math.log10(room))
    mm = power * max(k for k in (1.0, 2.0, 5.0) if k * power <= room)
    right = x + mm * cam.scale
    ink.line(to, p.text, (x, y), (right, y), 2.0 * u)
    for end in (x, right):
        ink.line(to, p.text, (end, y - 4 * u), (end, y + 4 * u), 2.0 * u)
    x = ink.write(to, f"{mm:g} mm", (right + 8 * u, y), size, p.text_dim, anchor="w").right + 24 * u
    words = NO_FORCES
    if film.has_forces:
        load = round_load(film)
        length = load * arrow_scale(film, u)
        x += length
        _arrow(to, p, u, np.array([x, y]), np.array([1.0, 0.0]), length, False)
        words = f"{load:g} N on one wheel, as it pushes; bar: hardest of {BACK_S:g} s"
    ink.write(to, words, (x + 8 * u, y), size, p.text_dim, anchor="w")
