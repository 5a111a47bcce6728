"""What a merchant has: lengths and sheets that are sold, and as what a part's stock is bought. Common practice, no
source, but where a standard is named."""

from __future__ import annotations

from collections.abc import Mapping

from trundle.making.part import Made
from trundle.making.spacers import round_for
from trundle.making.stock import Stock
from trundle.steel.forms import Form
from trundle.steel.sizes import ROUND_TUBES_MM

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


SAME_MM = 0.01
"""Sizes of tube that differ by less are the same."""


def tube_for(outside_mm: float, wall_mm: float) -> tuple[float, float] | None:
    """The tube sold with this outside and the thinnest wall that has so much in it, (outside, wall) [mm]; None: there
    is none."""
    walls = [w for outside, walls in ROUND_TUBES_MM.items() if abs(outside - outside_mm) < SAME_MM for w in walls]
    enough = [w for w in walls if w >= wall_mm - SAME_MM]
    return (outside_mm, min(enough)) if enough else None


def bought_as(part: Made) -> Stock:
    """What a part is bought as: a sleeve or ring is bored out of thicker tube, or of bar where there is none."""
    stock = part.stock
    if stock.form != "round tube" or part.what not in ("pivot sleeve", "axle sleeve", "spacer"):
        return stock
    tube = tube_for(*stock.sizes_mm)
    if tube is not None:
        return Stock("round tube", tube, stock.steel)
    return Stock("round bar", (round_for(stock.sizes_mm[0]),), stock.steel)


def made_from(part: Made) -> str:
    """The same in words, with what is turned off it: "round bar 25, turned to 24, bored 14.3"."""
    stock, own = bought_as(part), part.stock.sizes_mm
    words = stock.words
    if abs(stock.sizes_mm[0] - own[0]) >= SAME_MM:
        words += f", turned to {round(own[0], 2):g}"
    if stock.form != part.stock.form or abs(stock.sizes_mm[-1] - own[-1]) >= SAME_MM:
        words += f", bored {round(part.bore_mm or 0.0, 2):g}"
    return words
