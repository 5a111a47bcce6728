"""Rigid bodies and pivots of the engine against mechanics that has closed forms.

The rigs hang arms on a hull of 1000 t that stands on its belly (rigs.anchored): a fixed world that the engine
needs no special case for.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from rigs import Log, anchored, line_spring, model, roll, run, run_watched, state_at, vehicle
from scipy.integrate import solve_ivp
from scipy.special import ellipk

from trundle.engine.length import default_step_s
from trundle.units import G

HANG = math.pi / 2
"""Angle below horizontal of an arm that hangs straight down."""


def arm(length: float, parent: int = 0, **fields: float) -> dict[str, float]:
    """A massless arm with its mass at the end; free to turn all the way."""
    return {
        "parent": parent, "child": parent + 1, "cx": -length, "sign": 1.0, "radius": length,
        "bump": -50.0, "droop": 50.0, "pad_rate": 1.0, "friction_rate": 1.0, **fields,
    }  # fmt: skip


def period(t: np.ndarray, x: np.ndarray) -> float:
    """Mean period from upward zero crossings, interpolated."""
    k = np.flatnonzero((x[:-1] < 0) & (x[1:] >= 0))
    at = t[k] - x[k] * (t[k + 1] - t[k]) / (x[k + 1] - x[k])
    return float((at[-1] - at[0]) / (len(at) - 1))


@pytest.mark.parametrize(
    ("swing_deg", "printed_s"), [(0.5, 1.41875), (10, 1.42145), (30, 1.44344), (60, 1.52257), (90, 1.67460)]
)
def test_pendulum_period_of_an_arm(swing_deg: float, printed_s: float) -> None:
    """T = 2 pi sqrt(L/g) (2/pi) K(sin A/2), any mechanics text; printed values are for L = 0.5 m.

    Tolerance 1e-4: the symplectic Euler step errs in period by (omega dt)^2 / 24 = 2e-7 at 0.5 ms, first-order
    terms cancel over a cycle; the printed values carry 6 digits. For the smallest swing the printed value is
    that of the limit, from which 0.5 deg differs by A^2/16 = 5e-6.
    """
    m, hull = anchored([(2.0, 1e-9)], [arm(0.5)])
    exact = 4.0 * math.sqrt(0.5 / G) * float(ellipk(math.sin(math.radians(swing_deg) / 2) ** 2))
    log = run(m, state_at(m, [*hull, 0.0, HANG - math.radians(swing_deg)]), 8.0, dt=5e-4)
    got = period(log.t, log("arm", "angle") - HANG)
    assert exact == pytest.approx(printed_s, rel=1e-5)
    assert got == pytest.approx(exact, rel=1e-4)


def test_rod_swings_as_a_physical_pendulum() -> None:
    """Uniform rod of 0.5 m about its end: 2 pi sqrt(2 L / 3 g) = 1.15840 s. Inertia is used, not only mass.

    Swing 1 deg: A^2/16 = 2e-5 longer; tolerance 1e-4.
    """
    mass, length = 3.0, 0.5
    rod = {**arm(length), "cx": -length / 2}
    m, hull = anchored([(mass, mass * length**2 / 12)], [rod])
    log = run(m, state_at(m, [*hull, 0.0, HANG - math.radians(1.0)]), 8.0, dt=5e-4)
    assert period(log.t, log("arm", "angle") - HANG) == pytest.approx(1.15840, rel=1e-4)


def test_bodies_fall_by_half_g_t_squared() -> None:
    """Free fall, exact: v = g t and, for this scheme (old velocity moves the body), y = g t (t - dt) / 2."""
    m = model([(70.0, 5.0)], [], [{"y": 100.0, "radius": 0.05, "rate": 1.0, "wheels": 1.0}], anchored([], [])[0].ground)
    dt = 1e-3
    log = run(m, state_at(m, [1.0, 30.0, 0.0]), 1.0, dt=dt)
    t = log.t[-1]  # rows hold the place the coming step reaches
    assert log("run", "y")[-1] == pytest.approx(30.0 - G * t * (t - dt) / 2, abs=1e-9)


@pytest.mark.parametrize(("zeta", "ratio"), [(0.05, 0.7301), (0.1, 0.5318), (0.2, 0.2773), (0.3, 0.1386)])
def test_damped_decay(zeta: float, ratio: float) -> None:
    """Ratio of successive peaks exp(-2 pi zeta / sqrt(1 - zeta^2)): pivot spring and damper, 75 kg, 41.2 N/mm.

    Tolerance 0.5 % + print: at 0.25 ms the scheme damps by omega dt / 2 = 0.3 % of critical at most (measured
    far less, because the force is taken at the new position). Swing 10 mm on 1 m: cos error 5e-5.
    """
    length, mass, k = 1.0, 75.0, 41.2e3
    c = 2.0 * zeta * math.sqrt(k * mass)
    table, spring = line_spring(k * length**2, free=-mass * G / (k * length))
    m, hull = anchored([(mass, 1e-9)], [arm(length, damp_bump=c, damp_droop=c, **spring)], spring=table)
    log = run(m, state_at(m, [*hull, 0.0, 0.01]), 1.5, dt=2.5e-4)
    x = log("arm", "angle")
    k0 = np.flatnonzero((x[1:-1] > x[:-2]) & (x[1:-1] >= x[2:]) & (x[1:-1] > 1e-6))
    peaks = x[k0 + 1]
    assert peaks[0] / 0.01 == pytest.approx(ratio, rel=5e-3)
    assert peaks[1] / peaks[0] == pytest.approx(ratio, rel=5e-3)


def test_coulomb_decay_stops_where_the_formula_says() -> None:
    """75 kg on 41.2 N/mm with 150 N dry friction from 30 mm: each half cycle loses 2F/k = 7.282 mm; peaks 30,
    22.718, 15.437, 8.155, 0.874 mm; it stops there (|x| < F/k = 3.64 mm) after 4 half cycles; the period stays
    0.26808 s. Coulomb damping, any vibration text.

    Tolerance 0.02 mm and 0.3 % of the period: before it slips the grip is elastic, over 1e-6 rad * 1 m = 1 um
    here, which turns each reversal a little faster than rigid friction would (0.1 % of the period).
    """
    length, mass, k, force = 1.0, 75.0, 41.2e3, 150.0
    table, spring = line_spring(k * length**2, free=-mass * G / (k * length))
    m, hull = anchored(
        [(mass, 1e-9)],
        [arm(length, friction=force * length, friction_rate=force * length / 1e-6, **spring)],
        spring=table,
    )
    log = run(m, state_at(m, [*hull, 0.0, 0.030]), 2.0, dt=1e-4)
    x = log("arm", "angle") * 1e3
    half = 0.26808 / 2
    for n, want in enumerate([-22.718, 15.437, -8.155, 0.874], start=1):
        window = x[(log.t > (n - 0.5) * half) & (log.t < (n + 0.5) * half)]
        assert (window.max() if want > 0 else window.min()) == pytest.approx(want, abs=0.02)
    rest = x[log.t > 4.5 * half]
    assert np.abs(rest - 0.874).max() < 0.02
    first = np.flatnonzero((x[:-1] > 0) & (x[1:] <= 0))[:2]
    # Zero crossings sit a quarter period after peaks whose centre is shifted by F/k to either side.
    lows = [np.argmin(x[log.t < 2 * half]), np.argmin(np.where(log.t > 2 * half, x, 0.0))]
    assert first.size == 2
    assert log.t[lows[1]] - log.t[lows[0]] == pytest.approx(0.26808, rel=3e-3)


def test_arm_thrown_on_its_pad() -> None:
    """Peak force of a linear pad v sqrt(k m), and half a period pi sqrt(m/k) in contact (no gravity in the way:
    the arm hits at right angles to it, hanging). Tolerance 0.5 %: 0.05 ms step, omega dt = 0.005."""
    length, mass, rate, speed = 0.5, 4.0, 3e5, 1.0
    m, hull = anchored([(mass, 1e-9)], [arm(length, pad_rate=rate) | {"bump": HANG}])
    q, v = [*hull, 0.0, HANG + 1e-9], [0.0, 0.0, 0.0, -speed / length]
    log = run(m, state_at(m, q, np.array(v)), 0.03, dt=5e-5)
    force = log("arm", "stop")
    assert force.max() == pytest.approx(speed * math.sqrt(rate * mass), rel=5e-3)
    assert np.count_nonzero(force) * 5e-5 == pytest.approx(math.pi * math.sqrt(mass / rate), rel=1e-2)


@pytest.mark.parametrize("loss", [0.1, 0.5, 0.9])
def test_pad_loses_the_stated_energy(loss: float) -> None:
    """A hit at 0.5 m/s loses the stated share of its energy; at another speed p - ln(1 + p) is equal before
    and after (Hunt and Crossley, J. Appl. Mech. 42 (1975) 440, integrated). Tolerance 1 % of the energy."""
    from scipy.optimize import brentq

    from trundle.model.rubber import bounce_damp

    damp, length, mass = bounce_damp(loss), 0.5, 4.0
    for speed in (0.5, 1.0):
        p = damp * speed
        back = brentq(lambda b, p=p: (-b - math.log1p(-b)) - (p - math.log1p(p)), 0.0, 1.0 - 1e-14) / damp
        m, hull = anchored([(mass, 1e-9)], [arm(length, pad_rate=3e5, pad_damp=damp) | {"bump": HANG}])
        start = state_at(m, [*hull, 0.0, HANG + 1e-9], np.array([0, 0, 0, -speed / length]))
        log = run(m, start, 0.04, dt=2e-5)
        x, free = log("arm", "angle"), log("arm", "stop") == 0.0
        k = np.flatnonzero(free & (log.t > 0.004))[0] + 2
        got = length * (x[k + 20] - x[k]) / (20 * 2e-5)
        assert (got / speed) ** 2 == pytest.approx((back / speed) ** 2, abs=0.01)
        if speed == 0.5:
            assert 1.0 - (got / speed) ** 2 == pytest.approx(loss, abs=0.01)


def test_drop_on_a_spring() -> None:
    """75 kg dropped 100 mm on 41.2 N/mm: deflection dst (1 + sqrt(1 + 2h/dst)) = 80.21 mm, factor 4.493
    (energy balance, any mechanics text). Here: a hull on one belly corner without loss. Tolerance 0.2 %."""
    m = model(
        [(75.0, 5.0)],
        [],
        [{"y": 100.0, "radius": 0.05, "rate": 1.0, "wheels": 1.0}],
        anchored([], [])[0].ground,
        belly=[(0.0, -0.5)],
        hull={"rate": 41.2e3},
    )
    log = run(m, state_at(m, [1.0, 0.6, 0.0]), 0.6, dt=2e-4)
    deep = -log("run", "belly_clear").min() * 1e3
    assert deep == pytest.approx(80.21, rel=2e-3)
    assert deep / (75 * G / 41.2) == pytest.approx(4.493, rel=2e-3)


def chain() -> tuple:
    """Three links of 0.4, 0.3, 0.2 m hung on the heavy hull: an arm, a beam on it, and one more."""
    masses, lengths = (4.0, 3.0, 2.0), (0.4, 0.3, 0.2)
    joints = [
        arm(0.4) | {"cx": -0.4},
        arm(0.3, parent=1) | {"px": 0.0, "cx": -0.3},
        arm(0.2, parent=2) | {"px": 0.0, "cx": -0.2},
    ]
    m, hull = anchored([(x, 1e-9) for x in masses], joints)
    return m, hull, masses, lengths


def chain_energy(log: Log, m, masses: tuple[float, ...], lengths: tuple[float, ...]) -> tuple:
    """Kinetic and potential energy of the links from logged angles, by differences (midway between rows)."""
    a = np.cumsum(np.column_stack([log("arm", "angle", j) for j in range(3)]), axis=1)
    x = np.cumsum(np.cos(a) * lengths, axis=1)
    y = -np.cumsum(np.sin(a) * lengths, axis=1)
    dt = log.t[1] - log.t[0]
    v2 = (np.diff(x, axis=0) ** 2 + np.diff(y, axis=0) ** 2) / dt**2
    mid = 0.5 * (y[1:] + y[:-1])
    return (v2 @ masses) / 2, (mid @ masses) * G


def test_three_link_chain_keeps_its_energy() -> None:
    """Conservation: a free three-link pendulum from horizontal keeps its energy for 5 s at 1 ms within 1 % of
    the energy in play (m g L = 45 J). With pymunk's default error_bias it lost a third (measured), which is
    why the engine sets it to 0; iterations are not what limits it."""
    m, hull, masses, lengths = chain()
    log = run(m, state_at(m, [*hull, 0.0, 0.0, 0.0, 0.0]), 5.0, dt=1e-3)
    kinetic, potential = chain_energy(log, m, masses, lengths)
    total = kinetic + potential
    play = kinetic.max()
    assert np.abs(total[10:] - total[10]).max() < 0.01 * play


def test_three_link_chain_follows_the_equations_of_motion() -> None:
    """Against Lagrange's equations of the same chain by scipy (DOP853, 1e-10) for the first 1.2 s, while the
    motion is not yet chaotic: 5 mrad in angles that change by several radians (0.2 ms step)."""
    m, hull, masses, lengths = chain()
    log = run(m, state_at(m, [*hull, 0.0, 0.0, 0.0, 0.0]), 1.2, dt=2e-4)
    n = 3
    below = np.array([[sum(masses[max(i, j) :]) * lengths[i] * lengths[j] for j in range(n)] for i in range(n)])

    def rates(_t: float, z: np.ndarray) -> np.ndarray:
        a, w = z[:n], z[n:]
        d = a[:, None] - a[None, :]
        weight = np.array([sum(masses[i:]) * lengths[i] * G * math.cos(a[i]) for i in range(n)])
        right = weight - (below * np.sin(d)) @ (w**2)
        return np.concatenate([w, np.linalg.solve(below * np.cos(d), right)])

    sol = solve_ivp(rates, (0, 1.2), np.zeros(2 * n), method="DOP853", rtol=1e-10, atol=1e-12, dense_output=True)
    want = sol.sol(log.t)[:n]
    got = np.cumsum([log("arm", "angle", j) for j in range(n)], axis=0)
    assert np.ptp(want, axis=1).min() > 2.0
    assert np.abs(got - want).max() < 5e-3


@pytest.mark.parametrize("bogie", ["single arm", "paired arms", "walking beam"])
def test_flying_vehicle_keeps_its_momentum(bogie: str) -> None:
    """A tracked vehicle thrown spinning through the air, arms flailing against springs, dampers, friction and
    stops: momentum and spin about the common centre of mass change only by gravity (Newton; internal forces
    cancel). Momentum to 1e-9 of m g t (rounding).

    Spin: the pivots' solver leaves the bodies' own drift, first order in the step; 1 % of the start's spin
    at 1 ms is measured to be less. The track's reaction is included: motor at rest target speed.
    """
    from rigs import flat

    from trundle.engine.standing import stand

    found = stand(vehicle(bogie, track=False), flat(speed=0.0))
    m = found.assembly.model
    q = found.q.copy()
    q[1] += 20.0
    v = np.zeros(len(q))
    v[0], v[1], v[2] = 2.0, 1.0, 2.0
    v[3:] = np.linspace(-3.0, 3.0, len(q) - 3)
    start = state_at(m, q, v)
    mass, nb = m.bodies.mass, len(m.bodies)

    def momenta(state: np.ndarray) -> tuple[np.ndarray, float]:
        p = mass @ state[:, 3:5]
        com = mass @ state[:, :2] / mass.sum()
        r = state[:, :2] - com
        return p, float(np.sum(mass * (r[:, 0] * state[:, 4] - r[:, 1] * state[:, 3])) + m.bodies.inertia @ state[:, 5])

    seen = []

    def watch(_i, scratch) -> None:
        pose, motion = scratch.work[0].pose[:nb], scratch.work[0].motion[:nb]
        seen.append(np.column_stack([pose["x"], pose["y"], pose["angle"], motion["vx"], motion["vy"], motion["spin"]]))

    steps, dt = 500, 1e-3
    run_watched(m, start, steps, dt, watch)
    p0, l0 = momenta(seen[1])
    p1, l1 = momenta(seen[-1])
    fall = np.array([0.0, -mass.sum() * G * dt * (steps - 2)])
    assert np.abs(p1 - p0 - fall).max() < 1e-9 * abs(fall[1])
    assert l1 == pytest.approx(l0, rel=0.01)


def test_impulse_of_the_ground_is_the_change_of_momentum() -> None:
    """Newton's second law for the whole vehicle at every step of a kerb climb: mass times change of velocity
    = dt times (ground forces logged + gravity), to rounding (1e-9 of m g dt); the pivots cancel."""
    from rigs import kerb

    from trundle.engine.standing import stand
    from trundle.law.state import BELLY, TRACK, TYRE, TYRE_LOSS

    found = stand(vehicle("paired arms"), kerb(0.1, at=2.0))
    m = found.assembly.model
    mass, dt = m.bodies.mass, 1e-3
    last: list[np.ndarray] = []
    worst = [0.0]

    def watch(i, scratch) -> None:
        w = scratch.work[0]
        motion = w.motion[: len(mass)]
        momentum = mass @ np.column_stack([motion["vx"], motion["vy"]])
        if i > 1:
            moved = momentum - last[0]
            worst[0] = max(worst[0], np.abs(moved - dt * last[1]).max())
        force = w.load[[TYRE, TYRE_LOSS, BELLY, TRACK]].sum(axis=(0, 1))[:2] - [0.0, mass.sum() * G]
        last[:] = [momentum, force]

    run_watched(m, found.state, 2500, dt, watch)
    assert worst[0] < 1e-9 * mass.sum() * G * dt


def test_energy_ledger_closes() -> None:
    """To hold: the ledger closes within 0.5 % of motor work and change of height and motion, for each bogie kind over a
    100 mm kerb."""
    from rigs import kerb

    for bogie in ("single arm", "paired arms", "walking beam"):
        v = vehicle(bogie)
        _, log = roll(v, kerb(0.1), 5.0, default_step_s(v))
        assert log.unaccounted() < 0.005, bogie
