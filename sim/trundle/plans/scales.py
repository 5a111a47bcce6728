"""Scales that a drawing to build from is made at: ISO 5455's, and 1:20's neighbours only where nothing else fits."""

from __future__ import annotations

from collections.abc import Iterator

SCALES = (5.0, 2.0, 1.0, 1.0 / 2.0, 1.0 / 5.0, 1.0 / 10.0, 1.0 / 20.0, 1.0 / 50.0)
"""Paper over vehicle, the largest first (ISO 5455; 1:50 last, for what is longer than 5 m on A4)."""


def scale_words(scale: float) -> str:
    """As the standard writes it: `1:2`, `5:1`."""
    return f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}"


def scales_for(wide_mm: float, high_mm: float, room: tuple[float, float], largest: float = 2.0) -> Iterator[float]:
    """Those at which so much fits a room on paper [mm] without its words, largest first; the smallest in any case."""
    usual = [s for s in SCALES if s <= largest]
    yield from (s for s in usual[:-1] if wide_mm * s <= room[0] and high_mm * s <= room[1])
    yield usual[-1]
