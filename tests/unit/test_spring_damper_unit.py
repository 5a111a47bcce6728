"""The spring-and-damper unit against Hooke's law, virtual work, and a run that its damper calms."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from kind_parts import teasel_on
from pydantic import ValidationError

from trundle.engine.standing import Standing
from trundle.errors import InputError
from trundle.papers.ground import stand_level
from trundle.papers.linear import Mode, linearise, modes
from trundle.springs import Arm, DamperUnit

DEG = math.pi / 180

GOOD: dict[str, Any] = {
    "rate_N_per_mm": 9.0,
    "free_length_mm": 240,
    "solid_length_mm": 180,
    "preload_N": 120,
    "on_arm_mm": 110,
    "anchor_mm": (70, 170),
    "damping_bump_N_s_per_mm": 0.6,
    "damping_droop_N_s_per_mm": 1.2,
}
EXAMPLES = [DamperUnit(**GOOD)]
ARM = Arm(0.150, -4 * DEG, 47 * DEG, 15 * DEG)
"""Stops at 11 and 32 deg below level, tabled 15 deg beyond."""


def unit(**changes: Any) -> DamperUnit:
    return DamperUnit(**{**GOOD, **changes})


def eyes_m(angle: float) -> float:
    """By the law of cosines: arm seat 110 mm and hull seat hypot(70, 170) mm from the pivot, the angle between."""
    hull = math.hypot(0.070, 0.170)
    between = angle + math.atan2(0.170, 0.070)
    return math.sqrt(0.110**2 + hull**2 - 2 * 0.110 * hull * math.cos(between))


@pytest.mark.parametrize("angle_deg", [11.0, 18.0, 25.0, 32.0])
def test_force_and_torque(angle_deg: float) -> None:
    """Hooke's law along the line; torque by the sine rule: force times the pivot's distance from the line."""
    angle, hull = angle_deg * DEG, math.hypot(0.070, 0.170)
    got = unit().figures(angle, ARM)
    force = 120.0 + 9000.0 * (0.240 - eyes_m(angle))
    between = angle + math.atan2(0.170, 0.070)
    lever = 0.110 * hull * math.sin(between) / eyes_m(angle)
    assert got.load_N == pytest.approx(force, rel=1e-9)
    assert got.torque_Nm == pytest.approx(force * lever, rel=1e-9)
    law = unit().law(ARM)
    assert np.interp(angle, law.angle_rad, law.torque_Nm) == pytest.approx(force * lever, rel=1e-5)


def test_torque_is_the_slope_of_the_energy() -> None:
    """Virtual work: torque = -dV/d(angle)."""
    h = 1e-6
    for angle in np.linspace(11.5, 31.5, 9) * DEG:
        up, down = (unit().figures(angle + s * h, ARM).energy_J for s in (1, -1))
        assert -(up - down) / (2 * h) == pytest.approx(unit().figures(angle, ARM).torque_Nm, rel=1e-6)


def test_its_damper_damps_the_hull() -> None:
    """Heave of Teasel on six units a side of 1.2 N.s/mm. Damping ratio of a mode: what the dampers lose over what it
    holds, sum(c v^2) / (2 w 2 T) at unit speed of its shape (any textbook on vibration); c v^2 of a unit is that of
    its line, v the unit's speed with its lever halfway between the stops."""

    def heave(damping: float) -> tuple[Standing, Mode]:
        changes = {"damping_bump_N_s_per_mm": damping, "damping_droop_N_s_per_mm": damping}
        at = stand_level(teasel_on(unit(**changes)))
        found = [m for m in modes(at, linearise(at)) if m.frequency_Hz < 12]
        return at, max(found, key=lambda m: m.hull_energy[0])

    (at, bare), (_, damped) = heave(0.0), heave(1.2)
    middle = 21.5 * DEG
    ratio = (eyes_m(middle + 1e-6) - eyes_m(middle - 1e-6)) / 2e-6 / (0.150 * math.cos(middle))
    axle_speeds = [0.150 * math.cos(a) * turn for a, turn in zip(at.q[3:], bare.shape[2:], strict=True)]
    lost = sum(2 * 1200.0 * (ratio * v) ** 2 for v in axle_speeds)
    held_twice = at.assembly.model.bodies[0].mass * bare.shape[0] ** 2 / bare.hull_energy[0]
    expected = lost / (2.0 * 2.0 * math.pi * bare.frequency_Hz * held_twice)
    assert expected > 0.3
    assert damped.damping - bare.damping == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"solid_length_mm": 240}, "leaves no stroke"),
        ({"rate_N_per_mm": 0}, "greater than 0"),
        ({"preload_N": -1}, "greater than or equal to 0"),
        ({"damping_bump_N_s_per_mm": -0.1}, "greater than or equal to 0"),
    ],
)
def test_impossible_units(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        unit(**changes)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"free_length_mm": 225}, "too short: between the stops its eyes come 229 mm apart"),
        ({"solid_length_mm": 200}, "too long: between the stops its eyes come within 195 mm"),
        ({"anchor_mm": (-70, -200)}, "pulls the axle up"),
    ],
)
def test_units_that_do_not_fit_their_arm(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words) as e:
        unit(**changes).law(ARM)
    assert e.value.problems[0].field == "anchor_mm"


def test_the_end_of_its_stroke_is_told() -> None:
    """At bump the eyes are 194.7 mm apart."""
    assert unit().figures(11 * DEG, ARM).notes == ()
    (note,) = unit(solid_length_mm=193).figures(11 * DEG, ARM).notes
    assert "has only 1.7 mm of its stroke left" in note
