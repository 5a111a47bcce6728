"""A wheel against shapes whose geometry is known: half-round, step, gap; and the size of the ground grid.

The wheel is hard and lightly loaded, so that it is nearly rigid; what is left of its softness is in the
tolerances.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from rigs import flat, ground, kerb, model, one_wheel, ring_load, run, state_at
from scipy.integrate import quad
from scipy.optimize import brentq

from trundle.model.arrays import GroundArrays
from trundle.units import G


def resting_height(on: GroundArrays, radius: float, x: float, bedding: float = 1e9, load: float = 10.0) -> float:
    """Height of a wheel's centre at x [m] where the ground bears `load` [N]."""
    m = model([(5.0, 1.0)], [], [{"body": 0, "radius": radius, "rate": bedding, "wheels": 1.0}], on)

    def spare(y: float) -> float:
        ring = ring_load(m, x, y).work[0].ring[0]
        return float(ring.load * ring.ny) - load

    high = float(on.height.max()) + radius + 1e-6
    low = high - 1e-3
    while spare(low) < 0.0:
        low -= 1e-3
    return float(brentq(spare, low, low + 1e-3 + 1e-9, xtol=1e-9))


def half_round(big: float, dx: float, at: float = 2.0) -> GroundArrays:
    x = dx * np.arange(round(4.0 / dx) + 1) - at
    return ground(np.sqrt(np.maximum(big**2 - x**2, 0.0)), dx)


@pytest.mark.parametrize("dx", [0.005, 0.0025, 0.001])
def test_hub_path_over_a_half_round(dx: float) -> None:
    """Rigid wheel r = 100 over a half-round R = 152.4: the hub runs on a circle of r + R (plane geometry);
    first touch where the hub is at level r: sqrt((r+R)^2 - r^2), 66.66 deg from the vertical.

    Tolerance: the wheel rests on points c = dx / cos(angle) apart and sinks between two of them by
    c^2 / 8 (1/R + 1/r), over cos(angle) in height (0.05 mm on top at 5 mm grid); 0.05 mm for what is pressed in.
    """
    r, big = 0.1, 0.1524
    on = half_round(big, dx)
    assert math.degrees(math.acos(r / (r + big))) == pytest.approx(66.66, abs=0.005)
    for angle in (-60.0, -45.0, -30.0, -10.0, 0.0, 20.0, 50.0):
        x = (r + big) * math.sin(math.radians(angle))
        steep = math.cos(math.radians(angle))
        want = (r + big) * steep
        assert resting_height(on, r, 2.0 + x) == pytest.approx(
            want, abs=5e-5 + (dx / steep) ** 2 / 8 * (1 / big + 1 / r) / steep
        ), angle
    outside = math.sqrt((r + big) ** 2 - r**2) + 0.002
    assert resting_height(on, r, 2.0 - outside) == pytest.approx(r, abs=1.5e-4)


def test_hub_path_over_a_half_round_rolling() -> None:
    """The same path by running the engine: a light sprung wheel driven at 0.3 m/s
    with ample grip, on a tyre as hard as steel that shears by 1 mm (with 5 it chatters at the foot: load that comes
    back at 350 Hz does not pull before it has sheared). Within 0.15 mm of the circle up to 50 deg
    (measured 0.05 mm): pressing in, and the step."""
    r, big = 0.1, 0.1524
    m, q = one_wheel(
        sprung_kg=20, unsprung_kg=2, rate=500, damp=150, tyre_rate=1e7, on=half_round(big, 0.0025), radius=r, x=1.5
    )
    m.drive.grip, m.drive.speed, m.drive.shear = 3.0, 0.3, 1e-3
    q[0] = 2.0 - 0.3
    log = run(m, state_at(m, q), 3.0, dt=2e-4)
    x, y = log("ring", "x", 0) - 2.0, log("ring", "y", 0)
    top = np.abs(x) < (r + big) * math.sin(math.radians(50))
    off = np.hypot(x[top], y[top]) - (r + big)
    assert top.sum() > 200
    assert np.abs(off).max() < 1.5e-4


@pytest.mark.parametrize(
    ("r", "h", "angle_deg", "pull"),
    [
        (0.1, 0.025, 41.41, 0.8819),
        (0.1, 0.05, 60.0, 1.7321),
        (0.1, 0.075, 75.52, 3.8730),
        (0.15, 0.1, 70.53, 2.8284),
        (0.15, 0.125, 80.41, 5.916),
    ],
)
def test_wheel_against_a_step(r: float, h: float, angle_deg: float, pull: float) -> None:
    """Rigid wheel r meeting a step h with its bottom at level: contact arccos(1 - h/r) from the vertical, and
    the pull at the axle that lifts it off the ground F/W = sqrt(2rh - h^2)/(r - h) (statics about the edge).

    The direction of the ring's load is that of the edge: the face's points lie deeper by less than the wheel
    presses in (0.1 mm here). Tolerance 1 deg and 4 % (tan of it at 80 deg is 10 %: stated in degrees there).
    """
    assert math.degrees(math.acos(1 - h / r)) == pytest.approx(angle_deg, abs=0.005)
    assert math.sqrt(2 * r * h - h * h) / (r - h) == pytest.approx(pull, rel=1e-4)
    on = kerb(h, at=2.0, dx=0.001)
    m = model([(5.0, 1.0)], [], [{"body": 0, "radius": r, "rate": 1e8, "wheels": 1.0}], on)
    reach = math.sqrt(r * r - (r - h) ** 2)
    # 0.5 mm clear of the floor; pushed 0.1 mm along the line of contact into the edge.
    y = r + 5e-4
    gap = math.sqrt(r * r - (y - h) ** 2)
    ring = ring_load(m, 2.0 - gap + 1e-4, y).work[0].ring[0]
    assert ring.load > 0.0
    got = math.degrees(math.atan2(-ring.nx, ring.ny))
    assert reach == pytest.approx(r * math.sin(math.radians(angle_deg)), rel=1e-3)
    assert got == pytest.approx(math.degrees(math.asin(gap / r)), abs=1.0)
    assert got == pytest.approx(angle_deg, abs=1.5)


def test_towed_wheel_climbs_only_with_the_pull_of_statics() -> None:
    """A hard wheel pressed against a 40 mm step (r = 100) by a level push: below F/W = 1.333 it stays, above it
    climbs. Tolerance 8 %: the tyre gives 0.1 mm at the edge, the push comes on over 0.9 s, which lowers the pull."""
    r, h = 0.1, 0.04
    need = math.sqrt(2 * r * h - h * h) / (r - h)
    on = kerb(h, at=2.0, dx=0.001)
    mass = 40.0
    for share, climbs in ((0.92, False), (1.08, True)):
        m = model(
            [(mass, 1e9)], [], [{"body": 0, "radius": r, "rate": 6e9, "damp": 2.0, "wheels": 1.0}], on,
            drive={"speed": 0.0},
        )  # fmt: skip
        gap = math.sqrt(r * r - (r - h) ** 2)
        state = state_at(m, np.array([2.0 - gap - 1e-4, r - 1e-4, 0.0]))
        x = tow(m, state, share * need * mass * G, 1.5)
        assert bool(x.max() > 2.0) is climbs, share


def tow(m, state, pull: float, time_s: float) -> np.ndarray:
    """A level force on body 0, put in through the public space: semi-implicit steps of 0.2 ms."""
    from trundle.engine.space import BodySpace
    from trundle.law import ask
    from trundle.law.kernels import accept
    from trundle.law.scratch import new_scratch

    scratch, dt, xs = new_scratch(m), 2e-4, []
    space = BodySpace(m, state, scratch, dt)
    for k in range(round(time_s / dt)):
        ask.forces(m, state, dt, scratch)
        accept(state.record, scratch)
        scratch.work[0].force[0, 0] += pull * min(1.0, k * dt / (0.6 * time_s))
        space.write()
        space.step(dt)
        space.read()
        xs.append(state["hull.x_m"])
        if xs[-1] > 2.1:
            break
    return np.array(xs)


@pytest.mark.parametrize("gap", [0.04, 0.08, 0.12])
def test_wheel_bridges_a_gap(gap: float) -> None:
    """Over a trench narrower than itself a rigid wheel sinks by r - sqrt(r^2 - (g/2)^2), resting on both edges
    (plane geometry); between two half-rounds it rides on both likewise. Tolerance 0.15 mm of pressing in."""
    r, dx = 0.1, 0.0025
    x = dx * np.arange(round(4.0 / dx) + 1) - 2.0
    on = ground(np.where(np.abs(x) < gap / 2 - 1e-9, -0.3, 0.0), dx)
    assert resting_height(on, r, 2.0) == pytest.approx(math.sqrt(r * r - gap * gap / 4), abs=1.5e-4)
    big = 0.05
    apart = 2 * big + gap
    bumps = np.sqrt(np.maximum(big**2 - (np.abs(x) - apart / 2) ** 2, 0.0))
    want = math.sqrt((r + big) ** 2 - apart**2 / 4) if apart / 2 < r + big else r
    assert resting_height(ground(bumps, dx), r, 2.0) == pytest.approx(max(want, r), abs=2e-4)


def test_edge_is_enveloped_not_hit() -> None:
    """A soft tyre over a 20 mm kerb: its load changes without a jump. Moving 1 mm at a time at fixed height the
    load never changes by more than bedding * depth * 1 mm * 2 (the points that enter), at any grid."""
    r, bedding = 0.1, 5e6
    for dx in (0.005, 0.0025):
        m = model(
            [(5.0, 1.0)], [], [{"body": 0, "radius": r, "rate": bedding, "wheels": 1.0}], kerb(0.02, at=2.0, dx=dx)
        )
        loads = np.array([ring_load(m, x, r + 0.018).work[0].ring[0].load for x in np.arange(1.85, 2.05, 0.001)])
        assert loads[0] == 0.0
        assert np.abs(np.diff(loads)).max() < 0.12 * loads.max(), dx


@pytest.mark.parametrize("r", [0.03, 0.055, 0.1, 0.2])
def test_load_does_not_depend_on_where_the_grid_lies(r: float) -> None:
    """A wheel standing anywhere on level ground at one height carries the same load, on any grid, to rounding; and it
    is that of a ring pressed flat (Winkler bedding, Johnson, Contact Mechanics, section 4.3; the integral of the
    radial depth), within 1e-5 with a twentieth of the radius pressed in, 1e-3 with a fifth."""
    bedding, loads = 5e6, []
    for dx in (0.01, 0.005, 0.0025):
        m = model([(5.0, 1.0)], [], [{"body": 0, "radius": r, "rate": bedding, "wheels": 1.0}], flat(dx=dx))
        loads += [ring_load(m, 2.0 + s * dx, 0.95 * r).work[0].ring[0].load for s in np.linspace(0, 1, 21)]
    assert np.ptp(loads) < 1e-9 * np.mean(loads)
    assert loads[0] == pytest.approx(bedding * closed_form(r, 0.05 * r), rel=1e-5)
    deep = ring_load(m, 2.0, 0.8 * r).work[0].ring[0].load
    assert deep == pytest.approx(bedding * closed_form(r, 0.2 * r), rel=1e-3)


@pytest.mark.parametrize("dx", [0.005, 0.002])
def test_push_is_the_slope_of_the_energy(dx: float) -> None:
    """Over a kerb's corner, its face and foot, and along a round: force = -dE/dx, -dE/dy by differences. Within 0.1 %
    of the load, where up to 12 % of the radius is pressed in (Gauss's rule, see press_ring)."""
    r, bedding, h = 0.1, 5e6, 1e-6
    for on, top in ((kerb(0.06, at=2.0, dx=dx), 0.06), (half_round(0.06, dx), 0.06)):
        m = model([(5.0, 1.0)], [], [{"body": 0, "radius": r, "rate": bedding, "wheels": 1.0}], on)

        def energy(x: float, y: float, m=m) -> float:
            return float(ring_load(m, x, y).work[0].tyre_J)

        for x in np.linspace(1.9, 2.1, 23):
            for y in (r - 0.006, r + 0.5 * top, r + top - 0.004):
                ring = ring_load(m, x, y).work[0].ring[0]
                if ring.reach < 0.88 * r:
                    continue
                slopes = [(energy(x + a, y + b) - energy(x - a, y - b)) / (2 * h) for a, b in ((h, 0.0), (0.0, h))]
                push = [-ring.load * ring.nx, -ring.load * ring.ny]
                assert slopes == pytest.approx(push, abs=1e-3 * ring.load + 1e-3), (x, y)


def closed_form(radius: float, press: float) -> float:
    """Integral over the chord of the radial depth's upright part, by quadrature: a ring's load for a bedding of 1."""
    h = radius - press
    half = math.sqrt(radius**2 - h**2)
    return float(quad(lambda t: (radius - math.hypot(h, t)) * h / math.hypot(h, t), -half, half, epsabs=1e-14)[0])
