"""Rough ground of a stated roughness class: the sum of sinusoids with phases drawn from the seed.

z(x) = sum sqrt(2 Gd(n_i) / L) cos(2 pi n_i x + phi_i) over n_i = i / L within 0.05 to 10 cycle/m, L its length: every
seed has the same mean square, the integral of the PSD over the band. Waves longer than L or than 20 m are not in it.
"""

from __future__ import annotations

import math
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from trundle.fields.base import PlacedError
from trundle.fields.sketch import Mark, Note, Span
from trundle.terrain.base import Floats, LevelObstacle
from trundle.units import MM

GD_N0 = {c: 16e-6 * 4.0**i for i, c in enumerate("ABCDEFGH")}
"""Displacement PSD at `N0` [m3], geometric mean of each class (ISO 8608:2016 Annex C; from memory; A and H
are open on one side, so theirs are nominal)."""

N0 = 0.1
"""Reference spatial frequency of ISO 8608 [cycle/m]."""

LOWEST, HIGHEST = 0.05, 10.0
"""Band of the waves that are laid [cycle/m]: 20 m to 100 mm long, the standard's off-road band."""

_BLOCK = 4096


def psd(iso_class: str, n_per_m: Floats) -> Floats:
    """One-sided displacement PSD [m3] of a class at spatial frequency `n_per_m` [cycle/m], shape (n,).

    Gd(n) = Gd(n0) (n / n0)^-2 (ISO 8608).
    """
    return np.asarray(GD_N0[iso_class] * (n_per_m / N0) ** -2.0, dtype=np.float64)


class RoughGround(LevelObstacle):
    """Random ground of an ISO 8608 roughness class, of waves between 100 mm and 20 m long, none longer than itself.
    Over `fade_mm` at each end it grows from the flat.

    Also called: field, pasture, gravel track, cobbles, rubble, off-road, cross-country
    """

    EXAMPLE: ClassVar[str] = 'kind = "rough ground"\niso_class = "D"\nlength_mm = 6000\nseed = 4\n'

    kind: Literal["rough ground"]
    iso_class: Literal["A", "B", "C", "D", "E", "F", "G", "H"]
    """Roughness class, from A (very good road) to H.

    Usual: C for an average road, D for a gravel track, E for a field.
    Measure: straightedge of 1 m laid down at random: greatest gaps of about 10 mm are D, 20 mm E, 40 mm F.
    If wrong: each letter is twice as rough.
    """

    length_mm: Annotated[float, Field(ge=1_000, le=200_000)]
    """How long, along the course, mm; put several with different seeds one after another for more.

    Usual: 6000 to 20000.
    Measure: nothing to measure: as long as it takes to see a worst place.
    If wrong: in a short piece the worst place is milder than in life.
    """

    seed: Annotated[int, Field(ge=0, le=2**32 - 1)]
    """Whole number that picks the ground: the same seed gives the same ground.

    Usual: 1.
    Measure: nothing to measure; run two or three to see how much is luck.
    If wrong: nothing: another number is another ground of the same class.
    """

    fade_mm: Annotated[float, Field(ge=100, le=5_000)] = 1000.0
    """Length over which it grows from the flat and shrinks back to it, at each end, mm; half its length at most.

    Usual: 1000.
    Measure: nothing to measure.
    If wrong: too short, and its ends are a blow that the ground has not.
    """

    @model_validator(mode="after")
    def _fits(self) -> RoughGround:
        if self.fade_mm > self.length_mm / 2.0:
            raise PlacedError(
                f"fade_mm is more than half the length ({self.length_mm / 2:g} mm)",
                "fade_mm",
                allowed=f"up to {self.length_mm / 2:g}",
            )
        return self

    def length_m(self) -> float:
        """As given."""
        return self.length_mm * MM

    def waves(self) -> tuple[Floats, Floats, Floats]:
        """Spatial frequencies [cycle/m], amplitudes [m] and phases [rad] of its sinusoids, each (k,)."""
        length = self.length_m()
        n = np.arange(*self._numbers()) / length
        phases = np.random.Generator(np.random.PCG64(self.seed)).uniform(0.0, 2.0 * np.pi, n.size)
        return n, np.sqrt(2.0 * psd(self.iso_class, n) / length), phases

    def unfaded_m(self, x_m: Floats) -> Floats:
        """Height of the sum of sinusoids alone [m] at `x_m` [m], shape (n,).

        The frequencies are whole multiples of 1 / L, so the sum is a polynomial in exp(2 pi j x / L):
        Horner's rule needs one product per wave where a cosine would cost ten times as much.
        """
        _, amplitude, phase = self.waves()
        terms = amplitude * np.exp(1j * phase)
        first, _ = self._numbers()
        turn = 2j * np.pi / self.length_m() * x_m
        heights = np.empty_like(x_m)
        for i in range(0, x_m.size, _BLOCK):
            base = np.exp(turn[i : i + _BLOCK])
            total = np.zeros_like(base)
            for term in terms[::-1]:
                total *= base
                total += term
            heights[i : i + _BLOCK] = (total * np.exp(first * turn[i : i + _BLOCK])).real
        return heights

    def _size(self, field: str, value: object) -> str:
        return f"ISO 8608 class {value}" if field == "iso_class" else super()._size(field, value)

    def _numbers(self) -> tuple[int, int]:
        """Waves per length of the first sinusoid, and one more than that of the last."""
        length = self.length_m()
        return max(math.ceil(LOWEST * length - 1e-9), 1), math.floor(HIGHEST * length + 1e-9) + 1

    def heights_m(self, x_m: Floats) -> Floats:
        """The sum of sinusoids, faded in and out by a raised cosine."""
        fade = self.fade_mm * MM
        from_end = np.maximum(np.minimum(x_m, self.length_m() - x_m), 0.0)
        share = 0.5 * (1.0 - np.cos(np.pi * np.minimum(from_end / fade, 1.0)))
        return np.asarray(self.unfaded_m(x_m) * share, dtype=np.float64)

    def title(self) -> str:
        """`rough ground E 12 m`."""
        return f"rough ground {self.iso_class} {self.length_mm * MM:g} m"

    def marks(self) -> tuple[Mark, ...]:
        """Along it, and where it grows."""
        long, fade = self.length_mm, self.fade_mm
        middle = [
            (share * long, float(self.heights_m(np.array([share * long * MM]))[0]) / MM) for share in (0.4, 0.5, 0.6)
        ]
        return (
            Span("length_mm", (0.0, 0.0), (long, 0.0), "x"),
            Span("fade_mm", (0.0, 0.0), (fade, 0.0), "x"),
            Note("iso_class", middle[0]),
            Note("seed", middle[1]),
            Note("kind", middle[2]),
        )
