"""Grounds for the comparison with the other engine, each described twice from the same figures.

`Surface.arrays` is the ground as Trundle takes it, heights on a grid; the other engine gets the exact shape: as small
balls along the surface, or (kerb, half-round) as solid bodies.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.verification import rigs
from trundle.model.arrays import GroundArrays

Floats = NDArray[np.float64]

BALL_M = 0.0001
"""Radius of the ground's balls [m]; wheels are smaller by it, so each ball's centre acts as a point of the surface.
The engine has the tyre's rim there where the contact is: with large balls it would roll on a smaller wheel."""

PIECE_M = 0.0025
"""Surface that one ball stands for [m]."""

BEGIN_M, END_M = -0.2, 4.9


@dataclass(frozen=True)
class Surface:
    """A ground. x, z: places of the balls [m]; length: surface each stands for [m]; height: of the grid's ground.

    solid: the obstacle's own shape as the engine's geoms, with their names, or nothing.
    """

    name: str
    x: Floats
    z: Floats
    length: Floats
    height: Callable[[Floats], Floats]
    solid: tuple[tuple[str, str], ...] = ()

    def arrays(self, dx: float = 0.005, speed: float = math.nan) -> GroundArrays:
        """As Trundle takes it, on a grid of dx [m]; speed [m/s], or the vehicle's own."""
        return rigs.ground(self.height(dx * np.arange(round(6.5 / dx) + 1)), dx, speed)

    def balls_xml(self) -> str:
        """Fixed balls g0, g1, ..."""
        return "".join(
            f'<geom name="g{k}" type="sphere" size="{BALL_M}" pos="{x} 0 {z}" contype="0" conaffinity="0"/>'
            for k, (x, z) in enumerate(zip(self.x, self.z, strict=True))
        )

    def balls(self) -> list[str]:
        """Their names."""
        return [f"g{k}" for k in range(len(self.x))]

    def solids(self) -> list[str]:
        """Names of the solid bodies. A surface without them cannot be had solid."""
        assert self.solid, f"{self.name} has no solid shape"
        return [name for name, _ in self.solid]

    def solid_xml(self) -> str:
        """The solid bodies."""
        return "".join(f'<geom name="{name}" contype="0" conaffinity="0" {rest}/>' for name, rest in self.solid)


def balls_along(curves: list[tuple[Floats, Floats]]) -> tuple[Floats, Floats, Floats]:
    """Balls along curves given as dense points (x, z) [m]: each curve in equal pieces, a ball in each one's middle."""
    xs, zs, lengths = [], [], []
    for x, z in curves:
        along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(z)))])
        n = max(1, round(along[-1] / PIECE_M))
        middle = (np.arange(n) + 0.5) * along[-1] / n
        xs.append(np.interp(middle, along, x))
        zs.append(np.interp(middle, along, z))
        lengths.append(np.full(n, along[-1] / n))
    return np.concatenate(xs), np.concatenate(zs), np.concatenate(lengths)


def line(x0: float, z0: float, x1: float, z1: float) -> tuple[Floats, Floats]:
    return np.array([x0, x1]), np.array([z0, z1])


def kerb(height: float = 0.03, at: float = 2.4) -> Surface:
    """Sharp upright kerb up of `height` [m] at `at` [m]."""
    x, z, length = balls_along(
        [line(BEGIN_M, 0.0, at, 0.0), line(at, 0.0, at, height), line(at, height, END_M, height)]
    )
    solid = (
        ("floor", f'type="box" size="5 1 1" pos="{at - 5} 0 -1"'),
        ("stone", f'type="box" size="5 1 1" pos="{at + 5} 0 {height - 1}"'),
    )
    return Surface(f"kerb {1e3 * height:.0f} mm", x, z, length, lambda s: np.where(s >= at - 1e-9, height, 0.0), solid)


def half_round(radius: float = 0.04, at: float = 2.3) -> Surface:
    """Half a round bar, flat side down, from `at` to `at` + 2 `radius` [m]."""
    turn, middle = np.linspace(np.pi, 0.0, 721), at + radius
    bar = middle + radius * np.cos(turn), radius * np.sin(turn)
    x, z, length = balls_along([line(BEGIN_M, 0.0, at, 0.0), bar, line(at + 2 * radius, 0.0, END_M, 0.0)])
    solid = (
        ("floor", 'type="box" size="9 1 1" pos="3 0 -1"'),
        ("bar", f'type="capsule" size="{radius}" fromto="{middle} -1 0 {middle} 1 0"'),
    )

    def height(s: Floats) -> Floats:
        return np.sqrt(np.maximum(radius**2 - (s - middle) ** 2, 0.0))

    return Surface(f"half-round {1e3 * radius:.0f} mm", x, z, length, height, solid)


def ripples(height: float = 0.02, begin: float = 2.0, wave: float = 0.5) -> Surface:
    """Waves h/2 (1 - cos) from `begin` on [m]."""

    def up(s: Floats) -> Floats:
        return np.where(s > begin, height / 2 * (1 - np.cos(2 * np.pi * (s - begin) / wave)), 0.0)

    s = np.linspace(begin, END_M, 4001)
    x, z, length = balls_along([line(BEGIN_M, 0.0, begin, 0.0), (s, up(s))])
    return Surface(f"ripples {1e3 * height:.0f} mm", x, z, length, up)


def level() -> Surface:
    """Level ground."""
    x, z, length = balls_along([line(BEGIN_M, 0.0, END_M, 0.0)])
    return Surface("level", x, z, length, np.zeros_like)
