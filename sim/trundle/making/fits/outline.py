"""Outlines seen from the side, and the room between two: a convex shape, thickened all round."""

from __future__ import annotations

import math
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
    if len(a.points) == len(b.points) == 1:
        return math.hypot(*(a.points[0] - b.points[0])) - a.round_mm - b.round_mm
    deep = _deepest(a.points, b.points)
    apart = deep if deep <= 0.0 else min(_corners_to_edges(a.points, b.points), _corners_to_edges(b.points, a.points))
    return apart - a.round_mm - b.round_mm


def far_apart(a: Outline, b: Outline, more_mm: float) -> bool:
    """Whether circles round both are further apart than that: soon told, and true of most."""
    middles = a.points.mean(axis=0), b.points.mean(axis=0)
    radii = (
        math.sqrt(float(((o.points - m) ** 2).sum(axis=1).max())) + o.round_mm
        for o, m in zip((a, b), middles, strict=True)
    )
    return math.hypot(*(middles[0] - middles[1])) > sum(radii) + more_mm


def _edges(points: Points) -> Points:
    return np.roll(points, -1, axis=0) - points if len(points) > 1 else np.zeros((0, 2))


def _deepest(a: Points, b: Points) -> float:
    """Largest gap along any edge's normal: above 0 where they are clear of each other."""
    across = np.concatenate([_edges(a), _edges(b)])
    lengths = np.hypot(across[:, 0], across[:, 1])
    across = across[lengths > 1e-9] / lengths[lengths > 1e-9, None]
    # Both ways round: corners may run either way, and a bar of two points has two sides.
    normals = np.concatenate([across[:, ::-1] * (1.0, -1.0), across[:, ::-1] * (-1.0, 1.0)])
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
