"""A window on drawings: pages to move about in and to look at closely."""

from __future__ import annotations

import io
import time
from collections.abc import Sequence

import pygame

from trundle.drawing.sheet import Drawing
from trundle_viewer.window import open_window

FPS = 60
MOST_PX = 3_600
"""Width to which a page is painted; beyond that what is painted is stretched."""

CLOSEST = 12.0
IDLE_S = 0.2
"""For so long nothing must have changed before a page is painted anew: painting takes longer than a frame."""

DESK, INK, BAR_PX = (96, 102, 106), (235, 238, 240), 26
KEYS = "wheel or + -: closer, drag: move, arrows or page keys: pages, 0: whole page, Q: close"


class PaperView:
    """Which page is seen and where. zoom: 1 shows all of it; offset: of its upper left corner from the middle of the
    window [px]."""

    def __init__(self, pages: Sequence[Drawing], size: tuple[int, int]) -> None:
        self.pages, self.size = pages, size
        self.number = 0
        self.closed = False
        self._painted: dict[int, tuple[int, pygame.Surface]] = {}
        self._since = 0.0
        self.whole()

    @property
    def page(self) -> Drawing:
        """The one that is seen."""
        return self.pages[self.number]

    @property
    def fit(self) -> float:
        """Pixels per millimetre at which all of the page is seen."""
        return min(self.size[0] / self.page.width, (self.size[1] - BAR_PX) / self.page.height) * 0.98

    @property
    def per_mm(self) -> float:
        """Pixels per millimetre."""
        return self.fit * self.zoom

    def whole(self) -> None:
        """All of the page, in the middle."""
        self.zoom = 1.0
        self.offset = (-0.5 * self.page.width * self.fit, -0.5 * self.page.height * self.fit)
        self._since = time.monotonic()

    def turn(self, by: int) -> None:
        """Another page, all of it."""
        number = min(max(self.number + by, 0), len(self.pages) - 1)
        if number != self.number:
            self.number = number
            self.whole()

    def closer(self, times: float, at: tuple[int, int] | None = None) -> None:
        """So many times closer (or further), what is at a pixel of the window staying there."""
        zoom = min(max(self.zoom * times, 1.0), CLOSEST)
        if zoom == 1.0:
            self.whole()
            return
        mx, my = self._middle
        x, y = (at[0] - mx, at[1] - my) if at is not None else (0.0, 0.0)
        share = zoom / self.zoom
        self.zoom = zoom
        self.offset = (x + (self.offset[0] - x) * share, y + (self.offset[1] - y) * share)
        self._since = time.monotonic()

    def move(self, dx: float, dy: float) -> None:
        """By so many pixels."""
        self.offset = (self.offset[0] + dx, self.offset[1] + dy)

    def resize(self, size: tuple[int, int]) -> None:
        """Of the window."""
        self.size = size
        self.whole()

    def take(self, event: pygame.event.Event) -> None:
        """A key or the mouse."""
        if event.type == pygame.QUIT:
            self.closed = True
        elif event.type == pygame.VIDEORESIZE:
            self.resize((max(event.w, 200), max(event.h, 150)))
        elif event.type == pygame.MOUSEWHEEL:
            self.closer(1.2**event.y, pygame.mouse.get_pos())
        elif event.type == pygame.MOUSEMOTION and event.buttons[0]:
            self.move(*event.rel)
        elif event.type == pygame.KEYDOWN:
            self._key(event.key)

    def _key(self, key: int) -> None:
        if key in (pygame.K_q, pygame.K_ESCAPE):
            self.closed = True
        elif key in (pygame.K_RIGHT, pygame.K_PAGEDOWN, pygame.K_SPACE):
            self.turn(1)
        elif key in (pygame.K_LEFT, pygame.K_PAGEUP):
            self.turn(-1)
        elif key in (pygame.K_PLUS, pygame.K_EQUALS, pygame.K_KP_PLUS):
            self.closer(1.25)
        elif key in (pygame.K_MINUS, pygame.K_KP_MINUS):
            self.closer(0.8)
        elif key in (pygame.K_0, pygame.K_KP0):
            self.whole()

    def paint(self, screen: pygame.Surface) -> None:
        """The page as it is seen, stretched from what is painted while one looks closer."""
        screen.fill(DESK)
        wide = round(self.page.width * self.per_mm)
        sheet = self._sheet(wide)
        mx, my = self._middle
        window = screen.get_rect()
        at = pygame.Rect(round(mx + self.offset[0]), round(my + self.offset[1]), wide, 0)
        at.height = round(self.page.height * self.per_mm)
        seen = at.clip(window)
        if seen.width > 0 and seen.height > 0:
            share = sheet.get_width() / wide
            part = pygame.Rect(
                round((seen.x - at.x) * share), round((seen.y - at.y) * share),
                max(1, round(seen.width * share)), max(1, round(seen.height * share)),
            ).clip(sheet.get_rect())  # fmt: skip
            if part.width > 0 and part.height > 0:
                cut = sheet.subsurface(part)
                screen.blit(cut if cut.get_size() == seen.size else pygame.transform.smoothscale(cut, seen.size), seen)
        self._bar(screen)

    def _sheet(self, wide: int) -> pygame.Surface:
        wanted = min(wide, MOST_PX)
        kept = self._painted.get(self.number)
        if kept is not None and (kept[0] == wanted or time.monotonic() - self._since < IDLE_S):
            return kept[1]
        surface = pygame.image.load(io.BytesIO(self.page.png(width_px=wanted)), "page.png").convert()
        self._painted[self.number] = (wanted, surface)
        return surface

    def _bar(self, screen: pygame.Surface) -> None:
        w, h = self.size
        pygame.draw.rect(screen, (52, 57, 60), (0, h - BAR_PX, w, BAR_PX))
        font = pygame.font.Font(None, 20)
        words = f"page {self.number + 1} of {len(self.pages)}: {self.page.title}"
        text, keys = font.render(words, True, INK), font.render(KEYS, True, INK)
        screen.blit(text, (10, h - BAR_PX + 6))
        if text.get_width() + keys.get_width() + 40 < w:
            screen.blit(keys, (w - keys.get_width() - 10, h - BAR_PX + 6))

    @property
    def _middle(self) -> tuple[float, float]:
        return 0.5 * self.size[0], 0.5 * (self.size[1] - BAR_PX)


def show(pages: Sequence[Drawing], title: str = "Trundle") -> None:
    """The window, until it is closed. Raises InputError if there is no display."""
    screen = open_window(None, ("--window", "--out FILE.pdf, .png or .svg, which needs none"))
    pygame.display.set_caption(title)
    view = PaperView(pages, screen.get_size())
    clock = pygame.time.Clock()
    try:
        while not view.closed:
            for event in pygame.event.get():
                view.take(event)
            view.paint(pygame.display.get_surface() or screen)
            pygame.display.flip()
            clock.tick(FPS)
    finally:
        pygame.font.quit()
        pygame.display.quit()
