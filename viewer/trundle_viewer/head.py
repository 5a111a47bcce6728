"""The head of the picture: how the run went, in words, time and speed, and what is worst, to be gone to."""

from __future__ import annotations

import pygame

from trundle.findings.finding import Finding
from trundle.findings.grades import Grade
from trundle.findings.states import doing_words
from trundle.findings.words import place, start
from trundle.units import MM
from trundle_viewer import ink
from trundle_viewer.film import BRAKE_HOLDS
from trundle_viewer.palette import Colour, Palette, grade_colour
from trundle_viewer.scene import Scene
from trundle_viewer.view import View

Surface = pygame.Surface

LEFT, TOP = 16.0, 10.0
"""Where its words begin in the picture [screen units]."""

SHARE = 0.45
"""Of the picture's height, what the head takes at most: on a smaller one the list of what is worst is left out."""

FINDINGS = "findings"
"""The layer with that list."""


class Head:
    """Lays the words out in `rect` [px], wrapped to its width, and says which finding is under a pixel.

    They are drawn once and kept until what they say changes; `bottom`: where they end [px].
    """

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.bottom = float(rect.top)
        self.spots: list[tuple[pygame.Rect, int]] = []
        self._key: object = None
        self._image: Surface | None = None
        self._status_y = 0.0
        self._asides: list[tuple[str, Colour]] = []

    def at(self, px: float, py: float) -> int | None:
        """Finding under a pixel, by its place in the list."""
        return next((k for rect, k in self.spots if rect.collidepoint(px, py)), None)

    def lay(self, s: Scene, view: View) -> None:
        """Lay it out for what is told now, unless that is done already."""
        told = view.film.told
        there = told.there(s.time_s, view.finding) if told is not None else None
        self._asides = _asides(s, view, self.p, round(12 * self.u), self._width)
        listed = FINDINGS in view.layers
        key = (id(view.film), told, there, listed, len(self._asides))
        if key != self._key or self._image is None:
            self._key = key
            self._image = self._built(view, there, listed)
            if listed and self._image.get_height() > SHARE * self.rect.height:
                self._image = self._built(view, there, False)
            self.bottom = float(self.rect.top + self._image.get_height())

    def draw(self, to: Surface, s: Scene, view: View) -> None:
        """What was laid out, and where the run is."""
        assert self._image is not None
        to.blit(self._image, self.rect)
        film, u = view.film, self.u
        words = f"{s.time_s:.3f} s    {s.hull_x * MM:.2f} m    {film.at('hull.speed_m_s', s.row):.2f} m/s"
        doing = doing_words(film.at("drive.target_m_s", s.row), film.at(BRAKE_HOLDS, s.row))
        words += f"    {doing}" if doing else ""
        x, y = self.rect.left + LEFT * u, self.rect.top + self._status_y
        ink.write(to, words, (x, y), round(13 * u), self.p.text)
        for k, (line, colour) in enumerate(self._asides, start=1):
            ink.write(to, line, (x, y + (3 + 17 * k) * u), round(12 * u), colour)
        over = self.at(*view.hover) if view.hover is not None else None
        for spot, k in self.spots:
            if k == over:
                pygame.draw.line(to, self.p.text, (spot.left, spot.bottom - 1), (spot.right, spot.bottom - 1))

    @property
    def _width(self) -> float:
        """Of its lines [px]."""
        return self.rect.width - 2 * LEFT * self.u

    def _built(self, view: View, there: int | None, listed: bool) -> Surface:
        """Plate and words, but for those that change with every frame."""
        p, u, told = self.p, self.u, view.film.told
        # Opaque: a plate that lets the sky through takes three times as long to lay on a large window.
        image = pygame.Surface(self.rect.size, depth=32)
        image.fill(p.panel)
        self.spots = []
        y = TOP * u
        if told is None:
            ink.write(image, view.film.title, (LEFT * u, y), round(17 * u), p.text, True)
            y += 24 * u
        else:
            y = self._headline(image, told.headline.grade, told.headline.text)
        self._status_y = y
        y += (20 + 17 * len(self._asides)) * u
        if listed and told is not None and told.findings:
            y += 3 * u
            for k, finding in enumerate(told.findings):
                y = self._finding(image, k, finding, y, k == there)
        whole = image.subsurface((0, 0, self.rect.width, min(round(y + 5 * u), self.rect.height)))
        return whole.convert() if pygame.display.get_surface() else whole.copy()

    def _headline(self, to: Surface, grade: Grade, words: str) -> float:
        """The sentence with its grade as a sign and a word before it; where it ends [px]."""
        p, u = self.p, self.u
        size, y = round(15 * u), TOP * u
        mark = badge(to, grade_words(grade), (LEFT * u, y), round(13 * u), p, grade_colour(p, grade))
        indent = mark.width + 8 * u
        for line in ink.wrapped(words, size, self._width - indent, bold=True):
            ink.write(to, line, (LEFT * u + indent, y), size, p.text, True)
            y += 20 * u
        return y + 2 * u

    def _finding(self, to: Surface, k: int, finding: Finding, y: float, there: bool) -> float:
        """One line, or all of it where the picture is at it."""
        p, u, width = self.p, self.u, self._width
        size, top = round(12 * u), y
        indent = (LEFT + 22) * u
        numbered(to, k, finding.grade, (LEFT * u + 8 * u, y + 8 * u), 8 * u, p)
        when = f"{finding.time_s:.2f} s, {place(finding.at_m)}" if finding.has_moment else "the whole run"
        if there:
            for line in ink.wrapped(finding.text, size, width - 22 * u, bold=True):
                ink.write(to, line, (indent, y), size, p.text, True)
                y += 17 * u
            for line in ink.wrapped(finding.because if finding.causes else "", size, width - 22 * u):
                ink.write(to, line, (indent, y), size, p.mark)
                y += 17 * u
        else:
            room = width - 22 * u - ink.text(f"   {when}", size, p.text_dim).get_width()
            words = ink.shortened(f"{finding.grade.sign} {start(finding.short)}", size, room)
            wide = ink.write(to, words, (indent, y), size, p.text).width
            ink.write(to, when, (indent + wide + 12 * u, y), size, p.text_dim)
            y += 17 * u
        spot = pygame.Rect(self.rect.left + round(LEFT * u), self.rect.top + round(top), round(width), round(y - top))
        self.spots.append((spot, k))
        return y + u


def grade_words(grade: Grade) -> str:
    """`✓`, `! RISK`: never by colour alone."""
    return f"{grade.sign} {grade.word.upper()}" if grade >= Grade.RISK else grade.sign


def badge(
    to: Surface, words: str, at: tuple[float, float], size: int, p: Palette, colour: Colour
) -> pygame.Rect:  # fmt: skip
    """Words on a plate of a colour, its upper left corner at a point."""
    image = ink.text(words, size, p.panel, True)
    rect = pygame.Rect(round(at[0]), round(at[1]), image.get_width() + size, image.get_height() + round(0.2 * size))
    ink.rounded(to, colour, rect, round(0.3 * size))
    to.blit(image, image.get_rect(center=rect.center))
    return rect


def numbered(to: Surface, k: int, grade: Grade, at: tuple[float, float], r: float, p: Palette) -> None:
    """The round mark of a finding: its place among the worst, from 1, in its grade's colour."""
    ink.disc(to, grade_colour(p, grade), at[0], at[1], r, p.panel)
    ink.write(to, f"{k + 1}", at, max(round(1.4 * r), 6), p.panel, True, "")


def _asides(s: Scene, view: View, p: Palette, size: int, width: float) -> list[tuple[str, Colour]]:
    """Lines below time and speed: the ghost, a note on the run, how it ended."""
    film = view.film
    lines: list[tuple[str, Colour]] = []
    if view.ghost is not None and "ghost" in view.layers and view.ghost.rows:
        lines.append((f"ghost (dashed): {_ghost(s, view)}", p.ghost))
    if film.told is None and film.told_later:
        lines.append(("what is worst is being worked out, with runs close by", p.text_dim))
    if film.note:
        lines.append((film.note, p.mark))
    if film.done and s.row >= film.rows - 2:
        lines.append((f"end of the run: {film.ended}", p.mark))
    return [(part, colour) for words, colour in lines for part in ink.wrapped(words, size, width)]


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
