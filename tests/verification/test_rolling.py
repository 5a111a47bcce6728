"""What it takes to keep rolling: a share of the load at any speed, and never given back."""

from __future__ import annotations

import pytest

import trundle
from trundle.errors import InputError
from trundle.spec.course import Course
from trundle.spec.vehicle import Vehicle
from trundle.terrain.instructions import Reverse
from trundle.terrain.slopes import Flat


def shipped(name: str, **settings: float) -> Vehicle:
    """A shipped vehicle with fields set."""
    return trundle.load_vehicle(name, settings)


def pull(vehicle: Vehicle, speed: float, length_mm: float) -> float:
    """Mean push at a steady speed on the level, as a share of the weight."""
    flat = Flat(kind="flat", length_mm=length_mm, gap_mm=0.0)
    run = trundle.run(vehicle, Course(run_up_mm=2300, run_out_mm=0, speed_m_s=speed, obstacle=(flat,)))
    late = run.timeline["time_s"] > 0.6 * run.timeline["time_s"].iloc[-1]
    return float(run.timeline["drive.push_N"][late].mean()) / run.assembly.weight_N


@pytest.mark.parametrize(
    ("name", "field", "share"),
    [("barrow", "wheel.road.rolling_drag", 0.02), ("teasel", "track.rolling_drag", 0.03)],
)
def test_rolling_takes_its_share(name: str, field: str, share: float) -> None:
    """Of the load, 4 %: the tyres' own loss comes on top, at 0.05 m/s a fortieth."""
    assert pull(shipped(name, **{field: share}), 0.05, 500.0) == pytest.approx(share, rel=0.04)


@pytest.mark.parametrize("name", ["barrow", "teasel"])
def test_drag_is_never_given_back(name: str) -> None:
    """Forwards, to a stand and backwards: its work only grows, and the ledger closes."""
    flat = Flat(kind="flat", length_mm=2000, gap_mm=0.0)
    back = Reverse(kind="reverse", at_mm=2800, to_mm=2000, speed_m_s=0.5)
    run = trundle.run(name, Course(run_up_mm=2000, run_out_mm=1500, speed_m_s=0.8, obstacle=(flat,), driver=(back,)))
    assert run.completed
    assert run.timeline["energy.drag_J"].diff().min() >= 0.0
    assert run.timeline["drive.drag_N"].min() < 0.0 < run.timeline["drive.drag_N"].max()
    work = run.timeline["energy.motor_J"].iloc[-1]
    assert abs(run.timeline["energy.error_J"].iloc[-1]) < 0.005 * work


def test_a_wheel_s_drag_is_not_counted_beside_the_track_s() -> None:
    """A field that would do nothing is refused."""
    with pytest.raises(InputError, match=r"wheel\.road\.rolling_drag: has no effect with a track"):
        shipped("teasel", **{"wheel.road.rolling_drag": 0.02})
