"""What it takes to keep rolling: a share of the load at any speed, and never given back."""

from __future__ import annotations

import numpy as np
import pytest
import rigs

import trundle
from trundle.engine.standing import lift_to_rolling, stand
from trundle.errors import InputError
from trundle.law import ask
from trundle.law.state import TYRE_LOSS
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.instructions import Reverse
from trundle.terrain.slopes import Flat
from trundle.units import G


def shipped(name: str, **settings: float) -> Vehicle:
    """A shipped vehicle with fields set."""
    return trundle.load_vehicle(name, settings)


def pull(vehicle: Vehicle, speed: float, length_mm: float) -> float:
    """Mean push at a steady speed on the level, as a share of the weight."""
    flat = Flat(kind="flat", length_mm=length_mm, gap_mm=0.0)
    run = trundle.run(vehicle, Course(run_up_mm=2300, run_out_mm=0, speed_m_s=speed, obstacle=(flat,)), near=1)
    late = run.timeline["time_s"] > 0.6 * run.timeline["time_s"].iloc[-1]
    return float(run.timeline["drive.push_N"][late].mean()) / run.assembly.weight_N


@pytest.mark.parametrize(
    ("name", "field", "share"),
    [("barrow", "wheel.road.rolling_drag", 0.02), ("teasel", "track.rolling_drag", 0.03)],
)
def test_rolling_takes_as_much_at_any_speed(name: str, field: str, share: float) -> None:
    """Rolling resistance of rubber tyres hardly depends on speed at these speeds (common practice, no source): share
    of the load at 0.05 and at 2 m/s, within 2 %, and nothing on top."""
    vehicle = shipped(name, **{field: share})
    slow, fast = pull(vehicle, 0.05, 500.0), pull(vehicle, 2.0, 12_000.0)
    assert slow == pytest.approx(share, rel=0.02)
    assert fast == pytest.approx(slow, rel=0.02)


def test_coasts_down_by_its_drag() -> None:
    """Let roll without motor or brake it loses c g m / (m + spin) a second, spin the wheels' inertia as mass at their
    rims (Newton): 1 %."""
    vehicle = shipped("barrow", **{"wheel.road.rolling_drag": 0.02, "drive.brake_N": 0})
    found = stand(vehicle, rigs.flat(30.0, speed=0.01), 1.0)
    model = found.assembly.model
    log = rigs.run(model, lift_to_rolling(found, 1.5), 5.0, 0.5e-3)
    mass, spin = float(model.bodies["mass"].sum()), float(model.rings["spin"].sum())
    speed = log("run", "vx")
    late = log.t > 1.0
    slope = np.polyfit(log.t[late], speed[late], 1)[0]
    assert slope == pytest.approx(-0.02 * G * mass / (mass + spin), rel=0.01)


@pytest.mark.parametrize("name", ["barrow", "teasel"])
def test_drag_is_never_given_back(name: str) -> None:
    """Forwards, to a stand and backwards: its work only grows, and the ledger closes."""
    flat = Flat(kind="flat", length_mm=2000, gap_mm=0.0)
    back = Reverse(kind="reverse", at_mm=2800, to_mm=2000, speed_m_s=0.5)
    run = trundle.run(
        name, Course(run_up_mm=2000, run_out_mm=1500, speed_m_s=0.8, obstacle=(flat,), driver=(back,)), near=1
    )
    assert run.completed
    assert run.timeline["energy.drag_J"].diff().min() >= 0.0
    assert run.timeline["drive.drag_N"].min() < 0.0 < run.timeline["drive.drag_N"].max()
    work = run.timeline["energy.motor_J"].iloc[-1]
    assert abs(run.timeline["energy.error_J"].iloc[-1]) < 0.005 * work


def test_a_wheel_s_drag_is_not_counted_beside_the_track_s() -> None:
    """A field that would do nothing is refused."""
    with pytest.raises(InputError, match=r"wheel\.road\.rolling_drag: has no effect with a track"):
        shipped("teasel", **{"wheel.road.rolling_drag": 0.02})


def test_a_tyre_s_loss_takes_and_never_gives() -> None:
    """Anywhere over an upright edge and at any velocity its force works against the motion (200 of each at random)."""
    draw = np.random.default_rng(3)
    m, q = rigs.one_wheel(
        sprung_kg=20, unsprung_kg=2, rate=500, damp=150, tyre_rate=1e7, on=rigs.kerb(0.03, at=2.0), radius=0.1, x=1.5
    )
    m.rings["damp"] = 0.5
    pressed, level = 0, q[1]
    for _ in range(200):
        q[:2] = draw.uniform(1.85, 2.15), level + draw.uniform(-0.02, 0.06)
        rates = np.zeros(len(q))
        rates[:2] = draw.uniform(-2.0, 2.0, 2)
        state = rigs.state_at(m, q, rates)
        work = ask.forces(m, state, 1e-9).work[0]
        bodies = state.bodies
        loss = work.load[TYRE_LOSS][: len(bodies)]
        power = float((loss[:, :2] * bodies[:, 3:5]).sum())
        pressed += power < 0.0
        assert power <= 1e-9
    assert pressed > 20
