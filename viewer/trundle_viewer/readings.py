"""Readings where the eye is: load arrows, tags on stops, hanging wheels and slack, the measuring line."""

from __future__ import annotations

import math

import numpy as np
import pygame

from trundle.findings.events import BUMP, DROOP
from trundle.findings.states import belly_is_down
from trundle_viewer import ink
from trundle_viewer.camera import Camera
from trundle_viewer.film import Film
from trundle_viewer.palette import Palette
from trundle_viewer.scene import Scene, peaks, standing_load_N
from trundle_viewer.view import View

Surface = pygame.Surface

SHOW_S = 0.5
"""A stop that has been touched stays marked for this long [s]."""

LONGEST = 130.0
"""Longest load arrow [screen units]; a longer one is drawn broken, with its number."""

HIGH = 92.0
"""Length of an arrow for six times an even share of the weight [screen units]."""

TIMES = 6.0


def arrow_scale(film: Film, u: float) -> float:
    """Pixels of load arrow per newton."""
    return HIGH * u / (TIMES * standing_load_N(film.assembly))


def round_load(film: Film) -> float:
    """A round load for the scale bar [N]: 1, 2 or 5 times a power of ten, near three times an even share."""
    about = 3.0 * standing_load_N(film.assembly)
    power = 10.0 ** math.floor(math.log10(about))
    return power * max(k for k in (1.0, 2.0, 5.0) if k * power <= about)


def stop_marks(film: Film, time_s: float) -> list[tuple[str, str, float]]:
    """(kind, arm, peak N) of each stop to be marked: from the hit until half a second after it began, or
    until it lets go, with the peak of the whole hit."""
    found: dict[tuple[str, str], float] = {}
    for e in film.events:
        if e.kind in (BUMP, DROOP) and e.time_s <= time_s + 0.5 * film.dt_s < e.time_s + max(SHOW_S, e.duration_s):
            # Of several hits on one stop the hardest is shown.
            found[e.kind, e.where] = max(e.peak_N, found.get((e.kind, e.where), 0.0))
    return [(kind, where, peak) for (kind, where), peak in found.items()]


def loads(to: Surface, cam: Camera, p: Palette, u: float, s: Scene, view: View) -> None:
    """An arrow up to each wheel from below, and a bar at its peak of the last half second."""
    per_N = arrow_scale(view.film, u)
    longest = LONGEST * u
    top = peaks(view.film, s.row)
    thick = view.film.vehicle.track.thickness_mm if view.film.vehicle.track is not None else 0.0
    size = round(11 * u)
    for w, peak in zip(s.wheels, top.tolist(), strict=True):
        x, y = cam.px(w.x, w.y - w.radius - thick)
        y += 3.0 * u
        held = min(peak * per_N, longest)
        if held > 2.0:
            ink.line(to, p.text_dim, (x - 6.0 * u, y + held), (x + 6.0 * u, y + held), 1.6 * u)
        length = min(w.load_N * per_N, longest)
        if length > 1.0:
            head = min(9.0 * u, length)
            half = 3.0 * u
            shaft = np.array([
                [x, y], [x + 2.1 * half, y + head], [x + half, y + head], [x + half, y + length],
                [x - half, y + length], [x - half, y + head], [x - 2.1 * half, y + head],
            ])  # fmt: skip
            ink.fill(to, p.load, shaft)
            if w.load_N * per_N > longest:
                for k in (0.60, 0.68):
                    cut = y + k * length
                    ink.line(to, p.ground_deep, (x - 8 * u, cut + 3 * u), (x + 8 * u, cut - 3 * u), 3.0 * u)
        if ("numbers" in view.layers and not w.off) or w.load_N * per_N > longest:
            ink.write(to, f"{w.load_N:.0f} N", (x, y + max(length, held) + 4.0 * u), size, p.load, True, "n")


def scale_bar(to: Surface, at: tuple[float, float], p: Palette, u: float, film: Film, cam: Camera) -> None:
    """What an arrow's length means, and how long a round distance is on the screen."""
    load = round_load(film)
    length = load * arrow_scale(film, u)
    x, y = at
    size = round(11 * u)
    ink.fill(to, p.load, np.array([
        [x, y - length], [x + 6 * u, y - length + 9 * u], [x + 3 * u, y - length + 9 * u], [x + 3 * u, y],
        [x - 3 * u, y], [x - 3 * u, y - length + 9 * u], [x - 6 * u, y - length + 9 * u],
    ]))  # fmt: skip
    ink.write(to, f"{load:g} N on one wheel", (x + 11 * u, y - 0.5 * length), size, p.text_dim, anchor="w")
    room = 110.0 * u / cam.scale
    power = 10.0 ** math.floor(math.log10(room))
    mm = power * max(k for k in (1.0, 2.0, 5.0) if k * power <= room)
    left, right, level = x + 130 * u, x + 130 * u + mm * cam.scale, y - 4.0 * u
    ink.line(to, p.text, (left, level), (right, level), 2.0 * u)
    for end in (left, right):
        ink.line(to, p.text, (end, level - 4 * u), (end, level + 4 * u), 2.0 * u)
    ink.write(to, f"{mm:g} mm", (0.5 * (left + right), level - 6 * u), size, p.text_dim, anchor="s")


def tags(to: Surface, cam: Camera, p: Palette, u: float, s: Scene, view: View) -> None:
    """Words on what must not be missed, on leaders to above the hull, in rows so that none overlap."""
    size = round(11 * u)
    arms = {a.name: a for a in s.arms}
    wanted: list[tuple[float, float, str, str, tuple[int, int, int]]] = []
    hit: dict[str, dict[str, float]] = {}
    for kind, where, peak in stop_marks(view.film, s.time_s):
        hit.setdefault(where, {})[kind] = peak
    for where, kinds in hit.items():
        # One tag an arm: the harder hit leads, the other follows it.
        (first, hard), *other = sorted(kinds.items(), key=lambda k: -k[1])
        words = f"{first.removesuffix(' stop')} {hard:.0f} N"
        words += "".join(f", {kind.removesuffix(' stop')} {peak:.0f}" for kind, peak in other)
        shape, colour = ("up", p.stop) if first == BUMP else ("down", p.droop)
        wanted.append((*cam.px(*arms[where].tip), words, shape, colour))
    for w in s.wheels:
        # The dashed ring says it anyway; a tag on a stop of the same wheel goes first.
        if w.off and w.name not in hit:
            words = f"off, {w.gap_mm:.0f} mm" if w.gap_mm >= 0.5 else "no load"
            wanted.append((*cam.px(w.x, w.y), words, "ring", p.off))
    if wanted:
        _, roof = cam.px(s.hull_x, float(s.hull[:, 1].max()))
        _place(to, p, u, size, wanted, roof - 16 * u, cam.rect)
    if s.slack and s.band is not None:
        at = cam.to_px(s.band.top)[len(s.band.top) // 2]
        words = f"track loose, {s.spare_mm:.0f} mm to spare" if s.spare_mm >= 0.5 else "track loose"
        ink.pill(to, words, (at[0], at[1] - 18 * u), size, p.slack, p.panel, "wave")
    for end in s.rounds:
        if end.load_N > 0.0:
            x, y = cam.px(end.x, end.y - 0.5 * end.radius)
            ink.pill(to, f"{end.what} on ground {end.load_N:.0f} N", (x, y), size, p.stop, p.panel, "diamond")
    if belly_is_down(s.belly_N):
        x, y = cam.px(s.hull_x, float(s.belly[:, 1].min()))
        ink.pill(to, f"belly down {s.belly_N:.0f} N", (x, y + 16 * u), size, p.stop, p.panel, "square")


def _place(
    to: Surface, p: Palette, u: float, size: int,
    wanted: list[tuple[float, float, str, str, tuple[int, int, int]]], floor: float,
    rect: tuple[int, int, int, int],
) -> None:  # fmt: skip
    """Tags above the hull, left to right, each in the lowest row where it fits, a leader down."""
    wanted.sort(key=lambda t: (t[0], t[2]))
    rows: list[float] = []
    spots = []
    for x, y, words, shape, colour in wanted:
        half = 0.5 * ink.text(words, size, colour, True).get_width() + 1.1 * size
        centre = min(max(x, rect[0] + half + 4 * u), rect[0] + rect[2] - half - 4 * u)
        for k in range(len(rows) + 1):
            if k == len(rows):
                rows.append(-1e9)
            if rows[k] < centre - half:
                rows[k] = centre + half + 4 * u
                break
        spots.append((x, y, centre, k, words, shape, colour))
    # Under the headline even when the hull is high: then they lie over the hull.
    floor = max(floor, rect[1] + 86 * u + (len(rows) - 1) * 1.75 * size)
    step = 1.75 * size
    for x, y, centre, k, _, _, colour in spots:
        ink.line(to, colour, (centre, floor - k * step), (x, y), 1.0)
        ink.mark(to, "diamond", (x, y), 3.0 * u, colour)
    for _, _, centre, k, words, shape, colour in spots:
        ink.pill(to, words, (centre, floor - k * step), size, colour, p.panel, shape)


def angles(to: Surface, cam: Camera, p: Palette, u: float, s: Scene) -> None:
    """Each arm's angle, beside its gauge."""
    size = round(10 * u)
    for arm in s.arms:
        x, y = cam.px(*arm.pivot)
        tx, ty = cam.px(*arm.tip)
        at = (x + 0.62 * (tx - x), y + 0.62 * (ty - y) - 9 * u)
        image = ink.text(f"{arm.angle_deg:.1f}°", size, p.text, True)
        box = image.get_rect(center=(round(at[0]), round(at[1])))
        pygame.draw.rect(to, p.panel, box.inflate(round(4 * u), 0), border_radius=3)
        to.blit(image, box)


def hover_card(to: Surface, cam: Camera, p: Palette, u: float, s: Scene, view: View) -> int | None:
    """Figures of the wheel under the pointer. Returns its number, or None."""
    if view.hover is None:
        return None
    for i, w in enumerate(s.wheels):
        x, y = cam.px(w.x, w.y)
        if math.hypot(view.hover[0] - x, view.hover[1] - y) > w.radius * cam.scale:
            continue
        lines = [w.name, f"load {w.load_N:.0f} N"]
        for arm in s.arms:
            if arm.name == w.name:
                lines.append(f"arm {arm.angle_deg:.1f}° (stops {arm.bump_deg:.0f}° and {arm.droop_deg:.0f}°)")
                if arm.stop_N != 0.0:
                    lines.append(f"{'bump' if arm.stop_N > 0 else 'droop'} stop {abs(arm.stop_N):.0f} N")
        if w.gap_mm > 0.05:
            lines.append(f"{w.gap_mm:.0f} mm off the track")
        card(to, p, u, lines, (x + w.radius * cam.scale + 8 * u, y - 30 * u), cam.rect)
        return i
    return None


def card(
    to: Surface,
    p: Palette,
    u: float,
    lines: list[str],
    at: tuple[float, float],
    rect: tuple[int, int, int, int],
) -> None:
    """A small plate of lines, the first one bold, kept inside `rect`."""
    size = round(12 * u)
    images = [ink.text(t, size, p.text, k == 0) for k, t in enumerate(lines)]
    w = max(i.get_width() for i in images) + round(16 * u)
    h = sum(i.get_height() for i in images) + round(12 * u)
    x = min(max(at[0], rect[0]), rect[0] + rect[2] - w)
    y = min(max(at[1], rect[1]), rect[1] + rect[3] - h)
    ink.rounded(to, p.panel, pygame.Rect(round(x), round(y), w, h), round(5 * u), p.panel_edge)
    y += 6 * u
    for image in images:
        to.blit(image, (round(x + 8 * u), round(y)))
        y += image.get_height()


def measure(to: Surface, cam: Camera, p: Palette, u: float, view: View) -> None:
    """The measuring line: two points on the drawing and the distance between them."""
    if not view.measured:
        return
    ends = list(view.measured)
    if len(ends) == 1 and view.hover is not None:
        ends.append(cam.to_mm(*view.hover))
    for m in ends:
        x, y = cam.px(*m)
        ink.line(to, p.mark, (x - 6 * u, y), (x + 6 * u, y), 1.6)
        ink.line(to, p.mark, (x, y - 6 * u), (x, y + 6 * u), 1.6)
    if len(ends) == 2:
        a, b = cam.px(*ends[0]), cam.px(*ends[1])
        ink.line(to, p.mark, a, b, 1.6)
        ink.pill(
            to,
            measured_words(ends[0], ends[1]),
            (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]) - 14 * u),
            round(12 * u),
            p.mark,
            p.panel,
        )


def measured_words(a: tuple[float, float], b: tuple[float, float]) -> str:
    """`152 mm (120 along, 93 up)`."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return f"{math.hypot(dx, dy):.0f} mm ({abs(dx):.0f} along, {abs(dy):.0f} up)"
