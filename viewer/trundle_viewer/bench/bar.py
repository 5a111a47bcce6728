"""The row of buttons under the bench, and its help page."""

from __future__ import annotations

import pygame

from trundle_viewer import ink
from trundle_viewer.bench.actions import ACTIONS, MOUSE
from trundle_viewer.palette import Palette

Surface = pygame.Surface

BUTTONS = (
    ("undo", "undo"), ("redo", "redo"), ("reset field", "field as opened"), ("reset all", "all as opened"),
    ("alike", ""), ("roll", "roll over a course"), ("save", "save"), ("picture", "picture"), ("fit", "fit"),
    ("theme", ""), ("help", "help"),
)  # fmt: skip
"""Action and words of each; words that change are put in as it is drawn."""


class Bar:
    """Lays the buttons out in `rect` [px] and says which one is under a pixel."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.spots: list[tuple[pygame.Rect, str]] = []

    def at(self, px: float, py: float) -> str | None:
        """Action under a pixel."""
        return next((name for rect, name in self.spots if rect.collidepoint(px, py)), None)

    def draw(self, to: Surface, alike: bool, theme: str, hover: tuple[float, float] | None) -> None:
        """The buttons as they read now; one that is on is underlined as well as coloured."""
        p, u = self.p, self.u
        pygame.draw.rect(to, p.panel, self.rect)
        self.spots = []
        x, size, height = self.rect.left + 10 * u, round(12 * u), self.rect.height - 10 * u
        for name, fixed in BUTTONS:
            said = {"alike": "all alike" if alike else "one only", "theme": "light" if theme == "dark" else "dark"}
            words = ink.text(fixed or said[name], size, p.text)
            box = pygame.Rect(round(x), round(self.rect.top + 5 * u), round(words.get_width() + 18 * u), round(height))
            on = name == "alike" and alike
            over = hover is not None and box.collidepoint(hover)
            ink.rounded(to, p.button_on if on else p.panel_edge if over else p.button, box, round(5 * u))
            to.blit(words, words.get_rect(center=box.center))
            if on:
                a, b = (box.left + 6 * u, box.bottom - 3), (box.right - 6 * u, box.bottom - 3)
                pygame.draw.line(to, p.text, a, b, 2)
            self.spots.append((box, name))
            x += box.width + 5 * u


def help_page(to: Surface, p: Palette, u: float) -> None:
    """All keys, and what the mouse does."""
    size, row = round(13 * u), 21 * u
    keys = [a for a in ACTIONS if a.named]
    half = (len(keys) + 1) // 2
    box = pygame.Rect(0, 0, round(1010 * u), round((half + len(MOUSE) + 5) * row))
    box.center = to.get_rect().center
    ink.rounded(to, p.panel, box, round(9 * u), p.panel_edge)
    ink.write(to, "Keys of the bench", (box.left + 22 * u, box.top + 14 * u), round(17 * u), p.text, True)
    ink.write(to, "H or Esc closes this", (box.right - 22 * u, box.top + 17 * u), size, p.text_dim, anchor="ne")
    for k, action in enumerate(keys):
        x = box.left + (22 * u if k < half else 0.5 * box.width + 8 * u)
        y = box.top + 50 * u + (k % half) * row
        ink.write(to, action.named, (x, y), size, p.mark, True)
        ink.write(to, action.words, (x + 176 * u, y), size, p.text)
    y = box.top + 50 * u + (half + 0.6) * row
    ink.write(to, "Mouse", (box.left + 22 * u, y), round(17 * u), p.text, True)
    for k, (does, what) in enumerate(MOUSE):
        line = y + 30 * u + k * row
        ink.write(to, does, (box.left + 22 * u, line), size, p.mark, True)
        ink.write(to, what, (box.left + 250 * u, line), size, p.text)
