"""The driver on a point mass: what motor and brake push, against closed forms of control and of statics."""

from __future__ import annotations

import math

import driver_kernels
import numpy as np
import pytest

import trundle
from trundle.law import driver as law
from trundle.law.state import MEMORY
from trundle.model.arrays import DRIVE, Floats, Records, records
from trundle.spec.course import Course
from trundle.spec.pull import Pull
from trundle.terrain.instructions import Stop
from trundle.terrain.slopes import RampDown, RampUp

MASS = 300.0
DT = 1e-3


def drive(push: float = 2500.0, brake: float = 1500.0, power: float = 1e9) -> Records:
    """One DRIVE record."""
    d = records(DRIVE, 1)
    d.push, d.brake, d.power, d.acceleration = push, brake, power, 0.8
    return d


class Mass:
    """A point mass under the driver and a load that pulls it back."""

    def __init__(self, d: Records, speed: float = 0.0) -> None:
        self.d, self.way = d, np.array([0.0, speed])
        self.memory = records(MEMORY, 1)
        self.driver = self.memory[0].driver
        self.driver.target_m_s = speed
        self.pushes = np.empty(0)

    def go(self, load_N: float, time_s: float, dt: float = DT) -> Floats:
        """Speeds at the ends of the steps [m/s]."""
        speeds = np.empty(round(time_s / dt))
        self.pushes = np.empty_like(speeds)
        driver_kernels.go(self.d, self.memory, MASS, load_N, dt, self.way, speeds, self.pushes)
        return speeds


def test_speed_after_a_load_has_come_on() -> None:
    """m e'' + k e' + k / T e = 0 after a step of load F: e = F / m (exp(-b t) - exp(-a t)) / (a - b), a and b its roots
    (any textbook of control). 1 %: steps of 1 ms against a fast root of 4 ms are kept away from by looking past it."""
    d = drive()
    it = Mass(d, 0.5)
    load = 800.0
    short = 0.5 - it.go(load, 3.0)
    k = float(d[0].push) / law.STIFF_M_S
    fast, slow = (0.5 * (k + s * math.sqrt(k * k - 4.0 * MASS * k / law.ADDED_UP_S)) / MASS for s in (1.0, -1.0))
    t = DT * np.arange(1, len(short) + 1)
    closed = load / MASS * (np.exp(-slow * t) - np.exp(-fast * t)) / (fast - slow)
    late = t > 0.05
    assert np.abs(short - closed)[late].max() < 0.01 * closed.max()
    assert closed.max() < law.STIFF_M_S * load / float(d[0].push)  # less than a driver without memory lacks for ever
    assert abs(short[-1]) < 1e-6
    assert it.driver.lasting_N == pytest.approx(load, rel=1e-4)


@pytest.mark.parametrize("load", [2600.0, 10_000.0])
def test_no_more_overshoot_for_a_long_stall(load: float) -> None:
    """Held up by more than the motor gives for 1 s or for 60 s, then let go: it goes past its speed by as much either
    time, and by no more than the shortfall that calls for all the motor has."""
    over = []
    for stalled_s in (1.0, 60.0):
        it = Mass(drive(), 0.6)
        for _ in range(round(stalled_s / 0.5)):
            it.go(load, 0.5)
            it.way[1] = max(it.way[1], 0.0)  # what holds it up does not push it back
        over.append(float(it.go(0.0, 3.0).max()) - 0.6)
    assert over[0] == pytest.approx(over[1], abs=1e-3)
    assert max(over) < law.STIFF_M_S


@pytest.mark.parametrize(("target", "speed", "push"), [(1.0, 0.0, 500.0), (9.0, 4.0, 250.0), (0.0, 2.0, -300.0)])
def test_far_from_its_speed(target: float, speed: float, push: float) -> None:
    """Full push below the wanted speed, power / speed beyond, brake above."""
    memory = records(MEMORY, 1)
    memory[0].driver.target_m_s = target
    assert driver_kernels.motor(drive(500.0, 300.0, 1000.0), memory, speed)[0] == pytest.approx(push)


def by_curve(*corners: tuple[float, float]) -> Records:
    """One DRIVE record of a motor with a curve of these corners [m/s, N]."""
    d = drive(push=corners[0][1])
    d.corners = len(corners)
    for k, (speed, push) in enumerate(corners):
        d[0].at[k], d[0].gives[k] = speed, push
    return d


def test_a_linear_motor_runs_up_by_its_time_constant() -> None:
    """m v' = F0 (1 - v/v0) - F: v = v1 (1 - exp(-t/T)), T = m v0/F0, v1 = v0 (1 - F/F0) (any textbook). The step takes
    the force at its end: v falls short by half a step of acceleration at most, F0 dt / 2 m = 1.3 mm/s."""
    most, fastest, load = 800.0, 2.0, 200.0
    it = Mass(by_curve((0.0, most), (fastest, 0.0)))
    it.driver.target_m_s = 10.0
    speeds = it.go(load, 3.0)
    t = DT * np.arange(1, len(speeds) + 1)
    steady, constant = fastest * (1.0 - load / most), MASS * fastest / most
    assert np.abs(speeds - steady * (1.0 - np.exp(-t / constant))).max() < 0.5 * DT * most / MASS
    assert float(it.go(load, 20.0 * constant)[-1]) == pytest.approx(steady, rel=1e-6)


def test_the_kernel_pushes_as_the_file_says() -> None:
    """Of a bent curve at any speed what `Pull.both_N` says (numpy.interp), its slope by finite differences; nothing
    beyond its highest speed, where only the brake holds back; no energy is made while it is pushed back."""
    corners = ((0.0, 900.0), (0.4, 900.0), (1.0, 500.0), (1.6, 0.0))
    d, pull = by_curve(*corners), Pull(900.0, corners=corners)
    memory = records(MEMORY, 1)
    memory[0].driver.target_m_s = 99.0
    for speed in np.linspace(-1.0, 3.0, 401):
        push, slope = driver_kernels.motor(d, memory, speed)
        assert push == pytest.approx(float(pull.both_N(speed)), abs=1e-9)
        ahead, behind = (driver_kernels.motor(d, memory, speed + h)[0] for h in (1e-7, -1e-7))
        if all(abs(speed - v) > 1e-6 for v, _ in corners):
            assert slope == pytest.approx((ahead - behind) / 2e-7, abs=1e-3)
    memory[0].driver.target_m_s = 2.0
    assert driver_kernels.motor(d, memory, 1.9)[0] == 0.0
    assert driver_kernels.motor(d, memory, 2.5)[0] == -float(d[0].brake)


CURVES = (None, ((0.0, 2500.0), (0.2, 2500.0), (0.9, 0.0)))


@pytest.mark.parametrize("curve", CURVES, ids=["power", "curve"])
@pytest.mark.parametrize("backwards", [0.0, 1.0])
@pytest.mark.parametrize("held", [0.0, 1.0])
@pytest.mark.parametrize("lasting", [-1500.0, 0.0, 700.0, 1500.0])
def test_push_never_rises_with_speed(
    backwards: float, held: float, lasting: float, curve: tuple[tuple[float, float], ...] | None
) -> None:
    """So the balance with inertia and traction, which rise with speed, has one root; and its slope is the push's."""
    d = drive(power=900.0) if curve is None else by_curve(*curve)
    memory = records(MEMORY, 1)
    driver = memory[0].driver
    driver.backwards, driver.held, driver.lasting_N = backwards, held, lasting
    driver.target_m_s = -0.4 if backwards else 0.4
    u = np.concatenate([np.linspace(-3.0, 3.0, 4001), np.linspace(-3e-6, 3e-6, 301)])
    u.sort()
    found = [driver_kernels.motor(d, memory, x) for x in u.tolist()]
    push, slope = np.array(found).T
    assert (np.diff(push) <= 1e-9).all()
    assert (slope <= 0.0).all()
    least, most = driver_kernels.limits(d, memory)
    assert push.min() >= least
    assert push.max() <= most
    h = 1e-9
    for x in u.tolist():
        below, above = driver_kernels.motor(d, memory, x - h), driver_kernels.motor(d, memory, x + h)
        if below[1] == pytest.approx(above[1], rel=1e-6):  # no corner between
            assert (above[0] - below[0]) / (2.0 * h) == pytest.approx(below[1], rel=1e-3, abs=1e-3)


@pytest.mark.parametrize("curve", CURVES, ids=["power", "curve"])
def test_backwards_mirrors_forwards(curve: tuple[tuple[float, float], ...] | None) -> None:
    """Push, power and brake to the rear as to the front (symmetry)."""
    d = drive(power=900.0) if curve is None else by_curve(*curve)
    memory = records(MEMORY, 1)
    driver = memory[0].driver
    for target, lasting, u in ((0.5, 300.0, 0.48), (2.0, 0.0, 1.0), (0.3, 0.0, 2.0), (0.3, -200.0, 0.31)):
        driver.backwards, driver.target_m_s, driver.lasting_N = 0.0, target, lasting
        ahead = driver_kernels.motor(d, memory, u)
        driver.backwards, driver.target_m_s, driver.lasting_N = 1.0, -target, -lasting
        back = driver_kernels.motor(d, memory, -u)
        assert back == (-ahead[0], ahead[1])


@pytest.mark.parametrize("slope_deg", [-20.0, 20.0])
def test_parks_on_a_slope(slope_deg: float) -> None:
    """Stopped on a slope it is held by the brake while m g sin a is less than that: under 0.1 mm in a minute either
    way; the force does not jump as the brake takes hold, and standing costs the motor nothing."""
    it = Mass(drive(), 0.3)
    load = MASS * 9.81 * math.sin(math.radians(slope_deg))
    it.go(load, 2.0)
    it.driver.target_m_s = 0.0
    pushes = []
    while not it.driver.held:
        it.go(load, DT)
        pushes.append(it.pushes[0])
        assert len(pushes) < 1500
    # What it takes to stop the whole mass from nearly still in one step.
    assert abs(pushes[-1] - pushes[-2]) <= MASS * law.NEARLY_STILL_M_S / DT
    x, motor_J = it.way[0], it.memory[0].ledger.motor_J
    it.go(load, 60.0)
    assert abs(it.way[0] - x) < 1e-4
    assert it.memory[0].ledger.motor_J == motor_J
    assert it.driver.lasting_N == pytest.approx(load, rel=1e-6)
    # Started again it takes up what the brake held, and does not roll back.
    it.driver.target_m_s = 0.05
    speeds = it.go(load, 1.0)
    assert speeds.min() > -1e-4
    assert speeds[-1] == pytest.approx(0.05, rel=0.01)


def test_brake_gives_way_beyond_what_it_holds() -> None:
    """More weight than the brake holds: the motor holds it, if it can, and uphill of it; else it slides away with
    (load - brake) / m (Newton)."""
    it = Mass(drive(push=1000.0, brake=600.0))
    it.go(900.0, 5.0)
    assert it.driver.held == 0.0
    assert abs(it.way[1]) < 1e-6
    it = Mass(drive(push=1000.0, brake=600.0))
    speeds = it.go(-900.0, 1.0)
    assert speeds[-1] == pytest.approx(300.0 / MASS, rel=0.1)


def ramp_course(slope_deg: float, speed: float, *told: Stop) -> Course:
    """Flat, and a ramp up or down that is longer than the vehicle."""
    kind = RampUp if slope_deg > 0.0 else RampDown
    name = "ramp up" if slope_deg > 0.0 else "ramp down"
    ramp = kind.model_validate({"kind": name, "height_mm": 1400, "slope_deg": abs(slope_deg), "gap_mm": 0})
    return Course(run_up_mm=2600, run_out_mm=3000, speed_m_s=speed, obstacle=(ramp,), driver=told)


def test_a_vehicle_crawls_up_a_steep_ramp_at_its_speed() -> None:
    """Teasel at 0.02 m/s up 20 degrees: with every wheel on it, over each second within 5 % of what is asked."""
    run = trundle.run("teasel", ramp_course(20.0, 0.02).model_copy(update={"run_out_mm": 0}), near=1)
    t = run.timeline
    assert run.completed
    on = t[t["wheel.rear.aft.x_mm"] > 2700.0]
    assert len(on) > 30_000
    along = np.hypot(on["hull.x_mm"].diff(), on["hull.y_mm"].diff()).rolling(1000).sum().dropna()
    assert along.to_numpy() == pytest.approx(20.0, rel=0.05)


@pytest.mark.parametrize("slope_deg", [20.0, -20.0])
@pytest.mark.parametrize("name", ["teasel", "barrow"])
def test_a_vehicle_parks_on_a_steep_ramp(name: str, slope_deg: float) -> None:
    """Told to stand there for a minute, nose up or down, on a track or on wheels: under 1 mm once the hull has stopped
    rocking (2 s), the brake holding its weight's part along the slope (statics, 3 %), and neither motor nor slip doing
    any work."""
    stop = Stop(kind="stop", at_mm=4900, for_s=60)
    run = trundle.run(name, ramp_course(slope_deg, 0.5, stop), near=1)
    assert run.completed
    t = run.timeline
    held = t[t["drive.brake_holds"] == 1.0]
    held = held[held["time_s"] > held["time_s"].iloc[0] + 2.0]
    assert held["time_s"].iloc[-1] - held["time_s"].iloc[0] > 57.0
    assert np.ptp(held["hull.x_mm"]) < 1.0
    assert np.ptp(held["hull.y_mm"]) < 1.0
    part = run.assembly.weight_N * math.sin(math.radians(slope_deg))
    assert held["drive.push_N"].mean() == pytest.approx(part, rel=0.03)
    for work in ("motor", "brake", "slip", "drag"):
        assert abs(np.ptp(held[f"energy.{work}_J"])) < 0.1
