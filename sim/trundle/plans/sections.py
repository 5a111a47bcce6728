"""Stock cut across."""

from __future__ import annotations

from trundle.fields.sketch import XY, Span
from trundle.making.part import Made
from trundle.plans.ink import rectangle, round_points
from trundle.plans.view import Dim
from trundle.plans.words import mm


def inner_edges(part: Made) -> tuple[float, ...]:
    """Heights of hidden edges of a part from the side: the inner faces of a tube's walls [mm]."""
    sizes = part.stock.sizes_mm
    if part.stock.form in ("square tube", "round tube"):
        wall = sizes[1]
        top = (part.height_mm - wall,) if part.height_mm >= sizes[0] - 1e-6 else ()
        return (wall, *top)
    return ()


def cut_across(part: Made) -> tuple[tuple[tuple[XY, ...], ...], tuple[Dim, ...]]:
    """Outlines of its section, lower edge on the x axis, and its dimensions."""
    tall, half = part.height_mm, 0.5 * part.width_mm
    sizes, form = part.stock.sizes_mm, part.stock.form
    if form == "square tube":
        wall = sizes[1]
        if tall < sizes[0] - 1e-6:  # a channel, legs up
            ring = (
                (-half, 0.0), (half, 0.0), (half, tall), (half - wall, tall), (half - wall, wall), (wall - half, wall),
                (wall - half, tall), (-half, tall),
            )  # fmt: skip
            rings: tuple[tuple[XY, ...], ...] = (ring,)
        else:
            rings = rectangle(-half, 0.0, half, tall), rectangle(wall - half, wall, half - wall, tall - wall)
        dims = (
            Dim(Span(f"{part.mark}.section.width", (-half, 0.0), (half, 0.0), "x"), (mm(2.0 * half),)),
            Dim(Span(f"{part.mark}.section.height", (half, 0.0), (half, tall), "y"), (mm(tall),)),
            Dim(Span(f"{part.mark}.section.wall", (half - wall, tall), (half, tall), "x"), (mm(wall),)),
        )
        return rings, dims
    if form in ("round bar", "round tube"):
        middle = (0.0, 0.5 * tall)
        outer = round_points(middle, 0.5 * sizes[0], 0.0, 360.0)[:-1]
        if form == "round bar":
            return (outer,), ()
        return (outer, round_points(middle, 0.5 * sizes[0] - sizes[1], 0.0, 360.0)[:-1]), ()
    return (rectangle(-half, 0.0, half, tall),), ()
