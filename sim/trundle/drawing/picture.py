"""A drawing as pixels, by Pillow: painted larger and then made smaller, so that lines are smooth."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from itertools import pairwise

from PIL import Image, ImageDraw

from trundle.drawing.font import picture_font
from trundle.drawing.pens import CAPITAL, RGB, Corner

MOST_PIXELS = 60_000_000
"""Of the larger picture: 180 MB."""

PAPER = (255, 255, 255)


class Picture:
    """A sheet of `width` x `height` mm at `per_mm` pixels a millimetre, painted `finer` times as large.

    wider: how much wider than on paper lines are in the drawing's own millimetres (1 over its scale).
    """

    def __init__(self, width: float, height: float, per_mm: float, finer: int = 3, wider: float = 1.0) -> None:
        self.size = max(1, round(width * per_mm)), max(1, round(height * per_mm))
        while finer > 1 and self.size[0] * self.size[1] * finer**2 > MOST_PIXELS:
            finer -= 1
        self.height, self.per_mm, self.wider = height, per_mm * finer, wider
        self.image = Image.new("RGB", (self.size[0] * finer, self.size[1] * finer), PAPER)
        self.draw = ImageDraw.Draw(self.image)

    def at(self, x: float, y: float) -> Corner:
        """A place of the drawing in pixels."""
        return x * self.per_mm, (self.height - y) * self.per_mm

    def line(
        self, points: Sequence[Corner], width_mm: float, colour: RGB, dash: tuple[float, float] | None = None
    ) -> None:
        """Straight lines from point to point."""
        places = [self.at(*p) for p in points]
        width = max(1, round(width_mm * self.wider * self.per_mm))
        if dash is None:
            self.draw.line(places, colour, width, joint="curve")
            return
        on, off = (d * self.wider * self.per_mm for d in dash)
        for (x0, y0), (x1, y1) in pairwise(places):
            length = math.hypot(x1 - x0, y1 - y0)
            for k in range(math.ceil(length / (on + off))):
                a, b = k * (on + off) / length, min(k * (on + off) + on, length) / length
                ends = [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (a, b)]
                self.draw.line(ends, colour, width)

    def disc(self, x: float, y: float, radius: float, fill: RGB | None, width_mm: float, colour: RGB) -> None:
        """A circle, filled or not."""
        width = max(1, round(width_mm * self.wider * self.per_mm))
        (cx, cy), r = self.at(x, y), radius * self.per_mm + 0.5 * width
        self.draw.ellipse((cx - r, cy - r, cx + r, cy + r), fill, colour, width)

    def polygon(self, points: Sequence[Corner], fill: RGB) -> None:
        """A filled outline."""
        self.draw.polygon([self.at(*p) for p in points], fill)

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
        """One line of text, straight or turned, `shift` of its width before `at`; halo: width of its white edge."""
        font = picture_font(size / CAPITAL * self.per_mm, bold)
        edge = round(0.5 * halo * self.per_mm)
        x, y = self.at(*at)
        wide = font.getlength(text)
        if not turn_deg:
            self.draw.text((x - shift * wide, y), text, ink, font, "ls", stroke_width=edge, stroke_fill=PAPER)
            return
        # Turned about the middle of a square that holds it, whose place is the anchor's, turned as well.
        side = math.ceil(math.hypot(wide, 2.0 * font.size)) + 2 * edge + 4
        stamp = Image.new("RGBA", (side, side), (*PAPER, 0))
        middle = 0.5 * side
        left = (middle - 0.5 * wide, middle)
        ImageDraw.Draw(stamp).text(left, text, ink, font, "ls", stroke_width=edge, stroke_fill=PAPER)
        stamp = stamp.rotate(turn_deg, Image.Resampling.BICUBIC)
        t = math.radians(turn_deg)
        along = (0.5 - shift) * wide
        place = (round(x + along * math.cos(t) - middle), round(y - along * math.sin(t) - middle))
        self.image.paste(stamp, place, stamp)

    def small(self) -> Image.Image:
        """The picture in its own size."""
        return self.image if self.image.size == self.size else self.image.resize(self.size, Image.Resampling.BOX)

    def png(self) -> bytes:
        """As a PNG file."""
        out = io.BytesIO()
        self.small().save(out, "PNG")
        return out.getvalue()
