"""A drawing in the letters of a terminal: its lines in braille, eight dots a letter, and its words as words.

Each letter is 2 mm wide and 4 mm high, each dot 1 mm of the drawing; what is pale is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby, pairwise

import numpy as np
from PIL import Image, ImageDraw

from trundle.drawing.layout import laid_out
from trundle.drawing.pens import FILL, INK, RGB, Corner
from trundle.drawing.placed import Style
from trundle.drawing.sheet import Drawing
from trundle.fields.sketch import Sketch

LETTER_MM = (2.0, 4.0)
"""Width and height of a letter."""

BLANK = 0x2800
"""The braille letter without dots; each dot adds its bit."""

BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])

STYLE = Style(
    text=2.6, arrow=3.5, gap=1.0, lift=1.2, past=2.0, off=8.0, row=8.0, dot=1.0, line=4.0 / 2.6, upright=True,
    width_of=lambda text, size, bold: LETTER_MM[0] * len(text),
)  # fmt: skip
"""Words have the width of their letters, whatever size is asked for, and are never turned."""


def terminal_picture(
    sketches: Sequence[Sketch],
    values: dict[str, object],
    field: str,
    columns: int,
    rows: int,
    accent: Callable[[str], str] = str,
) -> list[str]:
    """The sketches with one field's marks, in lines of at most `columns` letters; accent: colours what is meant.

    Raises KeyError if no sketch shows the field.
    """
    found: list[str] = []
    for sketch in sketches:
        sheet = laid_out([sketch], values, field, (columns * LETTER_MM[0], rows * LETTER_MM[1]), STYLE)
        found += letters(sheet, accent)
    return found


def letters(drawing: Drawing, accent: Callable[[str], str] = str) -> list[str]:
    """A drawing that was laid out in STYLE."""
    dots = _Dots(drawing.width, drawing.height)
    for mark in drawing.marks:
        mark.paint(dots)
    return dots.lines(accent)


class _Dots:
    """What marks paint themselves on, a dot a millimetre: two layers, what is meant in one of its own."""

    def __init__(self, width: float, height: float) -> None:
        self.columns, self.rows = int(width // LETTER_MM[0]), int(height // LETTER_MM[1]) + 1
        self.height = height
        size = self.columns * 2, self.rows * 4
        self.layers = {meant: Image.new("L", size, 0) for meant in (False, True)}
        self.words: list[tuple[int, int, str, bool]] = []

    def line(
        self, points: Sequence[Corner], width_mm: float, colour: RGB, dash: tuple[float, float] | None = None
    ) -> None:
        """Straight lines from point to point; dashed ones as dots far apart."""
        if colour == INK["pale"]:
            return
        erased = colour in _TONES
        draw = ImageDraw.Draw(self.layers[colour == INK["accent"]])
        width = max(1, round(width_mm))
        places = [self._at(*p) for p in points]
        if dash is None:
            draw.line(places, 0 if erased else 255, width)
            return
        for (x0, y0), (x1, y1) in pairwise(places):
            steps = max(1, int(max(abs(x1 - x0), abs(y1 - y0)) // 4))
            draw.point([(x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps) for k in range(steps + 1)], 255)

    def disc(self, x: float, y: float, radius: float, fill: RGB | None, width_mm: float, colour: RGB) -> None:
        """A circle; one that is filled with a material hides what is behind it."""
        if colour == INK["pale"]:
            return
        draw = ImageDraw.Draw(self.layers[colour == INK["accent"]])
        cx, cy = self._at(x, y)
        inside = None if fill is None else 0 if fill in _TONES else 255
        draw.ellipse((cx - radius, cy - radius, cx + radius, cy + radius), inside, 255)

    def polygon(self, points: Sequence[Corner], fill: RGB) -> None:
        """A filled outline; of a material it hides what is behind it."""
        if fill == INK["pale"]:
            return
        ImageDraw.Draw(self.layers[fill == INK["accent"]]).polygon(
            [self._at(*p) for p in points], 0 if fill in _TONES else 255
        )

    def text(
        self,
        text: str,
        at: Corner,
        size: float,
        shift: float,
        ink: RGB,
        bold: bool = False,
        turn_deg: float = 0.0,
        halo: float = 0.0,
    ) -> None:
        """Words at the nearest letters; turned ones not at all."""
        if turn_deg:
            return
        column = round(at[0] / LETTER_MM[0] - shift * len(text))
        row = int((self.height - at[1] - 0.5 * size) // LETTER_MM[1])
        self.words.append((row, max(0, column), text, ink == INK["accent"]))

    def lines(self, accent: Callable[[str], str]) -> list[str]:
        """All of it as text."""
        shape = self.rows, 4, self.columns, 2
        plain, meant = (np.asarray(self.layers[k]).reshape(shape) > 0 for k in (False, True))
        codes: list[list[int]] = np.einsum("rycx,yx->rc", np.where(plain | meant, 1, 0), BITS).tolist()
        flags: list[list[bool]] = np.any(meant, axis=(1, 3)).tolist()
        grid = [[chr(BLANK + code) if code else " " for code in row] for row in codes]
        for row, column, text, loud in self.words:
            if 0 <= row < self.rows:
                for k, letter in enumerate(text[: self.columns - column]):
                    grid[row][column + k], flags[row][column + k] = letter, loud
        found = [_coloured("".join(line).rstrip(), meant, accent) for line, meant in zip(grid, flags, strict=True)]
        while found and not found[0].strip():
            found.pop(0)
        while found and not found[-1].strip():
            found.pop()
        return found

    def _at(self, x: float, y: float) -> Corner:
        return x, self.height - y


_TONES = {FILL[t] for t in ("steel", "spring", "rubber", "hole", "paper")}


def _coloured(text: str, meant: Sequence[bool], accent: Callable[[str], str]) -> str:
    runs = groupby(zip(text, meant, strict=False), key=lambda pair: pair[1])
    words = ((flag, "".join(letter for letter, _ in run)) for flag, run in runs)
    return "".join(accent(word) if flag else word for flag, word in words)
