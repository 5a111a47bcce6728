"""Where on the vehicle a part is that a finding or a margin names [mm on the course]."""

from __future__ import annotations

import numpy as np

from trundle_viewer.scene import ArmView, Scene

Point = tuple[float, float]

AT_SEAT = ("seat", "rider", "load", "mast")
"""What stands on the seat, as `hull.at_seat` has it, and the seat itself."""


def place_of(part: str, s: Scene) -> Point | None:
    """`arm front.fore`, `spring front`, `axle bolt front.fore`, `front.fore`, `idler`, `belly`, `track`, `rider`,
    `hull`; None for what has no one place, or that the vehicle has not."""
    if part in AT_SEAT:
        return _middle(s.seat)
    if part == "belly":
        return _middle(s.belly)
    if part == "track" and s.band is not None:
        x, y = s.band.top[len(s.band.top) // 2]
        return float(x), float(y)
    if part == "hull":
        return s.com
    for end in s.rounds:
        if end.what == part:
            return end.x, end.y
    kind, _, name = part.rpartition(" ")
    own = [arm for arm in s.arms if arm.name == name or arm.name.partition(".")[0] == name]
    wheel = next((w for w in s.wheels if w.name == name), None)
    if kind in ("", "axle bolt") and wheel is not None:
        return wheel.x, wheel.y
    if not own:
        return None
    return _on_arms(kind, own)


def _on_arms(kind: str, arms: list[ArmView]) -> Point:
    """Of the arms of a bogie, or one: their pivots' middle, or on the arm."""
    if kind in ("arm", "beam") and len(arms) == 1:
        return _between(arms[0], 0.5)
    if kind == "weld" and len(arms) == 1:
        return _between(arms[0], 0.15)
    return _middle(np.array([arm.pivot for arm in arms]))


def _between(arm: ArmView, share: float) -> Point:
    """From pivot to axle."""
    (x, y), (tx, ty) = arm.pivot, arm.tip
    return x + share * (tx - x), y + share * (ty - y)


def _middle(points: np.ndarray) -> Point:
    x, y = points.mean(axis=0)
    return float(x), float(y)
