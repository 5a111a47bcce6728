"""The bench under a display that shows nothing: a part is dragged by the mouse, and figures follow."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

from trundle.papers.standing import standing_sheet
from trundle.result.inputs import vehicle_input
from trundle_viewer.bench.app import Bench
from trundle_viewer.bench.picture import Frame


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    one = Bench(vehicle_input("teasel"), size=(1280, 720), folder=tmp_path)
    one.tick(0.0)
    yield one
    one.close()


def key(bench: Bench, code: int, mod: int = 0, text: str = "") -> None:
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=text))
    bench.tick(0.0)


def place(bench: Bench, path: str) -> tuple[float, float]:
    """Where a field's handle is on the screen."""
    handle = next(h for h in bench.handles() if h.path == path)
    return Frame(bench.pose, bench.picture.camera).to_px(handle.at)


def move(bench: Bench, x: float, y: float) -> None:
    at = (round(x), round(y))
    pygame.event.post(pygame.event.Event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(1, 0, 0)))
    bench.tick(0.0)


def press(bench: Bench, x: float, y: float) -> None:
    move(bench, x, y)
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(round(x), round(y)), button=1))
    bench.tick(0.0)


def release(bench: Bench) -> None:
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=(0, 0), button=1))
    bench.tick(0.0)


def drag(bench: Bench, path: str, along_mm: float, up_mm: float) -> None:
    """Take a field's handle, move it so far in small steps, let go."""
    (x, y), scale = place(bench, path), bench.picture.camera.scale
    press(bench, x, y)
    for k in range(1, 11):
        move(bench, x + 0.1 * k * along_mm * scale, y - 0.1 * k * up_mm * scale)
    release(bench)
    assert bench.settle()
    bench.tick(0.0)


def test_a_pivot_that_is_dragged_changes_its_field_and_the_figures_are_the_sheets(bench: Bench) -> None:
    before = bench.good.sheet.front_mm
    drag(bench, "bogie.front.at_mm", 40.0, -20.0)
    x, y = bench.vehicle.bogie["front"].at_mm
    pixel = 1.0 / bench.picture.camera.scale
    assert (x, y) == (pytest.approx(1560.0, abs=pixel + 0.5), pytest.approx(-20.0, abs=pixel + 0.5))
    assert x == round(x)
    assert bench.known
    assert bench.good.sheet.front_mm > before + 10.0
    assert bench.good.sheet.heights == standing_sheet(bench.vehicle, adjusters=False).heights
    assert bench.design.at_first("bogie.front.at_mm") == (1520.0, 0.0)
