"""A strip of layers bent by hand, so to say: stress of each layer clipped at yield, moments added up, curvature
integrated.

Own code for the tests, from the same assumption (elastic, then perfectly plastic) and none of the program's formulas.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid
from scipy.interpolate import PchipInterpolator

Floats = NDArray[np.float64]

LAYERS = 4001
POINTS = 20001


@dataclass
class Layers:
    """width, thickness [m], yield and modulus [Pa]."""

    width: float
    thickness: float
    yield_Pa: float
    E: float

    def moment(self, curvature: float) -> float:
        """Sum over the layers [N.m]."""
        y = ((np.arange(LAYERS) + 0.5) / LAYERS - 0.5) * self.thickness
        stress = np.clip(self.E * y * curvature, -self.yield_Pa, self.yield_Pa)
        return float(np.sum(stress * y) * self.thickness / LAYERS * self.width)

    def curvature(self, moments: Floats) -> Floats:
        """The other way round, by a table."""
        first = 2.0 * self.yield_Pa / (self.E * self.thickness)
        tried = np.concatenate([np.linspace(0.0, first, 50), first * np.geomspace(1.001, 200.0, 800)])
        table = np.array([self.moment(float(k)) for k in tried])
        return np.asarray(PchipInterpolator(table, tried)(moments))

    @property
    def stiffness(self) -> float:
        """E I [N.m2]."""
        return self.E * self.width * self.thickness**3 / 12.0

    def three_points(self, force: float, span: float, nose: float = 0.0, wrap: float = 0.0) -> tuple[float, ...]:
        """(stroke, what stays of it [m], angle left [rad]) of a force in the middle of a span, a length `wrap` of the
        strip lying against a nose of that radius (its face)."""
        half, lever = span / 2.0, (span - wrap) / 2.0
        s = np.linspace(0.0, half, POINTS)  # from the middle to the support
        moments = force / 2.0 * np.clip(half - s, 0.0, lever)
        bent = self.curvature(moments)
        if wrap > 0.0:
            bent = np.where(s < wrap / 2.0, 1.0 / (nose + self.thickness / 2.0), bent)
        left = bent - moments / self.stiffness

        def down(k: Floats) -> float:
            slope = cumulative_trapezoid(k, s, initial=0.0)
            return float(np.trapezoid(slope, s))

        return down(bent), down(left), 2.0 * float(np.trapezoid(left, s))

    def cantilever(self, force: float, length: float) -> tuple[float, float]:
        """(how far its end goes down under a load, what stays) [m]."""
        s = np.linspace(0.0, length, POINTS)
        moments = force * (length - s)
        bent = self.curvature(moments)
        left = bent - moments / self.stiffness
        return tuple(float(np.trapezoid(k * (length - s), s)) for k in (bent, left))  # type: ignore[return-value]
