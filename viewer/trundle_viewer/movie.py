"""Movie files: frames into an MP4 or GIF beside the wanted name, which is taken only when all is written."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Generator
from importlib.util import find_spec
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Protocol

import pygame

from trundle.errors import InputError, Problem
from trundle.record.files import check_replaceable
from trundle_viewer.palette import Colour

if TYPE_CHECKING:
    from PIL import Image

FORMATS = (".mp4", ".gif")
GIF_MOST = 900
"""Frames a GIF may have: it is put together in memory."""


class Sink(Protocol):
    """Takes frames of one size."""

    def add(self, frame: pygame.Surface) -> None: ...
    def finish(self) -> None: ...
    def give_up(self) -> None: ...


def have_mp4() -> bool:
    """True if the optional imageio-ffmpeg is installed."""
    return find_spec("imageio_ffmpeg") is not None


def check_target(file: Path) -> None:
    """Raises InputError if no movie or picture can be put there."""
    kind = file.suffix.lower()
    if kind not in FORMATS:
        raise InputError(Problem(f'cannot write a "{file.suffix}" movie', field="--movie", allowed=".mp4 or .gif"))
    if kind == ".mp4" and not have_mp4():
        raise InputError(
            Problem(
                "an .mp4 needs the package imageio-ffmpeg: pip install -e '.[video]'",
                field="--movie",
                allowed="a .gif without it",
            )
        )
    check_writable(file, "--movie")


def check_frames(file: Path, count: int) -> None:
    """Raises InputError if that is more than a GIF may hold."""
    if file.suffix.lower() == ".gif" and count > GIF_MOST:
        raise InputError(Problem(f"a GIF of {count} frames", field="--movie", allowed=f"up to {GIF_MOST}, or an .mp4"))


def check_writable(file: Path, option: str) -> None:
    """Raises InputError if a file cannot be written in that place."""
    folder = file.parent
    try:
        check_replaceable(file, option)
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as e:
        raise InputError(Problem(f"cannot be written: {e.strerror or e}", field=option, file=str(file))) from None


class Mp4:
    """H.264 by way of imageio-ffmpeg. One thread and no time stamps of making: the same frames give the same
    bytes."""

    def __init__(self, part: Path, size: tuple[int, int], fps: int) -> None:
        import imageio_ffmpeg

        self._size = size
        self._out: Generator[None, bytes | None, None] = imageio_ffmpeg.write_frames(
            str(part), size, fps=fps, codec="libx264", quality=None, macro_block_size=2, pix_fmt_in="rgb24",
            output_params=["-crf", "20", "-preset", "medium", "-threads", "1", "-fflags", "+bitexact",
                           "-flags:v", "+bitexact", "-map_metadata", "-1", "-movflags", "+faststart"],
            ffmpeg_log_level="error",
        )  # fmt: skip
        self._out.send(None)

    def add(self, frame: pygame.Surface) -> None:
        self._out.send(pygame.image.tobytes(frame, "RGB"))

    def finish(self) -> None:
        self._out.close()

    give_up = finish


class Gif:
    """By Pillow, with one palette of 128 colours for all frames, so that still parts do not flicker.

    It comes from the first frame, and holds the colours of signs besides, which may not be there yet.
    """

    def __init__(self, part: Path, size: tuple[int, int], fps: int, signs: tuple[Colour, ...]) -> None:
        self._signs = signs
        self._part, self._each_ms = part, max(20, round(100.0 / fps) * 10)
        self._frames: list[Image.Image] = []

    def add(self, frame: pygame.Surface) -> None:
        from PIL import Image

        check_frames(self._part, len(self._frames) + 1)
        image = Image.frombytes("RGB", frame.get_size(), pygame.image.tobytes(frame, "RGB"))
        if self._frames:
            self._frames.append(image.quantize(palette=self._frames[0], dither=Image.Dither.NONE))
        else:
            most = image.quantize(128 - len(self._signs)).getpalette() or []
            palette = Image.new("P", (1, 1))
            palette.putpalette([*most[: 3 * (128 - len(self._signs))], *(c for sign in self._signs for c in sign)])
            self._frames.append(image.quantize(palette=palette, dither=Image.Dither.NONE))

    def finish(self) -> None:
        if not self._frames:
            raise InputError(Problem("there is not one frame to write", field="--movie"))
        self._frames[0].save(
            self._part, format="GIF", save_all=True, append_images=self._frames[1:], duration=self._each_ms,
            loop=0, optimize=False,
        )  # fmt: skip

    def give_up(self) -> None:
        self._frames.clear()


class Movie:
    """A movie in the making, as a context: at a clean end the file appears under its name, else nothing."""

    def __init__(self, file: Path, size: tuple[int, int], fps: int, signs: tuple[Colour, ...] = ()) -> None:
        """signs: colours that a GIF keeps as they are, whether or not the first frame has them."""
        check_target(file)
        self.file, self.size, self.fps, self.signs = file, size, fps, signs
        self.frames = 0
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.stem}-", suffix=file.suffix)
        os.close(handle)
        self._part = Path(name)
        self._sink: Sink | None = None

    def __enter__(self) -> Movie:
        try:
            if self.file.suffix.lower() == ".mp4":
                self._sink = Mp4(self._part, self.size, self.fps)
            else:
                self._sink = Gif(self._part, self.size, self.fps, self.signs)
        except BaseException:
            self._part.unlink(missing_ok=True)
            raise
        return self

    def add(self, frame: pygame.Surface) -> None:
        """One more frame of `size`. Raises InputError if the disk is full or the encoder breaks off."""
        assert self._sink is not None
        try:
            self._sink.add(frame)
        except (OSError, StopIteration) as e:
            raise InputError(Problem(f"the movie broke off: {e}", file=str(self.file))) from None
        self.frames += 1

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        assert self._sink is not None
        try:
            if kind is None:
                self._sink.finish()
                self._part.chmod(0o644)
                self._part.replace(self.file)
            else:
                self._sink.give_up()
        except OSError as e:
            if kind is None:
                raise InputError(
                    Problem(f"the movie cannot be written: {e.strerror or e}", file=str(self.file))
                ) from None
        finally:
            self._part.unlink(missing_ok=True)
