"""The strip along the foot of the window: the whole course, the vehicle's place on it, ticks where events happened.

A tick stands where the wheel, end or hull was that its event is of; the vehicle's place is a line at its centre of mass
with a bar from its hindmost to its foremost wheel, so that a tick of one of them lies within.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from trundle.findings import events as ev
from trundle.findings.events.marks import MARKS
from trundle.record.columns import ENDS
from trundle.units import MM
from trundle_viewer import ink
from trundle_viewer.film import Event, Film
from trundle_viewer.head import numbered
from trundle_viewer.palette import Colour, Palette
from trundle_viewer.view import View

Surface = pygame.Surface

HIGH = 98.0
"""Height of the strip [screen units]."""

LEFT = 118.0
"""Room for the lanes' names [screen units]."""

WORST = "worst first"
"""Name of the lane above those of events: the numbered findings."""

LANE_NAMES = ("stops", "wheels off", "track, belly, drive")


@dataclass(frozen=True)
class Tick:
    """How a kind of event is marked. shape: see ink.mark; lane: which of LANE_NAMES; colour: field of the palette."""

    shape: str
    lane: int
    colour: str = "mark"


_LANES = {
    ev.BUMP: (0, "stop"),
    ev.DROOP: (0, "droop"),
    ev.OFF: (1, "off"),
    ev.TOOTH: (1, "off"),
    ev.LOOSE: (2, "slack"),
    ev.TIGHT: (2, "mark"),
    ev.NOSE: (2, "mark"),
    ev.BELLY: (2, "mark"),
    ev.SPIN: (2, "mark"),
    ev.STILL: (2, "mark"),
    ev.WAIT: (2, "mark"),
    ev.BACK: (2, "mark"),
}

TICKS = {kind: Tick(MARKS[kind], lane, colour) for kind, (lane, colour) in _LANES.items()}
"""All kinds of events."""

UNKNOWN = Tick("bar", 2)
"""For a kind that only an older record has."""


def tick(kind: str) -> Tick:
    """How a kind of event is marked."""
    return TICKS.get(kind, UNKNOWN)


def event_colour(p: Palette, kind: str) -> Colour:
    """Colour of an event's tick."""
    colour: Colour = getattr(p, tick(kind).colour)
    return colour


class Strip:
    """Course strip in `rect` [px]. The profile and the ticks are kept until the run grows."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self._key: object = None
        self._image: Surface | None = None

    @property
    def _inner(self) -> tuple[float, float]:
        return self.rect.left + LEFT * self.u, self.rect.right - 16 * self.u

    def x_of(self, film: Film, x_mm: float) -> float:
        """Pixel of a course position."""
        left, right = self._inner
        whole = film.ground.length_m / MM
        return left + (right - left) * min(max(x_mm / whole, 0.0), 1.0)

    def time_at(self, film: Film, px: float) -> float:
        """Time at which the hull's centre of mass is first at a pixel's course position [s]."""
        left, right = self._inner
        x = (px - left) / (right - left) * film.ground.length_m / MM
        return film.time(film.row_at_x(x))

    def _lane(self, kind: str) -> float:
        return self.rect.top + (27 + 14 * tick(kind).lane) * self.u

    def finding_at(self, film: Film, px: float, py: float) -> int | None:
        """The finding whose mark is under a pixel, by its place among the worst."""
        return next((k for k, x, y in self._marks(film) if max(abs(x - px), abs(y - py)) < 8.0 * self.u), None)

    def _marks(self, film: Film) -> list[tuple[int, float, float]]:
        """Number and pixel of the mark of each finding that has a moment, side by side where they would overlap."""
        found = enumerate(film.told.findings if film.told is not None else ())
        at = sorted((f.at_m / MM, k) for k, f in found if f.has_moment)
        placed, free = [], 0.0
        for x_mm, k in at:
            x = max(self.x_of(film, x_mm), free)
            free = x + 14.0 * self.u
            placed.append((k, x, self.rect.top + 12 * self.u))
        return placed

    def event_at(self, film: Film, px: float, py: float) -> Event | None:
        """The event whose tick is under a pixel."""
        best, found = 7.0 * self.u, None
        for e in film.events:
            away = max(abs(self.x_of(film, e.x_mm) - px), abs(self._lane(e.kind) - py))
            if away < best:
                best, found = away, e
        return found

    def _build(self, film: Film) -> Surface:
        p, u = self.p, self.u
        image = pygame.Surface(self.rect.size)
        image.fill(p.panel)
        pygame.draw.line(image, p.panel_edge, (0, 0), (self.rect.width, 0))
        off = np.array([-self.rect.left, -self.rect.top])
        size = ink.small(10 * u)
        for k, name in enumerate((WORST, *LANE_NAMES)):
            y = (13 + 14 * k) * u
            ink.write(image, name, ((LEFT - 6) * u, y), size, p.text_dim, anchor="e")
            pygame.draw.line(image, p.grid, (round(LEFT * u), round(y)), (self.rect.width - round(16 * u), round(y)))
        height = film.ground.height_m
        left, right = self._inner
        n = min(len(height), round(right - left))
        # Highest point of each pixel's piece, so that a narrow bar is not lost.
        pieces = np.linspace(0, len(height), n + 1).astype(int)[:-1]
        tall = np.maximum.reduceat(height, pieces)
        deep = np.minimum.reduceat(height, pieces)
        shown = np.where(np.abs(deep - height[0]) > np.abs(tall - height[0]), deep, tall)
        low, high = float(height.min()), float(height.max())
        foot, room = self.rect.height - 8 * u, 26 * u
        span = max(high - low, 0.15)
        line = foot - (shown - low) / span * room
        x = np.linspace(left, right, n) + off[0]
        body = np.concatenate([np.stack([x, line], axis=1), [[x[-1], self.rect.height], [x[0], self.rect.height]]])
        pygame.draw.polygon(image, p.ground, np.rint(body).tolist())
        ink.outline(image, p.ground_edge, body[:-2], False)
        ink.write(image, "course", ((LEFT - 6) * u, foot - 8 * u), size, p.text_dim, anchor="e")
        for e in film.events:
            at = (self.x_of(film, e.x_mm) + off[0], self._lane(e.kind) + off[1])
            ink.mark(image, tick(e.kind).shape, at, 3.6 * u, event_colour(p, e.kind))
        return image

    def _extent(self, to: Surface, film: Film, row: int) -> None:
        """A bar from the hindmost to the foremost thing that stands or hangs on the track."""
        p, u = self.p, self.u
        rings = [*film.assembly.wheel, *(ENDS if film.vehicle.track is not None else ())]
        places = [film.at(f"{'wheel.' if ring not in ENDS else ''}{ring}.x_mm", row) for ring in rings]
        left, right = self.x_of(film, min(places)), self.x_of(film, max(places))
        y = self.rect.top + 5 * u
        ink.line(to, p.text, (left, y), (right, y), 1.8 * u)
        for end in (left, right):
            ink.line(to, p.text, (end, y - 3 * u), (end, y + 3 * u), 1.8 * u)

    def draw(self, to: Surface, view: View) -> None:
        """The strip with both hulls' places; the event under the pointer is named."""
        film, p, u = view.film, self.p, self.u
        key = (id(film), len(film.events), film.rows if film.done else 0, film.told)
        if self._image is None or key != self._key:
            self._image, self._key = self._build(film), key
        to.blit(self._image, self.rect)
        if not film.done and film.rows:
            x = self.x_of(film, film.at("hull.x_mm", film.rows - 1))
            ink.line(to, p.text_dim, (x, self.rect.bottom - 36 * u), (x, self.rect.bottom), 1.0)
            ink.write(
                to,
                "worked out to here",
                (x - 4 * u, self.rect.bottom - 36 * u),
                ink.small(9 * u),
                p.text_dim,
                anchor="ne",
            )
        if view.ghost is not None and view.ghost.rows:
            x = self.x_of(film, view.ghost.at("hull.x_mm", view.ghost_row()))
            ink.dashes(to, p.ghost, np.array([[x, self.rect.top + 2.0], [x, self.rect.bottom - 2.0]]), 4 * u, 3 * u)
        self._extent(to, film, view.row)
        x = self.x_of(film, film.at("hull.x_mm", view.row))
        ink.line(to, p.text, (x, self.rect.top + 4 * u), (x, self.rect.bottom), 1.8 * u)
        ink.mark(to, "down", (x, self.rect.top + 4 * u), 5.0 * u, p.text)
        for k, at, y in self._marks(film):
            assert film.told is not None
            numbered(to, k, film.told.findings[k].grade, (at, y), 6.5 * u, p)
        if view.hover is not None and self.rect.collidepoint(view.hover):
            e = self.event_at(film, *view.hover)
            if e is not None:
                said = [
                    f"{e.kind}: {e.where}",
                    f"{e.time_s:.3f} s, {e.x_mm * MM:.2f} m, for {e.duration_s:.3f} s",
                ]
                if e.peak_N == e.peak_N:
                    said.append(f"peak {e.peak_N:.0f} N")
                if e.obstacle:
                    said.append(f"at {e.obstacle}")
                from trundle_viewer.readings import card

                h = (len(said) * 18 + 16) * u
                card(to, p, u, said, (view.hover[0] + 10 * u, self.rect.top - h), (0, 0, *to.get_size()))
