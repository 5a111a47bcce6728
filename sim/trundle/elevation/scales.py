"""Scales that a drawing is made at."""

from __future__ import annotations

from trundle.drawing.pens import Corner

SMALLER = (1.0, 2.0, 2.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0, 500.0)
LARGER = (10.0, 5.0, 4.0, 2.0)
"""So many times smaller, or larger: ISO 5455's, and some between them that a rule with two scales still serves."""

SCALES = (*LARGER, *(1.0 / s for s in SMALLER))


def scale_for(wide_mm: float, high_mm: float, room: Corner) -> float:
    """The largest of the usual scales at which it fits, as paper over vehicle; below all of them just what fits."""
    for scale in SCALES:
        if wide_mm * scale <= room[0] + 1e-9 and high_mm * scale <= room[1] + 1e-9:
            return scale
    return min(room[0] / wide_mm, room[1] / high_mm)


def scale_words(scale: float) -> str:
    """`1 : 8`."""
    return f"{scale:g} : 1" if scale > 1.0 else f"1 : {1.0 / scale:.4g}"
