"""The list of courses to roll over: the shipped ones and those beside the vehicle, the last used first."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pygame

from trundle.spec.shipped import find, names
from trundle_viewer import ink
from trundle_viewer.palette import Palette

Surface = pygame.Surface


def courses(folder: Path, last: Path | None) -> list[Path]:
    """The shipped ones and the course files of a folder, the last used first."""
    own = [p for p in sorted(folder.glob("*.toml")) if _is_course(p)]
    found = [*own, *(find("courses", name) for name in names("courses"))]
    return found if last is None else [last, *(p for p in found if p != last)]


def _is_course(file: Path) -> bool:
    """By a look at its text: what is wrong in it is told when it is chosen."""
    try:
        with file.open(encoding="utf-8") as opened:
            return "[[obstacle]]" in opened.read(100_000)
    except (OSError, UnicodeDecodeError):
        return False


@dataclass
class Chooser:
    """files: to choose from; chosen: which of them."""

    files: list[Path]
    chosen: int = 0
    spots: list[tuple[pygame.Rect, int]] = field(default_factory=list)

    def move(self, by: int) -> None:
        """Choose another."""
        self.chosen = min(max(self.chosen + by, 0), len(self.files) - 1)

    def at(self, px: float, py: float) -> int | None:
        """The one under a pixel."""
        return next((k for rect, k in self.spots if rect.collidepoint(px, py)), None)

    def draw(self, to: Surface, p: Palette, u: float, rect: pygame.Rect) -> None:
        """In the middle of the picture."""
        row, size = 24 * u, round(14 * u)
        shown = min(len(self.files), int((rect.height - 120 * u) / row))
        box = pygame.Rect(0, 0, round(380 * u), round(shown * row + 70 * u))
        box.center = rect.center
        ink.rounded(to, p.panel, box, round(9 * u), p.panel_edge)
        ink.write(to, "Roll over a course", (box.left + 18 * u, box.top + 12 * u), round(16 * u), p.text, True)
        said = "Enter or a click: roll; Esc: not now"
        ink.write(to, said, (box.left + 18 * u, box.bottom - 24 * u), round(12 * u), p.text_dim)
        begin = min(max(self.chosen - shown // 2, 0), len(self.files) - shown)
        self.spots = []
        for k in range(begin, begin + shown):
            line = pygame.Rect(box.left + round(8 * u), round(box.top + 40 * u + (k - begin) * row), 0, round(row))
            line.width = box.width - round(16 * u)
            if k == self.chosen:
                ink.rounded(to, p.button_on, line, round(5 * u))
                ink.mark(to, "diamond", (line.left + 9 * u, line.centery), 4 * u, p.text)
            ink.write(to, self.files[k].stem, (line.left + 20 * u, line.centery), size, p.text, k == self.chosen, "w")
            self.spots.append((line, k))
