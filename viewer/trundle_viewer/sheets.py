"""Pages laid over the picture: help, layers, the list of numbers to change."""

from __future__ import annotations

from dataclasses import dataclass, field

import pygame

from trundle_viewer import ink, layers
from trundle_viewer.actions import ACTIONS
from trundle_viewer.keys import MOUSE
from trundle_viewer.palette import Palette
from trundle_viewer.view import View

Surface = pygame.Surface


def help_page(to: Surface, p: Palette, u: float) -> None:
    """All keys, what the mouse does, and the layers."""
    size, keys = round(13 * u), [a for a in ACTIONS if a.keys]
    row, half, below = 21 * u, (len(keys) + 1) // 2, layers.listed()
    w, h = 940 * u, (half + max(len(MOUSE), len(below)) + 4.6) * row
    area = to.get_rect()
    box = pygame.Rect(0, 0, round(w), round(h))
    box.center = area.center
    ink.rounded(to, p.panel, box, round(9 * u), p.panel_edge)
    ink.write(to, "Keys", (box.left + 22 * u, box.top + 14 * u), round(17 * u), p.text, True)
    ink.write(to, "H or Esc closes this", (box.right - 22 * u, box.top + 17 * u), size, p.text_dim, anchor="ne")
    for k, action in enumerate(keys):
        x = box.left + (22 * u if k < half else 0.5 * w + 8 * u)
        y = box.top + 50 * u + (k % half) * row
        ink.write(to, action.named, (x, y), size, p.mark, True)
        ink.write(to, action.words, (x + 118 * u, y), size, p.text)
    y = box.top + 50 * u + (half + 0.6) * row
    ink.write(to, "Mouse", (box.left + 22 * u, y), round(17 * u), p.text, True)
    for k, (does, what) in enumerate(MOUSE):
        line = y + 30 * u + k * row
        ink.write(to, does, (box.left + 22 * u, line), size, p.mark, True)
        ink.write(to, what, (box.left + 250 * u, line), size, p.text)
    x = box.left + 0.5 * w + 8 * u
    ink.write(to, "Layers", (x, y), round(17 * u), p.text, True)
    for k, layer in enumerate(below):
        line = y + 30 * u + k * row
        ink.write(to, layer.named, (x, line), size, p.mark, True)
        ink.write(to, f"{layer.name}: {layer.words}", (x + 60 * u, line), size, p.text)


class LayerSheet:
    """A box of layers to tick."""

    def __init__(self) -> None:
        self.spots: list[tuple[pygame.Rect, str]] = []

    def draw(self, to: Surface, p: Palette, u: float, view: View, foot: int) -> None:
        """Above the toolbar, on the left."""
        row, size, listed = 24 * u, round(13 * u), layers.listed()
        box = pygame.Rect(round(380 * u), 0, round(210 * u), round(row * len(listed) + 16 * u))
        box.bottom = round(foot - 6 * u)
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
        """On the left of the picture."""
        row, size = 20 * u, round(12 * u)
        box = pygame.Rect(rect.left + round(14 * u), rect.top + round(66 * u), round(430 * u), 0)
        box.height = rect.bottom - box.top - round(14 * u)
        ink.rounded(to, p.panel, box, round(8 * u), p.panel_edge)
        x, y = box.left + 14 * u, box.top + 10 * u
        ink.write(to, "Change a number", (x, y), round(15 * u), p.text, True)
        ink.write(to, "E or Esc closes", (box.right - 14 * u, y + 2 * u), round(11 * u), p.text_dim, anchor="ne")
        y += 26 * u
        asked = f"search: {self.search}▏" if self.typing is None else f"new value: {self.typing}▏"
        ink.write(to, asked, (x, y), size, p.mark, True)
        y += 24 * u
        foot = box.bottom - 64 * u
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
            ink.write(to, path, (x + 6 * u, line.centery), size, p.text, new, "w")
            words = f"{self.values[path]:g} → {self.changes[path]:g}" if new else f"{self.values[path]:g}"
            ink.write(to, words, (box.right - 14 * u, line.centery), size, p.text, new, "e")
            self.spots.append((line, path))
        said = [
            self.note or "type to search; Up, Down choose; Left, Right nudge (Shift: five times)",
            "Enter: type a value; Ctrl+S: save as a new file; Backspace: search less",
        ]
        for k, words in enumerate(said):
            colour = p.stop if k == 0 and self.note else p.text_dim
            for j, part in enumerate(ink.wrapped(words, size, box.width - 28 * u)[:3]):
                ink.write(to, part, (x, foot + (6 + 17 * (k + j)) * u), round(11 * u), colour)
            if k == 0 and self.note:
                break

    def at(self, px: float, py: float) -> str | None:
        """Field under a pixel."""
        return next((path for rect, path in self.spots if rect.collidepoint(px, py)), None)
