"""How a part looks from the side: plain shapes in mm that the sheet's drawing and the viewer both draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

Form = Literal["area", "line", "disc"]
"""area: a closed outline, filled. line: through its points. disc: filled, about its one point."""

Material = Literal["spring", "steel", "rubber", "hole", "mark"]
"""What it is made of, for its colour; hole: the bore of a pivot; mark: a line that only shows something."""


@dataclass(frozen=True, eq=False)
class Shape:
    """One shape. points: shape (n, 2), forward and up [mm].

    size_mm: width of a line (0: a thin one), radius of a disc. lines: further lines inside an area, such as
    those between the leaves of a stack.
    """

    form: Form
    material: Material
    points: Points
    size_mm: float = 0.0
    lines: tuple[Points, ...] = ()

    def moved(self, turn_rad: float, to_mm: Points) -> Shape:
        """The same, turned about the origin (anticlockwise) and then shifted by `to_mm`."""
        c, s = np.cos(turn_rad), np.sin(turn_rad)
        turn = np.array([[c, s], [-s, c]])
        lines = tuple(p @ turn + to_mm for p in self.lines)
        return replace(self, points=self.points @ turn + to_mm, lines=lines)


def area(material: Material, points: Points, lines: tuple[Points, ...] = ()) -> Shape:
    """A filled outline."""
    return Shape("area", material, points, 0.0, lines)


def line(material: Material, points: Points, width_mm: float = 0.0) -> Shape:
    """A line through points."""
    return Shape("line", material, points, width_mm)


def disc(material: Material, x_mm: float, y_mm: float, radius_mm: float) -> Shape:
    """A filled circle."""
    return Shape("disc", material, np.array([[x_mm, y_mm]]), radius_mm)


def ribbon(under: Points, height_mm: float, leaves: int, full: int, from_start: bool = False) -> Shape:
    """A stack of leaves on its underside, the lowest `full` of them of full length, shorter ones on top: about the
    middle, or from where they begin."""
    each, last = np.array([0.0, height_mm / leaves]), len(under) - 1
    cuts = [int(max(k - full, 0) / (leaves - full + 1) * len(under) / 2.0) for k in range(1, leaves + 1)]
    ends = [(0, last - 2 * cut) if from_start else (cut, last - cut) for cut in cuts]
    right, left, between = [under], [], []
    for k, (a, b) in enumerate(ends, 1):
        top = under + k * each
        next_a, next_b = ends[k] if k < leaves else (a, a)
        right.append(top[next_b : b + 1][::-1])
        left.append(top[a : next_a + 1][::-1])
        between.append(top[next_a : next_b + 1])
    return area("spring", np.concatenate([*right, *left[::-1]]), tuple(between[:-1]))
