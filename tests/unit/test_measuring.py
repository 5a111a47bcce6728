"""The recipes for measuring that fields give: what they make of a known piece's readings is what it is known to have.

Readings are worked out from statics by moments, and from equations of motion integrated by scipy.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from pydantic import BaseModel
from scipy.integrate import solve_ivp

from trundle.bogies.base import Damper
from trundle.fields.docs import field_doc
from trundle.spec.hull import Hull
from trundle.spec.track import Track
from trundle.spec.wheel import Wheel

G = 9.81


def says(table: type[BaseModel], field: str, *words: str) -> None:
    """The recipe is the one that is tried here."""
    said = field_doc(table, field)
    for word in words:
        assert word in f"{said.usual} {said.measure}", said.measure


def period_s(gains: Callable[[float], float], start_rad: float) -> float:
    """One swing to and fro from rest at `start_rad`; gains: angular acceleration at an angle [rad/s2]."""

    def turned(_t: float, y: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[float]:
        return [y[1], gains(y[0])]

    def stops(_t: float, y: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
        return float(y[1])

    # Rising through zero: the far side, where it turns back; half a swing.
    stops.direction = 1.0  # type: ignore[attr-defined]
    found = solve_ivp(turned, (0.0, 60.0), [start_rad, 0.0], events=stops, rtol=1e-10, atol=1e-12, max_step=0.05)
    times = [t for t in found.t_events[0] if t > 1e-6]
    return 2.0 * float(times[0])


def test_centre_of_mass_by_two_scales_and_by_tilting() -> None:
    """Forces at two supports by moments, level and with the front end lifted by 15 deg."""
    says(Hull, "com_mm", "front reading / both x distance", "x distance / (weight x tangent of the angle)")
    weight, apart, forward, high = 180.0 * G, 1.2, 0.55, 0.30
    front = weight * forward / apart
    assert front / weight * apart == pytest.approx(forward)
    tilt = math.radians(15.0)
    lever = forward * math.cos(tilt) - high * math.sin(tilt)  # of the weight about the rear support, which stays low
    gain = (weight - weight * lever / (apart * math.cos(tilt))) - (weight - front)
    assert gain * apart / (weight * math.tan(tilt)) == pytest.approx(high)


def test_pitch_inertia_by_swinging() -> None:
    """A body that hangs from a bar at its end."""
    says(Hull, "pitch_inertia_kg_m2", "mass x d x (T2/4.02 - d)")
    mass, d, inertia = 180.0, 0.76, 37.0
    t = period_s(lambda a: -mass * G * d * math.sin(a) / (inertia + mass * d * d), 0.05)
    assert mass * d * (t * t / 4.02 - d) == pytest.approx(inertia, rel=0.01)


def test_spin_inertia_by_two_strings() -> None:
    """A wheel that hangs flat on two strings: twisted by an angle it rises, strings staying as long as they are."""
    says(Wheel, "spin_inertia_kg_m2", "mass x 9.81 x d2 x T2 / (39.5 x L)")
    mass, d, long, inertia = 1.5, 0.05, 0.6, 0.0073

    def gains(a: float) -> float:
        # Height of the strings' ends under their anchors: long2 = h2 + (2 d sin(a/2))2; potential energy -m g h.
        h = math.sqrt(long**2 - (2.0 * d * math.sin(0.5 * a)) ** 2)
        return -mass * G * d * d * math.sin(a) / (h * inertia)

    t = period_s(gains, 0.1)
    assert mass * 9.81 * d**2 * t**2 / (39.5 * long) == pytest.approx(inertia, rel=0.01)


def test_pull_from_sag() -> None:
    """A catenary: its pull at the middle, H, with sag H/w (cosh(w L / 2H) - 1)."""
    says(Track, "tension_N", "mass per metre x 9.81 x span2 / (8 x sag)")
    per_m, span, pull = 4.0 * G, 0.7, 240.0
    sag = pull / per_m * (math.cosh(per_m * span / (2.0 * pull)) - 1.0)
    assert 4.0 * 9.81 * span**2 / (8.0 * sag) == pytest.approx(pull, rel=0.01)


def test_usual_damping() -> None:
    """A mass on a spring with the damper that is called usual: the decay of its swing is that of a ratio of 0.3."""
    says(Damper, "bump_N_s_per_mm", "0.6 x root of (axle's rate in N/mm x kg on the arm / 1000)")
    rate, mass = 7.0, 30.0
    damper = 0.6 * math.sqrt(rate * mass / 1000.0) * 1000.0  # N.s/m
    found = np.linalg.eigvals(np.array([[0.0, 1.0], [-rate * 1000.0 / mass, -damper / mass]]))
    assert float(-found[0].real / abs(found[0])) == pytest.approx(0.3)
