"""Opening the window, or saying why there is none."""

from __future__ import annotations

import os

import pygame

from trundle.errors import InputError, Problem

NO_DISPLAY = ("offscreen", "dummy")


INSTEAD_OF_WATCHING = ("watch", "--movie FILE.mp4, --movie FILE.gif or --frame SECONDS FILE.png, which need none")


def open_window(size: tuple[int, int] | None, instead: tuple[str, str] = INSTEAD_OF_WATCHING) -> pygame.Surface:
    """The window. Raises InputError if there is no display to put it on; instead: what asked for it, and what else can
    be asked."""
    asked = os.environ.get("SDL_VIDEODRIVER", "")
    if not asked:
        # Set to nothing it would be taken for the name of a driver.
        os.environ.pop("SDL_VIDEODRIVER", None)
    try:
        pygame.display.init()
        pygame.font.init()
        if pygame.display.get_driver() in NO_DISPLAY and asked not in NO_DISPLAY:
            raise pygame.error("only an invisible display was found")
        if size is None:
            size = _fitting()
        pygame.display.set_caption("Trundle")
        return pygame.display.set_mode(size, pygame.RESIZABLE)
    except pygame.error as e:
        pygame.display.quit()
        raise InputError(
            Problem(
                f"there is no display to open a window on ({e})",
                field=instead[0],
                allowed=instead[1],
            )
        ) from None


def _fitting() -> tuple[int, int]:
    """Most of the desktop, at least 1280 by 720, in 16:9."""
    sizes = pygame.display.get_desktop_sizes()
    w, h = sizes[0] if sizes else (1280, 720)
    width = max(1280, min(int(0.85 * w), int(0.85 * h * 16 / 9)))
    return width, round(width * 9 / 16)
