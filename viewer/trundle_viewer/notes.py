"""Words on what must not be missed, on leaders to above the vehicle, in rows so that none overlap."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from trundle_viewer import ink
from trundle_viewer.palette import Colour, Palette

Surface = pygame.Surface


@dataclass(frozen=True)
class Note:
    """One of them. x, y: what it is about [px]; shape: of its mark (see ink.mark)."""

    x: float
    y: float
    words: str
    shape: str
    colour: Colour


def place(
    to: Surface, p: Palette, u: float, size: int, notes: list[Note], floor: float, ceiling: float, rect: pygame.Rect
) -> None:
    """Draw them above `floor` [px], left to right, each in the lowest row where it fits, a leader down; below `ceiling`
    even when the vehicle is high: then they lie over it."""
    rows: list[float] = []
    spots = []
    for note in sorted(notes, key=lambda n: (n.x, n.words)):
        half = 0.5 * ink.text(note.words, size, note.colour, True).get_width() + 1.1 * size
        centre = min(max(note.x, rect.left + half + 4 * u), rect.right - half - 4 * u)
        row = next((k for k, end in enumerate(rows) if end < centre - half), len(rows))
        if row == len(rows):
            rows.append(0.0)
        rows[row] = centre + half + 4 * u
        spots.append((note, centre, row))
    step = 1.75 * size
    floor = max(floor, ceiling + (len(rows) - 0.4) * step)
    for note, centre, row in spots:
        ink.line(to, note.colour, (centre, floor - row * step), (note.x, note.y), 1.0)
        ink.mark(to, "diamond", (note.x, note.y), 3.0 * u, note.colour)
    for note, centre, row in spots:
        ink.pill(to, note.words, (centre, floor - row * step), size, note.colour, p.panel, note.shape)
