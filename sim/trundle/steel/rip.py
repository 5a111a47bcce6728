"""Ripping a wide leaf lengthways into two strips."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.units import MM

KERF_M = 2.0 * MM
"""What a thin cutting disc takes away, its wobble with it [m] (common practice, no source)."""

GROUND_M = 0.5 * MM
"""What is ground off each cut edge [m]: nicks across a leaf's edge are where it cracks (common practice, no source)."""

RIP_CAUTIONS = (
    "Keep it cold: a thin disc, short passes, water in between. An edge that has turned straw or blue has lost its "
    "temper as deep as the colour goes: grind that off, and count the strip as narrower.",
    "Grind the cut edges along the leaf, not across it, and break their corners: a scratch across is where it cracks.",
    "Clamp both halves before the last of the cut: stress left in a rolled leaf lets them spring apart, and bow. Lay "
    "them on a flat plate afterwards. Guard, goggles, nobody in line with the disc.",
)
"""What a builder must know before cutting a spring lengthways (common practice, no source)."""


@dataclass(frozen=True)
class Ripped:
    """Two strips from one leaf; thickness, length and radius stay.

    widths_m: the two strips [m]. rate_shares: rate of each as a share of the whole leaf's. Bending stress
    at the same deflection stays as it was; at the same load it grows by `stress_factors`.
    """

    widths_m: tuple[float, float]
    rate_shares: tuple[float, float]
    stress_factors: tuple[float, float]

    @property
    def uneven(self) -> float:
        """How much stiffer the wider strip is than the narrower one, as a share."""
        return max(self.widths_m) / min(self.widths_m) - 1.0


def rip(width_m: float, kerf_m: float, from_edge_m: float | None = None, ground_m: float = 0.0) -> Ripped:
    """Cut a leaf along a line `from_edge_m` from one edge (default: its middle), losing `kerf_m` of width, and
    `ground_m` more of either cut edge.

    Rate goes with width (b t^3/12). Raises InputError if the cut leaves nothing of a strip.
    """
    line = width_m / 2.0 if from_edge_m is None else from_edge_m
    lost = kerf_m / 2.0 + ground_m
    first, second = line - lost, width_m - line - lost
    if kerf_m < 0.0 or ground_m < 0.0 or min(first, second) <= 0.0:
        raise InputError(
            Problem(
                f"cutting a {width_m / MM:g} mm leaf {line / MM:g} mm from its edge with a "
                f"{kerf_m / MM:g} mm disc leaves nothing of one strip"
            )
        )
    shares = (first / width_m, second / width_m)
    return Ripped((first, second), shares, (1.0 / shares[0], 1.0 / shares[1]))


def ride_difference(load_N: float, whole_rate_N_per_m: float, strips: Ripped) -> float:
    """How much lower the narrower strip's side sits under the same load [m], F/k1 - F/k2."""
    low, high = sorted(strips.rate_shares)
    return load_N / (whole_rate_N_per_m * low) - load_N / (whole_rate_N_per_m * high)
