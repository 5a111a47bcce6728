"""From course millimetres to pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

FOLLOW, STILL, WHEEL = "follow hull", "hold still", "lock to wheel"
MODES = (FOLLOW, STILL, WHEEL)


@dataclass
class Camera:
    """Looks at (x, y) [mm] in the middle of `rect` (left, top, width, height) [px], `scale` px per mm."""

    rect: tuple[int, int, int, int]
    scale: float
    x: float = 0.0
    y: float = 0.0

    def to_px(self, points: Points) -> Points:
        """Pixels (n, 2) of points (n, 2) [mm]. y grows downwards on the screen."""
        left, top, width, height = self.rect
        out = np.empty_like(points, dtype=np.float64)
        out[..., 0] = (points[..., 0] - self.x) * self.scale + (left + 0.5 * width)
        out[..., 1] = (self.y - points[..., 1]) * self.scale + (top + 0.5 * height)
        return out

    def px(self, x: float, y: float) -> tuple[float, float]:
        """The same for one point."""
        left, top, width, height = self.rect
        return (x - self.x) * self.scale + left + 0.5 * width, (self.y - y) * self.scale + top + 0.5 * height

    def to_mm(self, px: float, py: float) -> tuple[float, float]:
        """Course place of a pixel [mm]."""
        left, top, width, height = self.rect
        return (px - left - 0.5 * width) / self.scale + self.x, self.y - (py - top - 0.5 * height) / self.scale

    def span(self) -> tuple[float, float, float, float]:
        """Left, right, bottom, top of what is seen [mm]."""
        _, _, width, height = self.rect
        w, h = 0.5 * width / self.scale, 0.5 * height / self.scale
        return self.x - w, self.x + w, self.y - h, self.y + h

    def zoom(self, factor: float, px: float, py: float) -> None:
        """Zoom about a pixel; 0.01 to 20 px per mm."""
        at = self.to_mm(px, py)
        self.scale = min(max(self.scale * factor, 0.01), 20.0)
        now = self.to_mm(px, py)
        self.x += at[0] - now[0]
        self.y += at[1] - now[1]
