"""The gas strut against Boyle's law, statics and what a builder may get wrong."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError
from scipy.integrate import quad

from trundle.errors import InputError
from trundle.springs import Arm, GasStrut, Mount

DEG, MM = math.pi / 180, 1e-3

GOOD: dict[str, Any] = {
    "force_N": 380,
    "progression": 1.35,
    "stroke_mm": 50,
    "extended_length_mm": 236,
    "on_arm_mm": 110,
    "anchor_mm": (70, 170),
    "friction_N": 15,
    "damping_bump_N_s_per_mm": 0.4,
    "damping_droop_N_s_per_mm": 0.9,
}
EXAMPLES = [GasStrut(**GOOD)]
ARM = Arm(0.150, -4 * DEG, 47 * DEG, 15 * DEG)
"""Stops at 11 and 32 deg below level, tabled 15 deg beyond."""


def strut(**changes: Any) -> GasStrut:
    return GasStrut(**{**GOOD, **changes})


def test_it_is_a_closed_volume_of_gas() -> None:
    """Boyle's law, p V constant: a rod of 8 mm goes into a tube of gas. Its printed force is p1 times the rod's area
    with the rod 5 mm in; the progression follows from the two volumes 5 mm from both ends of the stroke."""
    area = math.pi / 4 * 8e-3**2
    volume = 20e-6  # of gas, with the rod fully out [m3]
    p_out = 70e5

    def force(x: float) -> float:
        return p_out * volume / (volume - area * x) * area

    one = strut(
        force_N=force(5e-3),
        progression=force(195e-3) / force(5e-3),
        stroke_mm=200,
        extended_length_mm=500,
        friction_N=0,
    )
    for pressed in (0.0, 5e-3, 60e-3, 120e-3, 195e-3, 200e-3):
        got = float(one.push_N(np.array([0.5 - pressed]))[0])
        assert got == pytest.approx(force(pressed), rel=1e-9)


def test_the_printed_force_is_the_one_coming_out() -> None:
    """5 mm from full extension, friction holds it back: it gives what is printed; pressed in there, twice the friction
    more."""
    middle = float(strut().push_N(np.array([0.231]))[0])
    assert middle - 15.0 == pytest.approx(380.0)
    at_end = float(strut().push_N(np.array([0.236 - 0.045]))[0])
    assert at_end - 15.0 == pytest.approx(1.35 * 380.0)


def test_energy_is_the_work_to_press_it_in() -> None:
    """Against a quadrature (scipy) of the force over the stroke."""
    one = strut()
    for length in (0.230, 0.210, 0.190):
        work = quad(lambda x: float(one.push_N(np.array([0.236 - x]))[0]), 0.0, 0.236 - length)[0]
        assert one.energy_J(length) == pytest.approx(work, rel=1e-9)


def test_torque_is_the_slope_of_the_energy_and_the_law_is_its_table() -> None:
    """Virtual work: torque = -dV/d(angle)."""
    one, h = strut(), 1e-6
    law = one.law(ARM)
    for angle in np.linspace(11.5, 31.5, 9) * DEG:
        up, down = (one.figures(angle + s * h, ARM).energy_J for s in (1, -1))
        torque = one.figures(angle, ARM).torque_Nm
        assert -(up - down) / (2 * h) == pytest.approx(torque, rel=1e-6)
        assert np.interp(angle, law.angle_rad, law.torque_Nm) == pytest.approx(torque, rel=1e-5)


def test_damping_loses_the_same_power_at_the_axle() -> None:
    """Halfway between the stops the axle moves at 0.2 m/s: c v^2 of the strut is C w^2 of the axle (power balance)."""
    one, middle = strut(), 21.5 * DEG
    spin = 0.2 / (ARM.length_m * math.cos(middle))

    def eyes_m(angle: float) -> float:
        return math.hypot(0.110 * math.cos(angle) - 0.070, -0.110 * math.sin(angle) - 0.170)

    speed = spin * (eyes_m(middle + 1e-6) - eyes_m(middle - 1e-6)) / 2e-6
    law = one.law(ARM)
    assert law.damp_bump_N_s_per_m * 0.2**2 == pytest.approx(400.0 * speed**2, rel=1e-6)
    assert law.damp_droop_N_s_per_m * 0.2**2 == pytest.approx(900.0 * speed**2, rel=1e-6)
    assert law.friction_Nm * spin == pytest.approx(15.0 * speed, rel=1e-6)
    alike = strut(damping_droop_N_s_per_mm=None).law(ARM)
    assert alike.damp_droop_N_s_per_m == alike.damp_bump_N_s_per_m > 0.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"progression": 1.0}, "greater than 1"),
        ({"stroke_mm": 15}, "too short to measure"),
        ({"extended_length_mm": 100}, "leaves no tube"),
        ({"force_N": 0}, "greater than 0"),
        ({"friction_N": -1}, "greater than or equal to 0"),
    ],
)
def test_impossible_struts(changes: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        strut(**changes)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"extended_length_mm": 225}, "too short: between the stops its eyes come 229 mm apart, and it is 225 mm long"),
        (
            {"stroke_mm": 40},
            "too long: between the stops its eyes come within 195 mm, and it cannot be shorter than 196",
        ),
        ({"anchor_mm": (70, -170)}, "pulls the axle up"),
    ],
)
def test_struts_that_do_not_fit_their_arm(changes: dict[str, Any], words: str) -> None:
    """The arm's travel from stop to stop is what counts, not what the table runs on to."""
    with pytest.raises(InputError, match=words) as e:
        strut(**changes).law(ARM)
    assert e.value.problems[0].field == "anchor_mm"
    with pytest.raises(InputError, match="eye lies 5 mm beyond the axle"):
        strut(on_arm_mm=155).law(ARM)


def test_the_end_of_the_stroke_is_told() -> None:
    """At bump the eyes are 194.7 mm apart, 5 deg further (the pad gives way) 185.7; at 36 deg 235.4."""
    assert strut().figures(20 * DEG, ARM).notes == ()
    (note,) = strut(stroke_mm=43).figures(11 * DEG, ARM).notes
    assert "has only 1.7 mm of its stroke left" in note
    (note,) = strut(stroke_mm=43).figures(6 * DEG, ARM).notes
    assert "is driven 7.3 mm past its end" in note
    (note,) = strut(extended_length_mm=230).figures(36 * DEG, ARM).notes
    assert "pulled 5.4 mm past its full length" in note


def test_past_its_stroke_the_force_stays_and_the_energy_goes_on() -> None:
    """A strong progression, the arm far past its stop: the gas formula itself would run to infinity there."""
    one, h = strut(progression=5, stroke_mm=43), 1e-6
    for angle in (-3 * DEG, 40 * DEG):
        up, down = (one.figures(angle + s * h, ARM).energy_J for s in (1, -1))
        assert -(up - down) / (2 * h) == pytest.approx(one.figures(angle, ARM).torque_Nm, rel=1e-6)


def test_what_it_says_of_its_damping() -> None:
    said = strut().remarks(Mount(Arm(0.150, 11 * DEG, 32 * DEG)))
    assert any("its damping is taken as it is halfway" in s for s in said)
    bare = strut(damping_bump_N_s_per_mm=0, damping_droop_N_s_per_mm=None)
    assert not any("damping" in s for s in bare.remarks(Mount(ARM)))
