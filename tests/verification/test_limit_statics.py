"""The statics that stand beside the limits found by rolling, against hand calculations."""

from __future__ import annotations

import math

import pytest

from trundle.result.limits import statics
from trundle.result.limits.statics import Rigid, axle_deg
from trundle.spec.shipped import find
from trundle.spec.vehicle import load_vehicle


def test_a_driven_axle_against_an_edge() -> None:
    """Half the weight on it, grip 0.75, by hand: cot a = 0.5 (1 + 0.5625) / 0.75 - 0.75 = 0.29167, a = 73.74 deg. The
    three equations of balance hold there: along, up, and about the other axle."""
    a, grip = math.radians(axle_deg(0.5, 0.75)), 0.75
    assert math.degrees(a) == pytest.approx(73.74, abs=0.01)
    edge = grip / (math.sin(a) * (1.0 + grip**2))  # of the weight
    other = edge * (math.sin(a) - grip * math.cos(a)) / grip
    assert edge * (math.cos(a) + grip * math.sin(a)) + other == pytest.approx(1.0)
    assert edge * (math.cos(a) + grip * math.sin(a)) == pytest.approx(0.5)
    assert axle_deg(0.2, 1.2) == 90.0  # it would climb a wall


@pytest.mark.parametrize(
    ("high", "nose", "mm"),
    [
        (0.0, 1.0, 300.0),  # a centre of mass on the ground: d sin t, t = atan 0.75: 0.5 x 0.6
        (0.2, 1.0, 210.0),  # (0.5 - 0.2 x 0.75) x 0.6, still rising at the angle of grip
        (1.0, 1.0, 60.7),  # most near 14 deg: 0.5 x 0.2419 - 1.0 x 0.2419 x 0.2493 = 0.0607
        (0.2, 0.15, 150.0),  # the nose meets it first
    ],
)
def test_the_highest_kerb_of_a_taut_track(monkeypatch: pytest.MonkeyPatch, high: float, nose: float, mm: float) -> None:
    """Centre of mass half a metre ahead of the rear contact, grip 0.75."""
    at = Rigid(3000.0, high, 0.5, 0.5, 0.1, nose, 1e4)
    monkeypatch.setattr(statics, "rigid", lambda _: at)
    assert statics.kerb(load_vehicle(find("vehicles", "teasel"))).value == pytest.approx(mm, abs=0.1)


def test_a_ditch_is_half_the_ground_length_and_a_ramp_the_least_angle(monkeypatch: pytest.MonkeyPatch) -> None:
    """By hand: 0.4 m to the front; motor asin(1000 / 3000) = 19.47 deg below the 36.87 deg of grip."""
    monkeypatch.setattr(statics, "rigid", lambda _: Rigid(3000.0, 0.3, 0.5, 0.4, 0.1, 0.2, 1000.0))
    vehicle = load_vehicle(find("vehicles", "teasel"))
    assert statics.ditch(vehicle).value == pytest.approx(400.0)
    ramp = statics.ramp(vehicle)
    assert (ramp.value, ramp.why.split(":")[0]) == (pytest.approx(19.47, abs=0.01), "motor")
