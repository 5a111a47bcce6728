"""Forms in which steel is sold: what their sizes mean, in words and as an area."""

from __future__ import annotations

import math
from typing import Literal, assert_never

from trundle.steel.sections import square_tube
from trundle.units import MM

Form = Literal["square tube", "flat", "round bar", "round tube", "plate", "spring strip"]
"""Plate is bought by the area, all others by the length."""


def words(form: Form, sizes_mm: tuple[float, ...]) -> str:
    """As it is asked for. sizes_mm, as a merchant names them: (side, wall) of a square tube, (height, thickness) of a
    flat, (diameter,) of a round bar, (outside, wall) of a round tube, (thickness,) of plate, (width, thickness) of
    spring strip."""
    size = " x ".join(f"{round(s, 2):g}" for s in sizes_mm)
    return f"{form} {sizes_mm[0]:g} x {size}" if form == "square tube" else f"{form} {size}"


def area_m2(form: Form, sizes_mm: tuple[float, ...]) -> float:
    """Of its section [m2]; of plate that of a strip 1 m wide. sizes_mm: as of `words`."""
    a, *more = (s * MM for s in sizes_mm)
    match form:
        case "square tube":
            return square_tube(a, more[0]).area_m2
        case "flat" | "spring strip":
            return a * more[0]
        case "round bar":
            return math.pi / 4.0 * a * a
        case "round tube":
            return math.pi * more[0] * (a - more[0])
        case "plate":
            return a
        case _:
            assert_never(form)
