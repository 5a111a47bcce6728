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
from trundle_viewer.view import View

Surface = pygame.Surface

LONGEST = 115.0
"""Longest arrow [screen units]; a longer one is drawn broken, with its number."""

HIGH = 92.0
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
            at = np.array(middle) - _towards(push) * (rim + max(length, held) + 10.0 * u)
            _number(to, f"{force:.0f} N", at, size, p, _anchor(push), cam.rect)


def _number(
    to: Surface, words: str, at: np.ndarray, size: int, p: Palette, anchor: str, rect: tuple[int, int, int, int]
) -> None:
    """Words at an arrow's tail, kept inside the picture."""
    wide = ink.text(words, size, p.load, True).get_width()
    left = at[0] - (wide if "e" in anchor else 0 if "w" in anchor else 0.5 * wide)
    left = min(max(left, rect[0] + 4.0), rect[0] + rect[2] - wide - 4.0)
    ink.write(to, words, (left, at[1]), size, p.load, True, "w")


def _towards(push: np.ndarray) -> np.ndarray:
    """The way a push points, on the screen."""
    return np.array([push[0], -push[1]]) / max(math.hypot(*push), 1e-9)


def _anchor(push: np.ndarray) -> str:
    """Where a number stands at the arrow's tail: beside a level one, below or above an upright one."""
    if abs(push[0]) > abs(push[1]):
        return "e" if push[0] > 0.0 else "w"
    return ""


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
    """What an arrow's length means, and how long a round distance is on the screen."""
    x, y = at
    size = round(11 * u)
    if film.has_forces:
        load = round_load(film)
        length = load * arrow_scale(film, u)
        _arrow(to, p, u, np.array([x, y - length]), np.array([0.0, -1.0]), length, False)
        words = f"{load:g} N on one wheel, as it pushes; bar: hardest of {BACK_S:g} s"
    else:
        words = NO_FORCES
    wide = ink.write(to, words, (x + 11 * u, y - 9 * u), size, p.text_dim, anchor="w").width
    room = 110.0 * u / cam.scale
    power = 10.0 ** math.floor(math.log10(room))
    mm = power * max(k for k in (1.0, 2.0, 5.0) if k * power <= room)
    left, level = x + 30 * u + wide, y - 4.0 * u
    right = left + mm * cam.scale
    ink.line(to, p.text, (left, level), (right, level), 2.0 * u)
    for end in (left, right):
        ink.line(to, p.text, (end, level - 4 * u), (end, level + 4 * u), 2.0 * u)
    ink.write(to, f"{mm:g} mm", (0.5 * (left + right), level - 6 * u), size, p.text_dim, anchor="s")
