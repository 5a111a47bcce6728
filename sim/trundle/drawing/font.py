"""The font of drawings on paper and in pictures, and how wide a text is in it.

Names may be in any script: the font that comes with matplotlib covers most. (That library is found, not loaded: it
takes a fifth of a second.)
"""

from __future__ import annotations

import struct
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from trundle.drawing.pens import CAPITAL
from trundle.errors import ComputerError, Problem

if TYPE_CHECKING:
    from fpdf import FPDF
    from PIL.ImageFont import FreeTypeFont

_MEASURED_PX = 200
"""Size of the font that widths are measured in."""


MEND = "matplotlib, whose font drawings use, whole: pip install -e . --force-reinstall"


def font_file(bold: bool = False) -> Path:
    """The font's file. Raises ComputerError where it is not there."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise ComputerError(Problem("the font of drawings is missing: matplotlib is not installed", allowed=MEND))
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    file = Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / name
    if not file.is_file():
        raise ComputerError(Problem("the font of drawings is missing", file=str(file), allowed=MEND))
    return file


def add_fonts(pdf: FPDF) -> None:
    """Put the font into a PDF, under the name "sheet". Raises ComputerError where its file is missing or damaged."""
    for style in ("", "B"):
        file = font_file(bold=bool(style))
        if not _whole(file.read_bytes()):
            raise _unreadable(file, "it is cut short, or no font")
        pdf.add_font("sheet", style, file)


def _whole(font: bytes) -> bool:
    """Whether all tables that an OpenType file lists lie inside it (OpenType specification, table directory)."""
    if font[:4] not in (b"\x00\x01\x00\x00", b"OTTO", b"true"):
        return False
    (count,) = struct.unpack_from(">H", font, 4)
    if len(font) < 12 + 16 * count:
        return False
    tables = (struct.unpack_from(">II", font, 12 + 16 * k + 8) for k in range(count))
    return all(offset + length <= len(font) for offset, length in tables)


def _unreadable(file: Path, why: object) -> ComputerError:
    return ComputerError(Problem(f"the font of drawings cannot be read: {why}", file=str(file), allowed=MEND))


@cache
def picture_font(size_px: float, bold: bool = False) -> FreeTypeFont:
    """The font for a picture, its em in pixels. Raises ComputerError where its file is missing or damaged."""
    from PIL import ImageFont  # here: not every drawing is a picture

    file = font_file(bold)
    try:
        return ImageFont.truetype(str(file), max(size_px, 1.0))
    except OSError as e:
        raise _unreadable(file, e) from None


@cache
def width_of(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is whose capital letters are `size` high, in the unit of `size`."""
    return picture_font(_MEASURED_PX, bold).getlength(text) / _MEASURED_PX * size / CAPITAL
