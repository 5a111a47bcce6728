"""What the tests of the bench share: a bench under a display that shows nothing, and hands for it."""

from __future__ import annotations

import os
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from trundle.result.inputs import vehicle_input
from trundle_viewer.bench.app import Bench
from trundle_viewer.bench.picture import Frame


def bench_of(name: str | Path, folder: Path, **settings: object) -> Bench:
    """A vehicle on the bench, drawn once. settings: field paths with __ for dots."""
    changes = {path.replace("__", "."): value for path, value in settings.items()}
    one = Bench(vehicle_input(name), changes, size=(1280, 720), folder=folder)  # type: ignore[arg-type]
    one.settle()
    one.tick(0.0)
    return one


def key(bench: Bench, code: int, mod: int = 0, text: str = "") -> None:
    """A key pressed."""
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=text))
    bench.tick(0.0)


def type_in(bench: Bench, text: str) -> None:
    """Keys of a text, then Enter, then until the figures are there."""
    for letter in text:
        key(bench, ord(letter), 0, letter)
    key(bench, pygame.K_RETURN)
    assert bench.settle()


def place(bench: Bench, path: str) -> tuple[float, float]:
    """Where a field's handle is on the screen, once the vehicle stands as it was left."""
    assert bench.settle()
    handle = next(h for h in bench.handles() if h.path == path)
    return Frame(bench.pose, bench.picture.camera).to_px(handle.at)


def move(bench: Bench, x: float, y: float) -> None:
    """The pointer moved there."""
    at = (round(x), round(y))
    pygame.event.post(pygame.event.Event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(1, 0, 0)))
    bench.tick(0.0)


def press(bench: Bench, x: float, y: float) -> None:
    """The left button pressed there."""
    move(bench, x, y)
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(round(x), round(y)), button=1))
    bench.tick(0.0)


def release(bench: Bench) -> None:
    """It let go."""
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=(0, 0), button=1))
    bench.tick(0.0)


def drag(bench: Bench, path: str, along_mm: float, up_mm: float, let_go: bool = True) -> None:
    """Take a field's handle, move it so far in small steps, let go; until the figures are there."""
    (x, y), scale = place(bench, path), bench.picture.camera.scale
    press(bench, x, y)
    for k in range(1, 11):
        move(bench, x + 0.1 * k * along_mm * scale, y - 0.1 * k * up_mm * scale)
    if let_go:
        release(bench)
    assert bench.settle()
    bench.tick(0.0)
