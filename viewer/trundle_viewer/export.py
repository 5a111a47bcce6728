"""Pictures and movies without a window. Drawn at twice the size and shrunk, so that every edge is smooth; the
same run, times and size give the same bytes."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pygame

from trundle.errors import InputError, Problem
from trundle_viewer import ink
from trundle_viewer.film import Film
from trundle_viewer.layers import shown_at_first
from trundle_viewer.movie import Movie, check_frames, check_target, check_writable
from trundle_viewer.painter import Painter
from trundle_viewer.palette import PALETTES, signs
from trundle_viewer.view import View

Surface = pygame.Surface

FPS = {".mp4": 60, ".gif": 20}
LARGEST = (7680, 4320)


@contextmanager
def offscreen() -> Iterator[None]:
    """pygame with fonts but no window and no sound."""
    pygame.font.init()
    try:
        yield
    finally:
        if not pygame.display.get_init():
            ink.forget()
            pygame.font.quit()


def check_size(size: tuple[int, int]) -> tuple[int, int]:
    """Raises InputError unless a picture of this size can be drawn; the size made even, as MP4 wants it."""
    w, h = size
    if not (320 <= w <= LARGEST[0] and 240 <= h <= LARGEST[1]):
        raise InputError(Problem(f"a size of {w}x{h}", field="--size", allowed=f"320x240 to {LARGEST[0]}x{LARGEST[1]}"))
    return w - w % 2, h - h % 2


def still(view: View, size: tuple[int, int], tools: bool = False) -> Surface:
    """One picture of a view."""
    return _Press(view, size, tools).print()


class _Press:
    """Draws views large and shrinks them."""

    def __init__(self, view: View, size: tuple[int, int], tools: bool = False) -> None:
        self.times = 2 if size[0] <= LARGEST[0] // 2 else 1
        self.size = size
        big = (size[0] * self.times, size[1] * self.times)
        self.painter = Painter(big, view, tools)
        self.sheet = pygame.Surface(big, depth=32)

    def print(self) -> Surface:
        self.painter.draw(self.sheet)
        if self.times == 1:
            return self.sheet
        return pygame.transform.smoothscale(self.sheet, self.size)


def frame_layers() -> set[str]:
    """Layers of a single picture: what a window begins with, and the numbers, since nobody can point at a wheel."""
    return shown_at_first() | {"numbers"}


def export_frame(
    film: Film,
    ghost: Film | None,
    time_s: float,
    out: Path,
    size: tuple[int, int] = (1280, 720),
    theme: str = "dark",
    layers: set[str] | None = None,
) -> None:
    """Write the picture at a time. layers: those shown (None: `frame_layers`).

    Raises InputError if the time is outside the run, or the picture cannot be written.
    """
    _inside(film, time_s, "--frame")
    if out.suffix.lower() != ".png":
        raise InputError(Problem(f'cannot draw a "{out.suffix}" file', field="--frame", allowed=".png"))
    check_writable(out, "--frame")
    with offscreen():
        view = View(film, ghost, time_s, theme=theme, layers=frame_layers() if layers is None else layers)
        save_png(still(view, check_size(size)), out)


def save_png(image: Surface, out: Path) -> None:
    """Whole or not at all. Raises InputError if it cannot be written."""
    try:
        handle, name = tempfile.mkstemp(dir=out.parent, prefix=f".{out.stem}-", suffix=".png")
        os.close(handle)
        try:
            pygame.image.save(image, name)
            Path(name).chmod(0o644)
            Path(name).replace(out)
        finally:
            Path(name).unlink(missing_ok=True)
    except (OSError, pygame.error) as e:
        raise InputError(Problem(f"the picture cannot be written: {e}", file=str(out))) from None


def export_movie(
    film: Film,
    ghost: Film | None,
    out: Path,
    size: tuple[int, int] = (1280, 720),
    from_s: float | None = None,
    to_s: float | None = None,
    slow: float = 1.0,
    theme: str = "dark",
    on_progress: Callable[[float], None] | None = None,
    layers: set[str] | None = None,
) -> int:
    """Write a movie of the run between two times, `slow` times slower, with these layers (None: as a window begins).
    Returns its number of frames.

    Raises InputError if the times are outside the run, or it cannot be written.
    """
    check_target(out)
    size = check_size(size)
    begin = film.first_s if from_s is None else from_s
    end = film.end_s if to_s is None else to_s
    for t, option in ((begin, "--from"), (end, "--to")):
        _inside(film, t, option)
    if end <= begin:
        raise InputError(Problem(f"{end:g} s is not after {begin:g} s", field="--to"))
    if not 0.1 <= slow <= 1000.0:
        raise InputError(Problem(f"{slow:g} times slower", field="--slow", allowed="0.1 to 1000"))
    fps = FPS[out.suffix.lower()]
    count = max(1, round((end - begin) * slow * fps))
    check_frames(out, count)
    with offscreen(), Movie(out, size, fps, signs(PALETTES[theme])) as movie:
        view = View(
            film, ghost, begin, theme=theme, playing=True, layers=shown_at_first() if layers is None else layers
        )
        press = _Press(view, size)
        for k in range(count):
            view.time_s = begin + k / (slow * fps)
            movie.add(press.print())
            if on_progress is not None:
                on_progress((k + 1) / count)
    return count


def _inside(film: Film, time_s: float, option: str) -> None:
    if not film.first_s - 1e-3 <= time_s <= film.end_s + 1e-3:
        raise InputError(
            Problem(
                f"{time_s:g} s is outside the run",
                field=option,
                allowed=f"{film.first_s:.3g} to {film.end_s:.3f} s",
            )
        )
