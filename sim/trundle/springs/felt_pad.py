"""A stop's pad as the axle feels it: its force as cubics, each from one depth to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trundle.roots import bracketed

MOST_M = 100.0
"""No pad is pressed so far [m]."""


@dataclass(frozen=True)
class PadPiece:
    """From `from_m` pressed on: force + u (rate + u (square + u cube)), u = pressed - from [m, N, N/m, N/m2, N/m3]."""

    from_m: float
    force_N: float
    rate_N_per_m: float
    square_N_per_m2: float = 0.0
    cube_N_per_m3: float = 0.0

    def at(self, pressed_m: float) -> float:
        """Force so far pressed [N]."""
        u = pressed_m - self.from_m
        return self.force_N + u * (self.rate_N_per_m + u * (self.square_N_per_m2 + u * self.cube_N_per_m3))

    def work(self, pressed_m: float) -> float:
        """Energy taken up from its beginning to so far pressed [J]."""
        u = pressed_m - self.from_m
        return u * (
            self.force_N
            + u * (self.rate_N_per_m / 2.0 + u * (self.square_N_per_m2 / 3.0 + u * self.cube_N_per_m3 / 4.0))
        )


@dataclass(frozen=True)
class PadLimit:
    """How far a pad's law is true: pressed by `most_mm` of its own travel. height_mm: of the rubber, None if not known.

    flat: beyond that it is pressed flat; else beyond that nobody has measured it.
    """

    most_mm: float
    height_mm: float | None
    flat: bool


@dataclass(frozen=True)
class FeltPad:
    """One arm's pad, one side. pieces: at the axle, the last goes on for ever. words: what it is, in short.

    lever: how far the pad is pressed for each metre that the axle comes up beyond the stop. limit: of the pad itself;
    None where nothing is known of one.
    """

    pieces: tuple[PadPiece, ...]
    words: str
    lever: float = 1.0
    limit: PadLimit | None = None

    @property
    def plain(self) -> bool:
        """Whether it has the same rate however far it is pressed."""
        first = self.pieces[0]
        return len(self.pieces) == 1 and first.square_N_per_m2 == first.cube_N_per_m3 == 0.0

    def force_N(self, axle_m: float) -> float:
        """Push at the axle, which has come up so far beyond the stop [m]; 0 before it is met [N]."""
        return self._piece(axle_m).at(axle_m) if axle_m > 0.0 else 0.0

    def energy_J(self, axle_m: float) -> float:
        """Energy taken up there [J]."""
        if axle_m <= 0.0:
            return 0.0
        last = self.pieces.index(self._piece(axle_m))
        ends = [p.from_m for p in self.pieces[1 : last + 1]] + [axle_m]
        return sum(p.work(end) for p, end in zip(self.pieces, ends, strict=False))

    def pressed_by(self, force_N: float) -> float:
        """How far the axle comes up beyond the stop under a force [m]."""
        return bracketed(lambda x: self.force_N(x) - force_N, 0.0, MOST_M)

    def _piece(self, axle_m: float) -> PadPiece:
        return next((p for p in reversed(self.pieces) if p.from_m <= axle_m), self.pieces[0])


def plain_pad(rate_N_per_m: float, words: str) -> FeltPad:
    """A pad of which only its rate at the axle is known [N/m]."""
    return FeltPad((PadPiece(0.0, 0.0, rate_N_per_m),), words)


def at_axle(pieces: Sequence[PadPiece], lever: float) -> tuple[PadPiece, ...]:
    """A pad's own law, felt at an axle that moves 1 / lever as far: the force is lever times it (virtual work)."""
    return tuple(
        PadPiece(
            p.from_m / lever,
            p.force_N * lever,
            p.rate_N_per_m * lever**2,
            p.square_N_per_m2 * lever**3,
            p.cube_N_per_m3 * lever**4,
        )
        for p in pieces
    )


def smooth(points: Sequence[tuple[float, float, float]]) -> tuple[PadPiece, ...]:
    """Cubics through points (pressed [m], force [N], rate [N/m]) with these rates; straight on from the last."""
    found = []
    for (x0, f0, r0), (x1, f1, r1) in pairwise(points):
        h = x1 - x0
        mean = (f1 - f0) / h
        found.append(PadPiece(x0, f0, r0, (3.0 * mean - 2.0 * r0 - r1) / h, (r0 + r1 - 2.0 * mean) / h**2))
    return (*found, PadPiece(*points[-1]))


def straight(points: Sequence[tuple[float, float]]) -> tuple[PadPiece, ...]:
    """Straight from point to point (pressed [m], force [N]), the last rate kept beyond."""
    return tuple(PadPiece(x0, f0, (f1 - f0) / (x1 - x0)) for (x0, f0), (x1, f1) in pairwise(points))
