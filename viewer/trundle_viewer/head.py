"""The head of the picture: how the run went, in words, time and speed, and what is worst, to be gone to."""

from __future__ import annotations

import pygame

from trundle.findings.finding import Finding
from trundle.findings.grades import Grade
from trundle.findings.states import doing_words
from trundle.findings.words import place, start
from trundle.units import MM
from trundle_viewer import ink, pair
from trundle_viewer.film import BRAKE_HOLDS, Film
from trundle_viewer.palette import Colour, Palette, grade_colour
from trundle_viewer.scene import Scene
from trundle_viewer.view import POSITION, View

Surface = pygame.Surface

LEFT, TOP = 16.0, 10.0
"""Where its words begin in the picture [screen units]."""

SHARE = 0.45
"""Of the picture's height, what the head takes at most: on a smaller one the list of what is worst is left out."""

FINDINGS = "findings"
"""The layer with that list."""


class Head:
    """Lays the words out in `rect` [px], wrapped to its width, and says which finding is under a pixel.

    They are drawn once and kept until what they say changes; `bottom`: where they end [px]; most: how high they get
    at any moment of the run [px], for which the picture makes room.
    """

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.bottom = float(rect.top)
        self.most = 0.0
        self.spots: list[tuple[pygame.Rect, int]] = []
        self._key: tuple[object, ...] | None = None
        self._image: Surface | None = None
        self._status_y = 0.0
        self._pair: tuple[Film, Film, str] | None = None
        self._asides: list[tuple[str, Colour]] = []

    def at(self, px: float, py: float) -> int | None:
        """Finding under a pixel, by its place in the list."""
        return next((k for rect, k in self.spots if rect.collidepoint(px, py)), None)

    def lay(self, s: Scene, view: View) -> None:
        """Lay it out for what is told now, unless that is done already."""
        told = view.film.told
        there = told.there(s.time_s, view.finding) if told is not None else None
        self._asides = _asides(s, view, self._named(view), self.p, round(12 * self.u), self._width)
        listed = FINDINGS in view.layers
        key = (id(view.film), told, there, listed, len(self._asides))
        if key != self._key or self._image is None:
            if self._key is None or (key[:2], key[3:]) != (self._key[:2], self._key[3:]):
                self.most = self._most(view, listed)
            self._key = key
            fits = self._height(view, there, listed) <= SHARE * self.rect.height
            self._image = self._built(view, there, listed and fits)
            self.bottom = float(self.rect.top + self._image.get_height())

    def _most(self, view: View, listed: bool) -> float:
        """The highest that it gets, whichever finding the picture is at [px]."""
        told = view.film.told
        states: list[int | None] = [None, *range(len(told.findings) if told is not None else 0)]
        high = [self._height(view, there, listed) for there in states]
        fitting = [h for h in high if h <= SHARE * self.rect.height]
        return max([*fitting, self._height(view, None, False)])

    def _height(self, view: View, there: int | None, listed: bool) -> float:
        """How high it is without being drawn [px]."""
        u, told = self.u, view.film.told
        y = TOP * u + 24 * u
        if told is not None:
            y = TOP * u + (20 * len(self._headline_words(told.headline.grade, told.headline.text)[1]) + 2) * u
        y += (20 + 17 * len(self._asides)) * u
        if listed and told is not None and told.findings:
            y += 3 * u
            for k, finding in enumerate(told.findings):
                y += (17 * (len(self._at_length(finding)) if k == there else 1) + 1) * u
        return round(y + 5 * u)

    def _named(self, view: View) -> str:
        """Which run is which, asked once for each pair: it goes through all fields of both."""
        if view.ghost is None:
            return ""
        if self._pair is None or self._pair[0] is not view.film or self._pair[1] is not view.ghost:
            self._pair = (view.film, view.ghost, pair.words(view.film, view.ghost))
        return self._pair[2]

    def draw(self, to: Surface, s: Scene, view: View) -> None:
        """What was laid out, and where the run is."""
        assert self._image is not None
        to.blit(self._image, self.rect)
        film, u = view.film, self.u
        words = f"{s.time_s:.3f} s    {s.hull_x * MM:.2f} m    {film.at('hull.speed_m_s', s.row):.2f} m/s"
        doing = doing_words(film.at("drive.target_m_s", s.row), film.at(BRAKE_HOLDS, s.row))
        words += f"    {doing}" if doing else ""
        if _two(view):
            words += f"    {pair.SIGNS[1]}: {_gap(s, view)}"
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
        badge(to, grade_words(grade), (LEFT * u, y), round(13 * u), p, grade_colour(p, grade))
        indent, lines = self._headline_words(grade, words)
        for line in lines:
            ink.write(to, line, (LEFT * u + indent, y), size, p.text, True)
            y += 20 * u
        return y + 2 * u

    def _headline_words(self, grade: Grade, words: str) -> tuple[float, tuple[str, ...]]:
        """How far they stand in, past the grade [px], and their lines."""
        small = round(13 * self.u)
        indent = ink.text(grade_words(grade), small, self.p.panel, True).get_width() + small + 8 * self.u
        return indent, ink.wrapped(words, round(15 * self.u), self._width - indent, bold=True)

    def _at_length(self, finding: Finding) -> list[tuple[str, bool]]:
        """A finding and its causes in lines, each with whether it is bold."""
        size, width = round(12 * self.u), self._width - 22 * self.u
        lines = [(line, True) for line in ink.wrapped(finding.text, size, width, bold=True)]
        return lines + [(line, False) for line in ink.wrapped(finding.because if finding.causes else "", size, width)]

    def _finding(self, to: Surface, k: int, finding: Finding, y: float, there: bool) -> float:
        """One line, or all of it where the picture is at it."""
        p, u, width = self.p, self.u, self._width
        size, top = round(12 * u), y
        indent = (LEFT + 22) * u
        numbered(to, k, finding.grade, (LEFT * u + 8 * u, y + 8 * u), 8 * u, p)
        when = f"{finding.time_s:.2f} s, {place(finding.at_m)}" if finding.has_moment else "the whole run"
        if there:
            for line, bold in self._at_length(finding):
                ink.write(to, line, (indent, y), size, p.text if bold else p.mark, bold)
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


def _asides(s: Scene, view: View, named: str, p: Palette, size: int, width: float) -> list[tuple[str, Colour]]:
    """Lines below time and speed: which of two runs is which, a note on the run, how it ended."""
    film = view.film
    lines: list[tuple[str, Colour]] = []
    if _two(view):
        lines.append((named, p.ghost))
    if film.told is None and film.told_later:
        lines.append(("what is worst is being worked out, with runs close by", p.text_dim))
    if film.note:
        lines.append((film.note, p.mark))
    if film.done and s.row >= film.rows - 2:
        lines.append((f"end of the run: {film.ended}", p.mark))
    return [(part, colour) for words, colour in lines for part in ink.wrapped(words, size, width)]


def _two(view: View) -> bool:
    """Whether another run is drawn with it."""
    return view.ghost is not None and "ghost" in view.layers and view.ghost.rows > 0


def _gap(s: Scene, view: View) -> str:
    """How far the other run is away where, or when, it is drawn."""
    g = view.ghost
    assert g is not None
    row = view.ghost_row()
    if view.match == POSITION:
        late = g.time(row) - s.time_s
        if abs(late) < 0.005:
            return "at the same place at the same time"
        return f"at the same place {abs(late):.2f} s {'later' if late > 0.0 else 'sooner'}"
    ahead = g.at("hull.x_mm", row) - s.hull_x
    return f"at the same time {abs(ahead):.0f} mm {'ahead' if ahead > 0.0 else 'behind'}"
