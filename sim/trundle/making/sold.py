"""What a merchant has: lengths and sheets that are sold, and as what a part's stock is bought. Common practice, no
source, but where a standard is named."""

from __future__ import annotations

from collections.abc import Mapping

from trundle.making.part import Made
from trundle.making.spacers import round_for
from trundle.making.stock import Stock
from trundle.steel.forms import Form

_BARS = (1000.0, 2000.0, 3000.0, 6000.0)

LENGTHS_MM: Mapping[Form, tuple[float, ...]] = {
    "square tube": _BARS,
    "flat": _BARS,
    "round bar": (500.0, *_BARS),
    "round tube": _BARS,
    "spring strip": (1000.0, 2000.0, 3000.0),
}
"""Lengths sold: a whole bar of tube is 6 m, halves and metres are cut for small orders; spring strip is 3 m, round bar
for the lathe also half a metre."""

SHEETS_MM = (
    (250.0, 250.0), (500.0, 250.0), (500.0, 500.0), (1000.0, 500.0), (1000.0, 1000.0), (2000.0, 1000.0),
    (2500.0, 1250.0),
)  # fmt: skip
"""Pieces of plate sold: 2 x 1 m and 2.5 x 1.25 m are whole sheets, the others cut from them."""

_TUBES_MM = (10.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 30.0, 32.0, 35.0, 38.0, 40.0, 42.0, 45.0, 50.0,
             55.0, 60.0, 70.0, 80.0)  # fmt: skip
_TUBE_WALLS_MM = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
"""Outside diameters and walls of seamless precision tube (EN 10305-1, from memory)."""


def tube_is_sold(outside_mm: float, wall_mm: float) -> bool:
    """Whether round tube of this size is a usual one (EN 10305-1, from memory)."""

    def among(size: float, sizes: tuple[float, ...]) -> bool:
        return any(abs(size - s) < 0.01 for s in sizes)

    return among(outside_mm, _TUBES_MM) and among(wall_mm, _TUBE_WALLS_MM)


def bought_as(part: Made) -> Stock:
    """What a part's stock is bought as: a sleeve or ring whose size of tube nobody sells is bored from bar."""
    stock = part.stock
    if stock.form != "round tube" or part.what == "torsion bar" or tube_is_sold(*stock.sizes_mm):
        return stock
    return Stock("round bar", (round_for(stock.sizes_mm[0]),), stock.steel)


def made_from(part: Made) -> str:
    """The same in words, with what is turned off it: "round bar 25, turned to 24, bored 14.3"."""
    stock = bought_as(part)
    if stock == part.stock:
        return stock.words
    outside = part.stock.sizes_mm[0]
    turned = "" if abs(stock.sizes_mm[0] - outside) < 0.01 else f", turned to {outside:g}"
    return f"{stock.words}{turned}, bored {part.bore_mm:g}"
