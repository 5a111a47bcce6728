"""Readings where the eye is: tags on stops, hanging wheels and slack, figures of a wheel, the measuring line."""

from __future__ import annotations

import math

import pygame

from trundle.findings.events import BUMP, DROOP
from trundle.findings.events.marks import MARKS
from trundle.findings.states import belly_is_down
from trundle_viewer import ink
from trundle_viewer.camera import Camera
from trundle_viewer.film import FORCES, Film
from trundle_viewer.notes import Note
from trundle_viewer.palette import Palette
from trundle_viewer.scene import Scene
from trundle_viewer.view import View

Surface = pygame.Surface

SHOW_S = 0.5
"""A stop that has been touched stays marked for this long [s]."""


def stop_marks(film: Film, time_s: float) -> list[tuple[str, str, float]]:
    """(kind, arm, peak N) of each stop to be marked: from the hit until half a second after it began, or
    until it lets go, with the peak of the whole hit."""
    found: dict[tuple[str, str], float] = {}
    for e in film.events:
        if e.kind in (BUMP, DROOP) and e.time_s <= time_s + 0.5 * film.dt_s < e.time_s + max(SHOW_S, e.duration_s):
            # Of several hits on one stop the hardest is shown.
            found[e.kind, e.where] = max(e.peak_N, found.get((e.kind, e.where), 0.0))
    return [(kind, where, peak) for (kind, where), peak in found.items()]


def tags(cam: Camera, p: Palette, s: Scene, view: View) -> list[Note]:
    """What is to be said of stops and hanging wheels."""
    arms = {a.name: a for a in s.arms}
    notes: list[Note] = []
    hit: dict[str, dict[str, float]] = {}
    for kind, where, peak in stop_marks(view.film, s.time_s):
        hit.setdefault(where, {})[kind] = peak
    for where, kinds in hit.items():
        # One tag an arm: the harder hit leads, the other follows it.
        (first, hard), *other = sorted(kinds.items(), key=lambda k: -k[1])
        words = f"{first.removesuffix(' stop')} {hard:.0f} N"
        words += "".join(f", {kind.removesuffix(' stop')} {peak:.0f}" for kind, peak in other)
        shape, colour = MARKS[first], p.stop if first == BUMP else p.droop
        notes.append(Note(*cam.px(*arms[where].tip), words, shape, colour))
    for w in s.wheels:
        # The dashed ring says it anyway; a tag on a stop of the same wheel goes first.
        if w.off and w.name not in hit:
            words = f"off, {w.gap_mm:.0f} mm" if w.gap_mm >= 0.5 else "no load"
            notes.append(Note(*cam.px(w.x, w.y), words, "ring", p.off))
    return notes


def on_the_spot(to: Surface, cam: Camera, p: Palette, u: float, s: Scene) -> None:
    """Tags that stand on what they are about: a loose track, ends and belly on the ground."""
    size = round(11 * u)
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
        if view.film.has_forces:
            lines.append(pushed_words(*(view.film.at(f"wheel.{w.name}.{axis}", s.row) for axis in FORCES)))
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


def pushed_words(forward_N: float, up_N: float) -> str:
    """`pushed 3571 N back, 2061 N up`."""
    return (
        f"pushed {abs(forward_N):.0f} N {'back' if forward_N < 0.0 else 'forward'}, "
        f"{abs(up_N):.0f} N {'down' if up_N < 0.0 else 'up'}"
    )


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
