"""Ripping a wide leaf lengthways into two strips."""

from __future__ import annotations

from dataclasses import dataclass

from trundle.errors import InputError, Problem
from trundle.units import MM


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


def rip(width_m: float, kerf_m: float, from_edge_m: float | None = None) -> Ripped:
    """Cut a leaf along a line `from_edge_m` from one edge (default: its middle), losing `kerf_m` of width.

    Rate goes with width (b t^3/12). Raises InputError if the cut leaves nothing of a strip.
    """
    line = width_m / 2.0 if from_edge_m is None else from_edge_m
    first, second = line - kerf_m / 2.0, width_m - line - kerf_m / 2.0
    if kerf_m < 0.0 or min(first, second) <= 0.0:
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
