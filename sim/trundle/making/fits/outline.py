"""Outlines seen from the side, and the room between two: a convex shape, thickened all round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Outline:
    """A convex polygon (one point: a disc; two: a bar with round ends) grown by `round_mm` all round. points: in order,
    shape (n, 2) [mm]."""

    points: Points
    round_mm: float = 0.0

    def moved(self, turn_rad: float, x_mm: float, y_mm: float) -> Outline:
        """Turned about the origin, anticlockwise, then moved."""
        c, s = np.cos(turn_rad), np.sin(turn_rad)
        return replace(self, points=self.points @ np.array([[c, s], [-s, c]]) + np.array([x_mm, y_mm]))


def disc(x_mm: float, y_mm: float, radius_mm: float) -> Outline:
    """A round thing seen from its end."""
    return Outline(np.array([[x_mm, y_mm]]), radius_mm)


def box(left_mm: float, low_mm: float, right_mm: float, high_mm: float) -> Outline:
    """A rectangle."""
    return Outline(np.array([[left_mm, low_mm], [right_mm, low_mm], [right_mm, high_mm], [left_mm, high_mm]]))


def room_mm(a: Outline, b: Outline) -> float:
    """Least distance between two outlines [mm]; negative: how far one must be moved to be clear of the other.

    By the separating axis theorem: convex shapes that overlap do so along the normal of every edge; clear of each other
    their distance is that of a corner from an edge (or from a corner).
    """
    deep = _deepest(a.points, b.points)
    apart = deep if deep <= 0.0 else min(_corners_to_edges(a.points, b.points), _corners_to_edges(b.points, a.points))
    return apart - a.round_mm - b.round_mm


def least_room_mm(some: Sequence[Outline], others: Sequence[Outline]) -> float:
    """Least room between any of some outlines and any of others [mm]; infinite where there are none."""
    return min((room_mm(a, b) for a in some for b in others), default=float("inf"))


def _edges(points: Points) -> Points:
    return np.roll(points, -1, axis=0) - points if len(points) > 1 else np.zeros((0, 2))


def _deepest(a: Points, b: Points) -> float:
    """Largest gap along any edge's normal: above 0 where they are clear of each other."""
    across = np.concatenate([_edges(a), _edges(b)])
    lengths = np.hypot(across[:, 0], across[:, 1])
    across = across[lengths > 1e-9] / lengths[lengths > 1e-9, None]
    # Both ways round: corners may run either way, and a bar of two points has two sides.
    normals = np.concatenate([across[:, ::-1] * (1.0, -1.0), across[:, ::-1] * (-1.0, 1.0)])
    if len(normals) == 0:
        return float(np.hypot(*(a[0] - b[0])))
    gaps = (b @ normals.T).min(axis=0) - (a @ normals.T).max(axis=0)
    return float(gaps.max())


def _corners_to_edges(a: Points, b: Points) -> float:
    """Least distance of a's corners from b's edges."""
    if len(b) == 1:
        return float(np.hypot(*(a - b[0]).T).min())
    along = _edges(b)
    squared = np.maximum((along**2).sum(axis=1), 1e-18)
    rel = a[:, None, :] - b[None, :, :]
    t = np.clip((rel * along).sum(axis=2) / squared, 0.0, 1.0)
    off = rel - t[:, :, None] * along
    return float(np.hypot(off[..., 0], off[..., 1]).min())
