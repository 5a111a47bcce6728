"""Readings where the eye is: tags on stops, hanging wheels and slack, figures of a wheel, the measuring line."""

from __future__ import annotations

import math
from dataclasses import dataclass

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
"""A hit on a stop lasts a frame or two: it is told of for this long after it began, as one that is over [s]."""


@dataclass(frozen=True)
class StopMark:
    """A stop to be marked. peak_N: of the whole hit; ago_s: since it let go, 0 while it is pressed."""

    kind: str
    where: str
    peak_N: float
    ago_s: float

    @property
    def words(self) -> str:
        """`bump 1936 N`; once it has let go `bump 1936 N 0.3 s ago`."""
        ago = f" {max(self.ago_s, 0.05):.1f} s ago" if self.ago_s > 0.0 else ""
        return f"{self.kind.removesuffix(' stop')} {self.peak_N:.0f} N{ago}"


def stop_marks(film: Film, time_s: float) -> list[StopMark]:
    """Each stop that is pressed, or was within the last half second; of several hits on one the one that lasts, else
    the hardest."""
    found: dict[tuple[str, str], StopMark] = {}
    now = time_s + 0.5 * film.dt_s
    for e in film.events:
        if e.kind in (BUMP, DROOP) and e.time_s <= now < e.time_s + max(SHOW_S, e.duration_s):
            mark = StopMark(e.kind, e.where, e.peak_N, max(0.0, now - e.time_s - e.duration_s))
            other = found.get((e.kind, e.where))
            if other is None or (mark.ago_s == 0.0, mark.peak_N) > (other.ago_s == 0.0, other.peak_N):
                found[e.kind, e.where] = mark
    return list(found.values())


def tags(cam: Camera, p: Palette, s: Scene, view: View) -> list[Note]:
    """What is to be said of stops and hanging wheels."""
    arms = {a.name: a for a in s.arms}
    notes: list[Note] = []
    hit: dict[str, list[StopMark]] = {}
    for mark in stop_marks(view.film, s.time_s):
        hit.setdefault(mark.where, []).append(mark)
    for where, marks in hit.items():
        # One tag an arm: what is pressed leads, then the harder hit.
        marks.sort(key=lambda m: (m.ago_s > 0.0, -m.peak_N))
        first = marks[0]
        colour = p.text_dim if first.ago_s > 0.0 else p.stop if first.kind == BUMP else p.droop
        words = ", ".join(m.words for m in marks)
        notes.append(Note(*cam.px(*arms[where].tip), words, MARKS[first.kind], colour))
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
    """Each arm's angle, beside its gauge; where two gauges are close, one above the other."""
    size = ink.small(10 * u)
    taken: list[pygame.Rect] = []
    for arm in s.arms:
        x, y = cam.px(*arm.pivot)
        tx, ty = cam.px(*arm.tip)
        at = (x + 0.62 * (tx - x), y + 0.62 * (ty - y) - 9 * u)
        image = ink.text(f"{arm.angle_deg:.1f}°", size, p.text, True)
        box = image.get_rect(center=(round(at[0]), round(at[1]))).inflate(round(4 * u), 0)
        while (k := box.collidelist(taken)) >= 0:
            box.bottom = taken[k].top - 1
        taken.append(box)
        pygame.draw.rect(to, p.panel, box, border_radius=3)
        to.blit(image, image.get_rect(center=box.center))


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
