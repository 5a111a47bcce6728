"""Obstacle shapes against the figures that handbooks give for them, and plane geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trundle.terrain.base import Obstacle
from trundle.terrain.edges import KerbUp
from trundle.terrain.ground import lay
from trundle.terrain.humps import HalfRound, RoundTopHump, SinusoidalHump


class Lane:
    """A course of one obstacle that starts at 1 m."""

    run_up_mm = run_out_mm = 1000.0
    speed_m_s = None
    driver = ()

    def __init__(self, part: Obstacle) -> None:
        self.obstacle = (part,)


@pytest.mark.parametrize(
    ("height", "chord", "radius_m", "entry_deg", "quarter_mm"),
    [
        # 3.7 m x 100 or 75 mm: the round-top road hump of TRL 186 and 377 (seen); the rest is geometry.
        (100.0, 3700.0, 17.1625, 6.188, 75.05),
        (75.0, 3700.0, 22.854, 4.643, 56.27),
        (75.0, 900.0, 1.3875, 18.92, None),
        (50.0, 900.0, 2.050, 12.68, None),
    ],
)
def test_round_top_hump(
    height: float, chord: float, radius_m: float, entry_deg: float, quarter_mm: float | None
) -> None:
    """Radius, entry slope and height at a quarter of the chord, to the printed digits."""
    hump = RoundTopHump(kind="round-top hump", height_mm=height, length_mm=chord)
    assert hump.radius_m() == pytest.approx(radius_m, rel=5e-5)
    step = 1e-6
    entry = math.degrees(math.atan(hump.heights_m(np.array([step]))[0] / step))
    assert entry == pytest.approx(entry_deg, abs=0.006)
    if quarter_mm is not None:
        assert hump.heights_m(np.array([chord / 4e3]))[0] * 1e3 == pytest.approx(quarter_mm, abs=0.006)


def test_sinusoidal_hump_slope() -> None:
    """3.7 m x 0.1 m: steepest slope pi h / L = 0.08491 (closed form), at a quarter of the length."""
    hump = SinusoidalHump(kind="sinusoidal hump", height_mm=100.0, length_mm=3700.0)
    slopes = np.diff(hump.heights_m(np.arange(37_001) * 1e-4)) / 1e-4
    assert slopes.max() == pytest.approx(0.08491, abs=5e-6)
    assert abs(int(slopes.argmax()) * 1e-4 - 0.925) < 0.002


@pytest.mark.parametrize("dx_m", [0.010, 0.005, 0.0025])
def test_rigid_wheel_over_half_round(dx_m: float) -> None:
    """Hub path of a rigid wheel r = 100 over a half-round R = 152.4 mm: an arc of radius r + R; it leaves the
    flat arccos(r / (r + R)) = 66.66 degrees from upright (plane geometry).

    The hub's height is the highest of all grid points' circles. At the angle a from upright the grid misses
    the point of contact by up to (dx/2)/cos a along the arc, where the two arcs have parted by
    (dx/2)^2 / (2 cos^2 a) (1/r + 1/R): 0.2 mm on the crown on a 10 mm grid. A tenth is allowed on top.
    """
    r, big = 0.100, 0.1524
    ground = lay(Lane(HalfRound(kind="half-round", gap_mm=0.0, radius_mm=big * 1e3)), dx_m)
    x = np.arange(ground.height_m.size) * ground.dx_m
    middle = 1.0 + big
    entry = math.degrees(math.acos(r / (r + big)))
    assert entry == pytest.approx(66.66, abs=0.005)
    reach = (r + big) * math.sin(math.radians(entry))
    crown = ((dx_m / 2) ** 2 / 2) * (1 / r + 1 / big)
    for hub in np.linspace(middle - reach * 0.98, middle + reach * 0.98, 41):
        under = np.abs(x - hub) < r
        height = (ground.height_m[under] + np.sqrt(r**2 - (x[under] - hub) ** 2)).max()
        missed = crown / (1.0 - ((hub - middle) / (r + big)) ** 2)
        assert -1.1 * missed < math.hypot(hub - middle, height) - (r + big) < 1e-9
    under = np.abs(x - (middle - 1.02 * reach)) < r
    flat = (ground.height_m[under] + np.sqrt(r**2 - (x[under] - (middle - 1.02 * reach)) ** 2)).max()
    assert flat == pytest.approx(r, abs=2e-4)


@pytest.mark.parametrize(
    ("r", "h", "angle_deg", "pull"),
    [(100, 25, 41.41, 0.8819), (100, 50, 60.00, 1.7321), (100, 75, 75.52, 3.8730), (150, 100, 70.53, 2.8284)],
)
@pytest.mark.parametrize("dx_m", [0.010, 0.0025])
def test_rigid_wheel_on_step(r: float, h: float, angle_deg: float, pull: float, dx_m: float) -> None:
    """A rigid wheel on the flat meets a kerb's corner arccos(1 - h/r) from upright, where it needs a pull of
    sqrt(2rh - h^2)/(r - h) of its load (statics): the laid corner is at the kerb's own place and height."""
    ground = lay(Lane(KerbUp(kind="kerb up", gap_mm=0.0, height_mm=float(h))), dx_m)
    corner = float(np.argmax(ground.height_m > 0.999 * h / 1e3)) * ground.dx_m
    assert corner == pytest.approx(1.0, abs=1e-9)
    hub = corner - math.sqrt(2 * r * h - h**2) / 1e3  # where plane geometry has the wheel touch flat and corner
    x = np.arange(ground.height_m.size) * ground.dx_m
    under = np.abs(x - hub) < r / 1e3
    gap = r / 1e3 - np.hypot(x[under] - hub, ground.height_m[under] - r / 1e3)
    touching = x[under][gap > -1e-9]
    assert touching.max() == pytest.approx(corner, abs=1e-9)
    assert gap.max() < 1e-9
    drop = r / 1e3 - ground.height_at(corner)
    assert math.degrees(math.atan2(corner - hub, drop)) == pytest.approx(angle_deg, abs=0.005)
    assert (corner - hub) / drop == pytest.approx(pull, rel=1e-4)
