"""A coil cut through its middle, free and pressed solid, with what is measured on it."""

from __future__ import annotations

import numpy as np

from trundle.fields.shape import Shape, disc
from trundle.fields.sketch import XY, Mark, Note, Round, Sketch, Span
from trundle.fields.sketch_parts import thin

LEAST_TURNS, MOST_TURNS = 1.0, 40.0
"""As few and as many are drawn of a coil that has less or more."""


def centres(wire_mm: float, mean_mm: float, turns: float, dead: float, length_mm: float) -> tuple[list[XY], list[XY]]:
    """Middles of the wire where it is cut, on the left and on the right: about the axis, from the lower end up.

    dead: of the turns those that lie on each other at the ends, half of them at each.
    """
    turns = min(max(turns, LEAST_TURNS), MOST_TURNS)
    half = 0.5 * min(dead, turns)
    closed = min(wire_mm, (length_mm - wire_mm) / turns)
    open_mm = length_mm - wire_mm - 2.0 * half * closed
    at = np.arange(0.0, turns + 1e-9, 0.5)
    live = max(turns - 2.0 * half, 1e-9)
    y = 0.5 * wire_mm + closed * np.minimum(at, half) + open_mm * np.clip((at - half) / live, 0.0, 1.0)
    y += closed * np.maximum(at - turns + half, 0.0)
    r = 0.5 * mean_mm
    return [(-r, float(v)) for v in y[::2]], [(r, float(v)) for v in y[1::2]]


def section_sketch(
    wire_mm: float, mean_mm: float, turns: float, dead: float, free_mm: float, solid_mm: float, known: frozenset[str]
) -> Sketch:
    """Both states beside each other. known: which of the coil's fields are given; the others get a leader."""
    left, right = centres(wire_mm, mean_mm, turns, dead, free_mm)
    apart = 2.2 * mean_mm + 4.0 * wire_mm
    pressed = tuple((x + apart, y) for side in centres(wire_mm, mean_mm, turns, turns, solid_mm) for x, y in side)
    edge = 0.5 * (mean_mm + wire_mm)
    ends: list[Shape] = [
        thin(((x - edge - 6.0, y), (x + edge + 6.0, y)))
        for x, y in ((0.0, 0.0), (0.0, free_mm), (apart, 0.0), (apart, solid_mm))
    ]
    axis = thin(((0.0, -10.0), (0.0, free_mm + 10.0)))
    middle = len(right) // 2
    low = right[0]
    named: dict[str, Mark] = {
        "free_length_mm": Span("free_length_mm", (-edge - 6.0, 0.0), (-edge - 6.0, free_mm), "y"),
        "solid_length_mm": Span("solid_length_mm", (apart + edge + 6.0, 0.0), (apart + edge + 6.0, solid_mm), "y"),
        "wire_mm": Round("wire_mm", right[-1], 0.5 * wire_mm, "diameter", 30.0),
        "mean_diameter_mm": Span("mean_diameter_mm", (-0.5 * mean_mm, left[-1][1]), (0.5 * mean_mm, right[-1][1]), "x"),
    }
    leaders: dict[str, XY] = {
        "wire_mm": right[-1],
        "mean_diameter_mm": left[-1],
        "coils": right[middle],
        "end_coils": low,
        "steel": left[len(left) // 2],
    }
    marks = [named[f] if f in named else Note(f, leaders[f]) for f in sorted(known)]
    marks += [Note(f, leaders[f]) for f in ("wire_mm", "mean_diameter_mm") if f not in known]
    wire = tuple(disc("spring", x, y, 0.5 * wire_mm) for x, y in (*left, *right, *pressed))
    return Sketch("free, and pressed solid", "section", (*ends, axis, *wire), tuple(marks))
