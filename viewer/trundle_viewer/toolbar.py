"""The row of buttons, each with its key: what the mouse can do, the keyboard can, and the other way round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from trundle_viewer import ink, layers
from trundle_viewer.palette import Palette
from trundle_viewer.view import View

Surface = pygame.Surface


@dataclass(frozen=True)
class Button:
    """One button. action: a name in trundle_viewer.actions, or a layer's; icon: drawn; words: written instead of it."""

    action: str
    icon: str = ""
    words: str = ""


def buttons(view: View, recording: bool, can_tweak: bool) -> list[Button]:
    """The buttons as they read now."""
    row = [
        Button("previous event", "skip back"), Button("step back", "step back"),
        Button("play", "pause" if view.playing else "play"),
        Button("step on", "step on"), Button("next event", "skip on"),
        Button("slower", words="−"), Button("speed one", words=f"{view.speed:g}×"),
        Button("faster", words="+"),
        Button("camera", words=view.camera), Button("fit", words="fit"),
        Button("layers", words="layers"),
        *(Button(layer.name, words=layer.name) for layer in layers.listed() if layer.button),
        Button("measure", words="measure"),
    ]  # fmt: skip
    if view.ghost is not None:
        row.append(Button("match", words=f"ghost by {view.match}"))
    if can_tweak:
        row.append(Button("tweak", words="change"))
    row += [
        Button("save picture", words="picture"),
        Button("record", words="stop" if recording else "record"),
        Button("theme", words="light" if view.theme == "dark" else "dark"),
        Button("help", words="help"),
    ]
    return row


class Toolbar:
    """Lays the buttons out in `rect` [px] and says which one is under a pixel."""

    def __init__(self, rect: pygame.Rect, palette: Palette, u: float) -> None:
        self.rect, self.p, self.u = rect, palette, u
        self.spots: list[tuple[pygame.Rect, Button]] = []
        self._key: object = None
        self._image: Surface | None = None

    def at(self, px: float, py: float) -> str | None:
        """Action under a pixel."""
        for rect, button in self.spots:
            if rect.collidepoint(px, py):
                return button.action
        return None

    def draw(self, to: Surface, view: View, active: frozenset[str], recording: bool, can_tweak: bool) -> None:
        """The buttons; pressed-in ones are underlined as well as coloured."""
        row = buttons(view, recording, can_tweak)
        hover = self.at(*view.hover) if view.hover is not None and self.rect.collidepoint(view.hover) else None
        key = (tuple(row), active, hover)
        if key != self._key or self._image is None:
            self._image, self._key = self._build(row, active, hover), key
        to.blit(self._image, self.rect)

    def _build(self, row: list[Button], active: frozenset[str], hover: str | None) -> Surface:
        p, u = self.p, self.u
        image = pygame.Surface(self.rect.size)
        image.fill(p.panel)
        self.spots = []
        x, size, height = 10 * u, round(12 * u), self.rect.height - 10 * u
        for b in row:
            words = ink.text(b.words, size, p.text) if b.words else None
            width = round(words.get_width() + 18 * u if words is not None else 34 * u)
            box = pygame.Rect(round(x), round(5 * u), width, round(height))
            on = b.action in active
            paper = p.button_on if on else p.panel_edge if b.action == hover else p.button
            ink.rounded(image, paper, box, round(5 * u))
            if words is not None:
                image.blit(words, words.get_rect(center=box.center))
            else:
                self._icon(image, b.icon, box.center)
            if on:
                pygame.draw.line(
                    image, p.text, (box.left + 6 * u, box.bottom - 3), (box.right - 6 * u, box.bottom - 3), 2
                )
            self.spots.append((box.move(self.rect.topleft), b))
            x += width + 5 * u
        return image

    def _icon(self, to: Surface, icon: str, at: tuple[float, float]) -> None:
        s, colour = 7.0 * self.u, self.p.text
        right = np.array([[-0.6, -0.9], [0.9, 0.0], [-0.6, 0.9]])
        bar = np.array([[-0.18, -0.9], [0.18, -0.9], [0.18, 0.9], [-0.18, 0.9]])
        shapes = {
            "play": [right * 1.1],
            "pause": [bar * 1.2 + [-0.5, 0], bar * 1.2 + [0.5, 0]],
            "step on": [right * 0.8 + [0.4, 0], bar * 0.8 + [-0.7, 0]],
            "step back": [right * [-0.8, 0.8] + [-0.4, 0], bar * 0.8 + [0.7, 0]],
            "skip on": [right * 0.8 + [-0.6, 0], right * 0.8 + [0.4, 0], bar * 0.8 + [1.2, 0]],
            "skip back": [
                right * [-0.8, 0.8] + [0.6, 0],
                right * [-0.8, 0.8] + [-0.4, 0],
                bar * 0.8 + [-1.2, 0],
            ],
        }
        for shape in shapes[icon]:
            ink.fill(to, colour, shape * s + at)
