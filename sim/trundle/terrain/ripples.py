"""Ripples: a train of equal waves."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np

from trundle.fields.sketch import Mark, Note, Span
from trundle.terrain.base import Count, Floats, HeightMm, LevelObstacle, RunMm
from trundle.units import MM


class Ripples(LevelObstacle):
    """A train of equal waves standing on the ground, which begin and end level, in a trough: h/2 (1 - cos(2 pi x / L)).

    Also called: washboard, corrugations, whoops
    """

    EXAMPLE: ClassVar[str] = 'kind = "ripples"\nheight_mm = 40\nwavelength_mm = 500\ncount = 6\n'

    kind: Literal["ripples"]
    height_mm: HeightMm
    """From trough to crest, mm.

    Usual: 15 to 60.
    Measure: straightedge over two crests, rule down into the trough.
    If wrong: springs are pressed and let out by as much; half of it, the amplitude, put in for it is half the shaking.
    Also called: amplitude
    """

    wavelength_mm: RunMm
    """From crest to crest, mm.

    Usual: 300 to 1500.
    Measure: tape over ten crests, divided by ten.
    If wrong: speed over it is the frequency of the shaking: at the hull's own, 2 to 4 Hz, it grows.
    Also called: pitch, spacing
    """

    count: Count
    """How many crests.

    Usual: 8 to 20.
    Measure: count them.
    If wrong: too few, and a shaking that grows from wave to wave is not seen.
    """

    def length_m(self) -> float:
        """All waves."""
        return self.count * self.wavelength_mm * MM

    def heights_m(self, x_m: Floats) -> Floats:
        """Raised cosine."""
        wave = 1.0 - np.cos(2.0 * np.pi * x_m / (self.wavelength_mm * MM))
        return np.asarray(self.height_mm * MM / 2.0 * wave, dtype=np.float64)

    def title(self) -> str:
        """`ripples 8 x 40 mm`."""
        return f"ripples {self.count} x {self.height_mm:g} mm"

    def marks(self) -> tuple[Mark, ...]:
        """Trough to crest, crest to crest, the last of them."""
        h, wave, n = self.height_mm, self.wavelength_mm, self.count
        first = 0.5 * wave if n > 1 else 0.0
        at = h if n > 1 else 0.0
        return (
            Span("height_mm", (0.0, 0.0), (0.5 * wave, h), "y"),
            Span("wavelength_mm", (first, at), (first + wave, at), "x"),
            Note("count", ((n - 0.5) * wave, h)),
            Note("kind", (0.5 * wave, 0.4 * h)),
        )
