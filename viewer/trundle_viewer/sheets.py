"""Pages laid over the picture: help, layers, the list of numbers to change."""

from __future__ import annotations

from dataclasses import dataclass, field

import pygame

from trundle_viewer import ink, layers
from trundle_viewer.actions import ACTIONS
from trundle_viewer.keys import ALWAYS, MOUSE, SHEET_KEYS
from trundle_viewer.palette import Palette
from trundle_viewer.view import View

Surface = pygame.Surface


def help_page(to: Surface, p: Palette, u: float) -> None:
    """All keys, what the mouse does, and the layers."""
    keys = [(action.named, action.words) for action in ACTIONS if action.keys] + list(ALWAYS)
    half = (len(keys) + 1) // 2
    below = [(layer.named, f"{layer.name}: {layer.words}") for layer in layers.listed()]
    typed = [(named, does) for named, does, _ in SHEET_KEYS]
    # Title, entries, and how far right of its key an entry's words stand [screen units].
    upper = (("Keys", keys[:half], 108), ("More keys", keys[half:], 108), ("Layers: shown or hidden", below, 66))
    lower = (("Mouse", list(MOUSE), 176), ("While a number is changed", typed, 108))
    row, size, high = 19.5 * u, round(12 * u), max(half, len(below))
    box = pygame.Rect(0, 0, round(1216 * u), round((high + max(len(part[1]) for part in lower)) * row + 106 * u))
    box.center = to.get_rect().center
    ink.rounded(to, p.panel, box, round(9 * u), p.panel_edge)
    ink.write(to, "H or Esc closes this", (box.right - 20 * u, box.top + 12 * u), size, p.text_dim, anchor="ne")
    for parts, top in ((upper, box.top + 12 * u), (lower, box.top + 52 * u + high * row)):
        for k, (title, entries, right) in enumerate(parts):
            x = box.left + (20 + 400 * k) * u
            ink.write(to, title, (x, top), round(15 * u), p.text, True)
            for j, (named, words) in enumerate(entries):
                y = top + 30 * u + j * row
                ink.write(to, named, (x, y), size, p.mark, True)
                ink.write(to, words, (x + right * u, y), size, p.text)


def _tail(words: str, size: int, width: float, bold: bool) -> str:
    """A field's path cut from the left to a width [px]: its end says what it is."""
    while words and ink.font(size, bold).size(f"…{words}")[0] > width:
        words = words[1:]
    return f"…{words}"


class LayerSheet:
    """A box of layers to tick."""

    def __init__(self) -> None:
        self.spots: list[tuple[pygame.Rect, str]] = []

    def draw(self, to: Surface, p: Palette, u: float, view: View, foot: int) -> None:
        """Above the toolbar, on the right: over traces and strip, so that what is shown or hidden can be seen."""
        row, size, listed = 24 * u, round(13 * u), layers.listed()
        box = pygame.Rect(0, 0, round(248 * u), round(row * len(listed) + 16 * u))
        box.bottomright = (to.get_width() - round(10 * u), round(foot - 6 * u))
        ink.rounded(to, p.panel, box, round(7 * u), p.panel_edge)
        self.spots = []
        for k, layer in enumerate(listed):
            line = pygame.Rect(box.left, round(box.top + 8 * u + k * row), box.width, round(row))
            tick = pygame.Rect(0, 0, round(14 * u), round(14 * u))
            tick.midleft = (round(box.left + 12 * u), line.centery)
            pygame.draw.rect(to, p.text, tick, 1)
            if layer.name in view.layers:
                a, b, c = (
                    (tick.left + 3 * u, tick.centery),
                    (tick.centerx - u, tick.bottom - 4 * u),
                    (tick.right - 2 * u, tick.top + 3 * u),
                )
                ink.line(to, p.text, a, b, 2 * u)
                ink.line(to, p.text, b, c, 2 * u)
            ink.write(to, layer.name, (tick.right + 10 * u, line.centery), size, p.text, anchor="w")
            ink.write(to, layer.named, (box.right - 12 * u, line.centery), size, p.text_dim, anchor="e")
            self.spots.append((line, layer.name))

    def at(self, px: float, py: float) -> str | None:
        """Layer under a pixel."""
        return next((name for rect, name in self.spots if rect.collidepoint(px, py)), None)


@dataclass
class TweakSheet:
    """The list of numbers: type to search, arrows to choose and to nudge, Enter to type a value."""

    values: dict[str, float]
    changes: dict[str, float] = field(default_factory=dict)
    search: str = ""
    chosen: int = 0
    typing: str | None = None
    note: str = ""
    spots: list[tuple[pygame.Rect, str]] = field(default_factory=list)
    box: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 0, 0))

    def shown(self) -> list[str]:
        """Paths that hold every word of the search."""
        words = self.search.lower().split()
        return [p for p in self.values if all(w in p.lower() for w in words)]

    @property
    def path(self) -> str | None:
        """The chosen field."""
        paths = self.shown()
        return paths[min(self.chosen, len(paths) - 1)] if paths else None

    def value(self, path: str) -> float:
        """Its value now."""
        return self.changes.get(path, self.values[path])

    def move(self, by: int) -> None:
        """Choose another field."""
        n = len(self.shown())
        self.chosen = min(max(self.chosen + by, 0), max(n - 1, 0))

    def draw(self, to: Surface, p: Palette, u: float, rect: pygame.Rect) -> None:
        """In `rect`, beside the picture."""
        row, size = 20 * u, ink.small(12 * u)
        self.box = box = rect
        to.fill(p.panel, box)
        pygame.draw.line(to, p.panel_edge, box.topleft, box.bottomleft)
        x, y = box.left + 14 * u, box.top + 10 * u
        ink.write(to, "Change a number", (x, y), round(15 * u), p.text, True)
        ink.write(to, "Esc closes", (box.right - 14 * u, y + 2 * u), round(11 * u), p.text_dim, anchor="ne")
        y += 26 * u
        asked = f"search: {self.search}▏" if self.typing is None else f"new value: {self.typing}▏"
        ink.write(to, asked, (x, y), size, p.mark, True)
        y += 24 * u
        foot = box.bottom - 84 * u
        room = max(1, int((foot - y) / row))
        paths = self.shown()
        self.chosen = min(self.chosen, max(len(paths) - 1, 0))
        first = min(max(self.chosen - room // 2, 0), max(len(paths) - room, 0))
        self.spots = []
        for k, path in enumerate(paths[first : first + room]):
            line = pygame.Rect(box.left + round(6 * u), round(y + k * row), box.width - round(12 * u), round(row))
            if first + k == self.chosen:
                ink.rounded(to, p.button_on, line, round(4 * u))
                ink.mark(to, "diamond", (line.left + 8 * u, line.centery), 3.5 * u, p.text)
            new = path in self.changes
            words = f"{self.values[path]:g} → {self.changes[path]:g}" if new else f"{self.values[path]:g}"
            right = ink.write(to, words, (box.right - 14 * u, line.centery), size, p.text, new, "e").left
            wide = right - x - 12 * u
            named = path if ink.font(size, new).size(path)[0] <= wide else _tail(path, size, wide, new)
            ink.write(to, named, (x + 6 * u, line.centery), size, p.text, new, "w")
            self.spots.append((line, path))
        note = "Type to search. " + "; ".join(f"{named}: {does}" for named, does, *_ in SHEET_KEYS) + "."
        small = ink.small(11 * u)
        for k, part in enumerate(ink.wrapped(self.note or note, small, box.width - 28 * u)[:5]):
            ink.write(to, part, (x, foot + (6 + 15 * k) * u), small, p.stop if self.note else p.text_dim)

    def at(self, px: float, py: float) -> str | None:
        """Field under a pixel."""
        return next((path for rect, path in self.spots if rect.collidepoint(px, py)), None)
