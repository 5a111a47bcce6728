"""Pictures and movies of what the window shows."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pygame

from trundle.errors import InputError
from trundle_viewer import tweak
from trundle_viewer.export import save_png, still
from trundle_viewer.movie import Movie, have_mp4
from trundle_viewer.palette import PALETTES, signs
from trundle_viewer.view import View

RECORD_FPS = {".mp4": 30, ".gif": 20}


class Recorder:
    """Saves pictures, and records from the moment it is told to until it is told to stop.

    folder: where files go; say: shows a message in the window.
    """

    def __init__(self, folder: Path, say: Callable[[str], None]) -> None:
        self.folder, self.say = folder, say
        self.movie: Movie | None = None
        self._next_s = 0.0

    @property
    def on(self) -> bool:
        """True while a movie is being recorded."""
        return self.movie is not None

    def picture(self, view: View, size: tuple[int, int]) -> None:
        """Save what is shown as PNG, without messages and help."""
        out = tweak.free_name(self.folder, _stem(view), ".png")
        save_png(still(replace(view, hover=None, help=False, message=""), size), out)
        self.say(f"saved {out.name}")

    def start(self, view: View, size: tuple[int, int], kind: str) -> None:
        """Begin a movie of a window of this size. kind: .mp4 or .gif."""
        note = ""
        if kind == ".mp4" and not have_mp4():
            kind, note = ".gif", " (an MP4 needs imageio-ffmpeg: pip install -e '.[video]')"
        out = tweak.free_name(self.folder, _stem(view), kind)
        w, h = size
        size = (w - w % 2, h - h % 2) if kind == ".mp4" else (w // 2, h // 2)
        self.movie = Movie(out, size, RECORD_FPS[kind], signs(PALETTES[view.theme])).__enter__()
        self._next_s = time.perf_counter()
        self.say(f"recording {out.name}{note}; R stops")

    def take(self, frame: pygame.Surface) -> None:
        """Add the window's picture if one is due."""
        movie = self.movie
        if movie is None or time.perf_counter() < self._next_s:
            return
        self._next_s = max(self._next_s + 1.0 / movie.fps, time.perf_counter() - 0.25)
        if movie.size != frame.get_size():
            if movie.file.suffix == ".gif":
                frame = pygame.transform.smoothscale(frame, movie.size)
            else:
                frame = frame.subsurface((0, 0, *movie.size)).copy()
        try:
            movie.add(frame)
        except InputError as e:
            self.stop()
            self.say(str(e))

    def stop(self) -> None:
        """Finish the movie, if there is one."""
        movie, self.movie = self.movie, None
        if movie is not None:
            movie.__exit__(None, None, None)
            self.say(f"saved {movie.file.name}, {movie.frames} frames")

    def drop(self) -> None:
        """Leave the movie unfinished, if there is one: the window is closing."""
        if self.movie is not None:
            self.movie.__exit__(KeyboardInterrupt, KeyboardInterrupt(), None)
            print(f"The window was closed while recording: {self.movie.file} was not written.")
            self.movie = None


def _stem(view: View) -> str:
    return "-".join(view.film.title.lower().replace(" over ", " ").split())
