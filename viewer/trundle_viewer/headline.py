"""The words at the head of the picture: title, time and speed, what the ghost is, how the run ended."""

from __future__ import annotations

import pygame

from trundle.findings.states import doing_words
from trundle.units import MM
from trundle_viewer import ink
from trundle_viewer.film import BRAKE_HOLDS
from trundle_viewer.palette import Colour, Palette
from trundle_viewer.scene import Scene
from trundle_viewer.view import View


def headline(to: pygame.Surface, rect: pygame.Rect, p: Palette, u: float, s: Scene, view: View) -> None:
    """At the top left of the picture."""
    film = view.film
    x, y = rect.left + 16 * u, rect.top + 12 * u
    ink.write(to, film.title, (x, y), round(17 * u), p.text, True)
    words = f"{s.time_s:.3f} s    {s.hull_x * MM:.2f} m    {film.at('hull.speed_m_s', s.row):.2f} m/s"
    doing = doing_words(film.at("drive.target_m_s", s.row), film.at(BRAKE_HOLDS, s.row))
    words += f"    {doing}" if doing else ""
    ink.write(to, words, (x, y + 24 * u), round(13 * u), p.text)
    lines: list[tuple[str, Colour]] = []
    if view.ghost is not None and "ghost" in view.layers and view.ghost.rows:
        lines.append((f"ghost (dashed): {_ghost(s, view)}", p.ghost))
    if film.note:
        lines.append((film.note, p.mark))
    if film.done and s.row >= film.rows - 2:
        lines.append((f"end of the run: {film.ended}", p.mark))
    for k, (line, colour) in enumerate(lines):
        ink.write(to, line, (x, y + (46 + 18 * k) * u), round(12 * u), colour)


def _ghost(s: Scene, view: View) -> str:
    """Whose ghost it is and how far it is away."""
    g = view.ghost
    assert g is not None
    other = f"{g.vehicle.name}" + (f", {g.note}" if g.note else "")
    row = view.ghost_row()
    if view.match == "position":
        gap = f"{g.time(row) - s.time_s:+.2f} s"
    else:
        gap = f"{g.at('hull.x_mm', row) - s.hull_x:+.0f} mm"
    return f"{other}, matched by {view.match}, {gap}"
