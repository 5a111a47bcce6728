"""Pens and tones: how wide a line is on paper, in which ink, dashed or not, and in what quiet colour an area is filled.

Inks stay apart when printed in grey: what matters is darker and wider, what does not is paler and thinner.
"""

from __future__ import annotations

from typing import Literal

Pen = Literal[
    "cut", "thin", "axis", "bar", "ground", "soft", "outline", "dimension", "accent", "pale", "fault", "hidden", "frame"
]  # fmt: skip
"""cut: an edge that is seen. hidden: one that is not, dashed. frame: round a sheet. outline: of a part in a
sketch. dimension: lines and words of dimensions. accent: of the one that is meant; pale: of
the others then. fault: what is wrong."""

Tone = Literal["steel", "spring", "rubber", "hole", "ink", "accent", "pale", "fault", "paper"]
"""What an area is filled with: a material, or a pen's ink (for arrowheads and dots)."""

RGB = tuple[int, int, int]
Corner = tuple[float, float]
"""A place on a drawing [mm]: to the right, up."""

WIDTH_MM: dict[Pen, float] = {
    "cut": 0.35,
    "thin": 0.18,
    "axis": 0.13,
    "bar": 0.6,
    "ground": 0.5,
    "soft": 0.25,
    "outline": 0.25,
    "dimension": 0.18,
    "accent": 0.4,
    "pale": 0.13,
    "fault": 0.5,
    "hidden": 0.25,
    "frame": 0.7,
}
"""Line widths on paper."""


def _grey(level: int) -> RGB:
    return level, level, level


INK: dict[Pen, RGB] = {
    "cut": _grey(0),
    "thin": _grey(60),
    "axis": _grey(90),
    "bar": _grey(0),
    "ground": _grey(90),
    "soft": _grey(150),
    "outline": (72, 80, 86),
    "dimension": _grey(30),
    "accent": (0, 88, 168),
    "pale": _grey(186),
    "fault": (188, 28, 10),
    "hidden": _grey(0),
    "frame": _grey(0),
}

DASH_MM: dict[Pen, tuple[float, float] | None] = {**dict.fromkeys(INK), "axis": (4.0, 1.0), "hidden": (2.4, 0.9)}

FILL: dict[Tone, RGB] = {
    "steel": (223, 228, 231),
    "spring": (240, 222, 186),
    "rubber": (198, 201, 203),
    "hole": (255, 255, 255),
    "ink": INK["dimension"],
    "accent": INK["accent"],
    "pale": INK["pale"],
    "fault": INK["fault"],
    "paper": (255, 255, 255),
}

CAPITAL = 0.72
"""Height of a capital letter over the size of its font."""


def css(colour: RGB) -> str:
    """A colour as SVG writes it."""
    return "rgb({},{},{})".format(*colour)
