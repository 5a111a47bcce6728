"""The window on drawings: pages, closer looks, moves; without a display, on pygame's dummy one."""

from __future__ import annotations

import os

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

from collections.abc import Iterator

import numpy as np
import pygame
import pytest

from trundle.drawing.marks import Circle, Text
from trundle.drawing.sheet import Drawing
from trundle.errors import InputError
from trundle_viewer import paper
from trundle_viewer.paper import BAR_PX, CLOSEST, PaperView
from trundle_viewer.window import open_window

SIZE = (840, 594 + BAR_PX)


@pytest.fixture
def screen() -> Iterator[pygame.Surface]:
    yield open_window(SIZE)
    pygame.font.quit()
    pygame.display.quit()


def pages() -> tuple[Drawing, Drawing]:
    """On each a black disc, on the second in another place."""
    first = Drawing(420.0, 297.0, "one", [Circle(105.0, 74.25, 10.0, "cut", True), Text(200.0, 200.0, "words")])
    return first, Drawing(420.0, 297.0, "two", [Circle(315.0, 222.75, 10.0, "cut", True)])


def black(screen: pygame.Surface) -> tuple[float, float]:
    """Middle of what is black [px]."""
    pixels = pygame.surfarray.array3d(screen)[:, : SIZE[1] - BAR_PX]
    x, y = np.nonzero(pixels.sum(axis=2) < 60)
    return float(x.mean()), float(y.mean())


def key(view: PaperView, code: int) -> None:
    view.take(pygame.event.Event(pygame.KEYDOWN, key=code))


def test_a_page_is_seen_whole_and_in_the_middle(screen: pygame.Surface) -> None:
    """A quarter across and up it is a quarter across and up the window, less the two percent of air."""
    view = PaperView(pages(), SIZE)
    view.paint(screen)
    w, h = SIZE[0], SIZE[1] - BAR_PX
    x, y = black(screen)
    assert x == pytest.approx(0.5 * w - 0.25 * w * 0.98, abs=1.5)
    assert y == pytest.approx(0.5 * h + 0.25 * h * 0.98, abs=1.5)


def test_keys_turn_pages_and_do_not_run_over_the_end(screen: pygame.Surface) -> None:
    view = PaperView(pages(), SIZE)
    key(view, pygame.K_RIGHT)
    view.paint(screen)
    assert view.page.title == "two"
    assert black(screen)[0] > 0.5 * SIZE[0]
    key(view, pygame.K_PAGEDOWN)
    assert view.number == 1
    key(view, pygame.K_LEFT)
    key(view, pygame.K_LEFT)
    assert view.number == 0


def test_what_is_under_the_pointer_stays_there(screen: pygame.Surface) -> None:
    """Closer about the disc: it stays where it is, and grows."""
    view = PaperView(pages(), SIZE)
    view.paint(screen)
    there = black(screen)
    view.closer(3.0, (round(there[0]), round(there[1])))
    view.paint(screen)
    assert black(screen) == pytest.approx(there, abs=3.0)
    pixels = pygame.surfarray.array3d(screen)[:, : SIZE[1] - BAR_PX]
    grown = (pixels.sum(axis=2) < 60).sum()
    assert grown == pytest.approx(np.pi * (10.0 * view.per_mm) ** 2, rel=0.05)


def test_it_goes_no_closer_than_it_can_and_back_to_the_whole(screen: pygame.Surface) -> None:
    view = PaperView(pages(), SIZE)
    for _ in range(40):
        key(view, pygame.K_PLUS)
    assert view.zoom == CLOSEST
    view.paint(screen)
    key(view, pygame.K_0)
    assert view.zoom == 1.0
    key(view, pygame.K_MINUS)
    assert view.zoom == 1.0


def test_the_mouse_moves_the_page(screen: pygame.Surface) -> None:
    view = PaperView(pages(), SIZE)
    view.paint(screen)
    x, y = black(screen)
    view.take(pygame.event.Event(pygame.MOUSEMOTION, rel=(60, -40), buttons=(1, 0, 0), pos=(0, 0)))
    view.paint(screen)
    assert black(screen) == pytest.approx((x + 60, y - 40), abs=1.5)
    view.take(pygame.event.Event(pygame.MOUSEMOTION, rel=(60, -40), buttons=(0, 0, 0), pos=(0, 0)))
    view.paint(screen)
    assert black(screen) == pytest.approx((x + 60, y - 40), abs=1.5)


def test_it_follows_the_windows_size_and_closes(screen: pygame.Surface) -> None:
    view = PaperView(pages(), SIZE)
    view.take(pygame.event.Event(pygame.VIDEORESIZE, w=400, h=300))
    assert view.size == (400, 300)
    key(view, pygame.K_q)
    assert view.closed


def test_without_a_display_it_says_what_needs_none(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> None:
        raise pygame.error("no such device")

    monkeypatch.setattr(pygame.display, "set_mode", none)
    with pytest.raises(InputError, match=r"--window.*no display.*--out FILE"):
        paper.show(pages())
