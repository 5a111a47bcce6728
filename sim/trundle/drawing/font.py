"""The font of drawings on paper and in pictures, and how wide a text is in it.

Names may be in any script: the font that comes with matplotlib covers most. (That library is found, not loaded: it
takes a fifth of a second.)
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from trundle.drawing.pens import CAPITAL

if TYPE_CHECKING:
    from fpdf import FPDF
    from PIL.ImageFont import FreeTypeFont

_MEASURED_PX = 200
"""Size of the font that widths are measured in."""


def font_file(bold: bool = False) -> Path:
    """The font's file. Raises FileNotFoundError where matplotlib is not installed."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise FileNotFoundError("matplotlib, whose font drawings use, is not installed")
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / name


def add_fonts(pdf: FPDF) -> None:
    """Put the font into a PDF, under the name "sheet"."""
    pdf.add_font("sheet", "", font_file())
    pdf.add_font("sheet", "B", font_file(bold=True))


@cache
def picture_font(size_px: float, bold: bool = False) -> FreeTypeFont:
    """The font for a picture, its em in pixels."""
    from PIL import ImageFont  # here: not every drawing is a picture

    return ImageFont.truetype(str(font_file(bold)), max(size_px, 1.0))


@cache
def width_of(text: str, size: float, bold: bool = False) -> float:
    """How wide a text is whose capital letters are `size` high, in the unit of `size`."""
    return picture_font(_MEASURED_PX, bold).getlength(text) / _MEASURED_PX * size / CAPITAL
