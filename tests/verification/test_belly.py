"""The belly plate against closed forms: a bounce, a nose in a wall, a hull that slides to rest on its belly.

The rigs are a hull alone, its one wheel high in the air.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from rigs import AIR, Log, flat, kerb, model, run, state_at

from trundle.model.arrays import GroundArrays, Model
from trundle.model.rubber import bounce_damp
from trundle.units import G


def hull(
    belly: list[tuple[float, float]],
    rate: float,
    *,
    on: GroundArrays,
    mass: float = 50.0,
    inertia: float = 4.0,
    loss: float = 0.0,
    grip: float = 0.0,
    gravity: float = G,
) -> Model:
    plate = {"rate": rate, "damp": bounce_damp(loss), "grip": grip}
    return model([(mass, inertia)], [], [dict(AIR)], on, belly=belly, hull=plate, drive={"speed": 0.0}, gravity=gravity)


def thrown(m: Model, y: float, rates: tuple[float, float, float], time_s: float, dt: float, pitch: float = 0.0) -> Log:
    """The hull let go at x = 2, y [m], with rates (vx, vy [m/s], spin [rad/s])."""
    return run(m, state_at(m, np.array([2.0, y, pitch]), np.array(rates)), time_s, dt=dt)


@pytest.mark.parametrize("rate", [4e5, 2e6, 1e7])
@pytest.mark.parametrize("lever", [0.0, 0.4])
def test_blow_on_a_corner(rate: float, lever: float) -> None:
    """A hull that comes down at v on one corner, without loss or gravity: highest force v sqrt(k m*), where
    1 / m* = 1/m + lever^2 / I is what it has to move there, and the same energy after it.

    The largest of values a step apart falls short of a half-sine's top by up to (omega dt)^2 / 8, a semi-implicit step
    is out of phase by (omega dt)^2 / 24; the lever changes by the turn in the blow.
    """
    mass, inertia, v, dt = 50.0, 4.0, 1.0, 1e-3
    m = hull([(lever, -0.2)], rate, on=flat(), mass=mass, inertia=inertia, gravity=0.0)
    there = 1.0 / (1.0 / mass + lever**2 / inertia)
    omega = math.sqrt(rate / there)
    log = thrown(m, 0.2 + 1e-3, (0.0, -v, 0.0), 0.06, dt)
    assert omega * dt < 1.0
    assert log("run", "belly_N").max() == pytest.approx(v * math.sqrt(rate * there), rel=(omega * dt) ** 2 / 4 + 0.02)
    vx, vy, spin = (log("run", n)[-1] for n in ("vx", "vy", "pitch_rate"))
    after = 0.5 * (mass * (vx**2 + vy**2) + inertia * spin**2)
    # First order: the symplectic step keeps a bounce's energy to omega dt at worst, by where in a step it lets go.
    assert after == pytest.approx(0.5 * mass * v**2, rel=0.5 * omega * dt)


@pytest.mark.parametrize("loss", [0.35, 0.5])
@pytest.mark.parametrize("rate", [4e5, 5e6])
def test_share_of_a_blow_that_is_lost(rate: float, loss: float) -> None:
    """At 0.5 m/s a blow loses the stated share of its energy (Hunt and Crossley, see model.rubber), whatever the rate:
    to 1 % at steps a hundredth of the blow, to 6 % of the speed where a blow is five of the default step."""
    mass = 50.0
    blow = math.pi * math.sqrt(mass / rate)
    for dt, within in ((blow / 100.0, 0.01), (min(1e-3, blow / 5.0), 0.06)):
        m = hull([(0.0, -0.2)], rate, on=flat(), mass=mass, loss=loss, gravity=0.0)
        log = thrown(m, 0.2 + 1e-4, (0.0, -0.5, 0.0), 4.0 * blow + 1e-3, dt)
        assert log("run", "belly_N")[-1] == 0.0
        assert log("run", "vy")[-1] == pytest.approx(0.5 * math.sqrt(1.0 - loss), rel=within), dt


@pytest.mark.parametrize("rate", [1e6, 1e8])
def test_many_corners_in_the_hardest_plate_gain_nothing(rate: float) -> None:
    """Eleven corners come down together on a plate with loss: none of the energy of the fall is made up, however hard
    the plate is for the step (omega dt up to 1.9 with all of them, the explicit limit being 2)."""
    corners = [(x, -0.2) for x in np.linspace(-0.4, 0.4, 11)]
    each = min(rate, 1.9**2 * 50.0 / 1e-6 / 11.0)
    m = hull(corners, each, on=flat(), loss=0.5)
    log = thrown(m, 0.25, (0.0, -2.0, 0.0), 1.0, 1e-3)
    had = 50.0 * G * 0.05 + 0.5 * 50.0 * 2.0**2
    up = log("run", "y") - 0.2
    assert 50.0 * G * up.max() < had * 1.001
    # A bounce loses less the slower it is (model.rubber), so the last ones are slow to die: a few mm high.
    assert up[-300:].max() < 0.005


@pytest.mark.parametrize("dt", [1e-3, 2.5e-4])
@pytest.mark.parametrize("below", [0.02, 0.06])
def test_nose_into_a_wall_is_struck_from_the_front(below: float, dt: float) -> None:
    """A hull, nose down 20 deg, runs at 1 m/s into a wall whose top is `below` above its nose.

    The only way out is back: the force grows with what the nose has run in, not with how far the wall's top is above
    the belly. Between v sqrt(k m*) of the corner alone and v sqrt(2 k m*) with the wall's edge against it too, m* what
    the nose has to move along the course; that force never jumps, and the hull never rises by more than it is turned.
    """
    mass, inertia, v, rate, pitch = 50.0, 4.0, 1.0, 4e5, -math.radians(20.0)
    on = kerb(0.25, at=2.5, dx=0.005)
    m = hull([(-0.4, -0.1), (0.4, -0.1)], rate, on=on, mass=mass, inertia=inertia, gravity=0.0)
    nose_y = 0.4 * math.sin(pitch) - 0.1 * math.cos(pitch)
    log = thrown(m, 0.25 - below - nose_y, (v, 0.0, 0.0), 0.4, dt, pitch)
    there = 1.0 / (1.0 / mass + nose_y**2 / inertia)
    load = log("run", "belly_N")
    assert 0.9 * v * math.sqrt(rate * there) < load.max() < 1.05 * v * math.sqrt(2.0 * rate * there)
    assert np.abs(np.diff(load)).max() < 2.0 * rate * v * dt * 1.2
    vx, vy, spin = (log("run", n)[-1] for n in ("vx", "vy", "pitch_rate"))
    assert 0.5 * (mass * (vx**2 + vy**2) + inertia * spin**2) == pytest.approx(0.5 * mass * v**2, rel=0.04)


@pytest.mark.parametrize("rate", [4e5, 2e7])
def test_slides_to_rest_on_its_belly(rate: float) -> None:
    """A hull on its belly at 1 m/s, friction 0.4: stops after v^2 / 2 mu g (Coulomb) and then stays; hard plates do
    not make it chatter. Tolerance 3 %: friction has grown to its limit at 0.02 m/s of sliding."""
    grip, v = 0.4, 1.0
    m = hull([(-0.4, -0.02), (0.4, -0.02)], rate, on=flat(), loss=0.5, grip=grip)
    sunk = 50.0 * G / (2.0 * rate)
    log = thrown(m, 0.02 - sunk, (v, 0.0, 0.0), 1.0, 1e-3)
    assert log("run", "x")[-1] - 2.0 == pytest.approx(v**2 / (2.0 * grip * G), rel=0.03)
    speed = log("run", "vx")
    assert speed.min() > -1e-3
    assert abs(speed[-1]) < 1e-3
    assert np.diff(speed).max() < 2e-3
