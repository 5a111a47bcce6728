"""Turning against closed forms: Wong's moment and forces, Nikitin's radius, Steeds' friction circle, Nadal's limit, and
the side force in bolts, arms and welds by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from scipy import integrate, optimize

from trundle.handling.climbs import climb, flank_at_rad, nadal
from trundle.handling.in_run import hardest
from trundle.handling.resists import (
    even_resisting_Nm,
    resisting_Nm,
    share_at_radius,
    slender,
    track_forces_N,
    turned_about_m,
)
from trundle.handling.slipping import slipping
from trundle.handling.stations import pushed_sideways, stations
from trundle.papers.ground import stand_level
from trundle.result.inputs import load_vehicle
from trundle.result.run import run
from trundle.steel.bolts import couple_in_pin
from trundle.strength.margin import PartMargin
from trundle.strength.margins import margins_pushed

SIX = np.array([-0.55, -0.33, -0.11, 0.11, 0.33, 0.55])


def test_even_pressure() -> None:
    """mu W l / 4 = 0.7 x 3500 x 1.1 / 4 (Wong, Theory of Ground Vehicles, ch. 6)."""
    assert even_resisting_Nm(0.7, 3500.0, 1.1) == pytest.approx(673.75)


def test_wheel_loads() -> None:
    """Six stations with equal loads, and the outer two with 1/1.37 of the others': sums done by hand."""
    assert float(resisting_Nm(0.7, SIX, np.full(6, 3500.0 / 6))) == pytest.approx(808.5)
    inner = 3500.0 / (4.0 + 2.0 / 1.37)
    loads = np.array([inner / 1.37, inner, inner, inner, inner, inner / 1.37])
    assert float(resisting_Nm(0.7, SIX, loads)) == pytest.approx(755.2, abs=0.05)


def test_many_stations_come_to_even_pressure() -> None:
    """The sum's limit is the integral."""
    x = (np.arange(4000) + 0.5) / 4000 * 1.1
    assert float(resisting_Nm(0.7, x, np.full(4000, 3500.0 / 4000))) == pytest.approx(673.75, rel=1e-3)


def test_it_turns_about_where_side_forces_balance() -> None:
    """Any order of stations; of two axles with unlike loads the heavier, about which the lighter is dragged."""
    rng = np.random.default_rng(5)
    for _ in range(50):
        x, load = rng.uniform(-1.0, 1.0, 7), rng.uniform(1.0, 100.0, 7)
        about = float(turned_about_m(x, load))
        ahead, behind = load[x > about].sum(), load[x < about].sum()
        assert abs(ahead - behind) <= load[x == about].sum() + 1e-9
        least = optimize.minimize_scalar(lambda c, x=x, load=load: float(np.sum(load * np.abs(x - c))))
        assert float(resisting_Nm(1.0, x, load)) == pytest.approx(least.fun, rel=1e-3)
    assert float(resisting_Nm(0.8, [0.0, 0.9], [600.0, 400.0])) == pytest.approx(0.8 * 400.0 * 0.9)


def test_forces_at_the_tracks() -> None:
    """f W / 2 +- M / B, B = 0.8 m, f = 0.04 (Wong, ch. 6); and whether it steers at all: 2 (mu - f) / mu_t."""
    outer, inner = track_forces_N(3500.0, 0.04, 673.75, 0.8)
    assert outer == pytest.approx(912.2, abs=0.05)
    assert inner == pytest.approx(-772.2, abs=0.05)
    slim = slender(1.1, 0.8, 0.75, 0.04, 0.7)
    assert slim.most == pytest.approx(2.029, abs=5e-4)
    assert slim.ratio == pytest.approx(1.375)
    assert slim.steers
    assert not slender(1.7, 0.8, 0.75, 0.04, 0.7).steers


def test_the_rule_of_steering_is_that_of_the_forces() -> None:
    """At the most slender the outer track pulls just what the ground gives: mu W / 2."""
    mu, f, side, weight, gauge = 0.75, 0.04, 0.7, 3500.0, 0.8
    length = slender(1.0, gauge, mu, f, side).most * gauge
    outer, _ = track_forces_N(weight, f, even_resisting_Nm(side, weight, length), gauge)
    assert outer == pytest.approx(0.5 * mu * weight)


def test_friction_falls_with_the_radius() -> None:
    """Nikitin: mu_max / (0.925 + 0.15 R/B): all of it about the inner track, 1/2.425 at ten gauges."""
    assert share_at_radius(0.0, 0.8) == share_at_radius(0.4, 0.8) == 1.0
    assert share_at_radius(8.0, 0.8) == pytest.approx(1.0 / 2.425)
    assert share_at_radius(4.0, 0.8) < share_at_radius(2.0, 0.8) < 1.0


def test_two_axles_that_slip() -> None:
    """Friction circle of four equal wheels: each slips by a along and l/2 across, tan = (l/2) / a; along B/2 against
    across l/2 gives a = l2 / 2B, so that each pulls mu N l / sqrt(l2 + B2) along (derived by hand)."""
    length, gauge, each, mu = 0.9, 0.64, 250.0, 0.8
    found = slipping(mu, [0.0, length], [each, each], gauge)
    along = mu * each * length / math.hypot(length, gauge)
    assert found.moment_Nm == pytest.approx(2.0 * 2.0 * along * 0.5 * gauge, rel=1e-6)
    a = length**2 / (2.0 * gauge)
    assert found.slip == pytest.approx(a / (a + 0.5 * gauge), rel=1e-6)


def test_slipping_tracks_by_another_solver() -> None:
    """Unlike loads: both equations at once by scipy, and never more than without slip."""
    x, load, gauge = SIX, np.array([90.0, 200.0, 260.0, 250.0, 180.0, 120.0]), 0.8
    found = slipping(0.7, x, load, gauge)

    def off(u: np.ndarray) -> list[float]:
        a, about = u
        size = np.hypot(x - about, a)
        return [
            float(np.sum(load * (x - about) / size)),
            float(np.sum(load * (gauge * a - 2 * (x - about) ** 2) / size)),
        ]

    a, about = optimize.fsolve(off, [0.3, 0.0])
    moment = 2.0 * 0.7 * float(np.sum(load * (x - about) ** 2 / np.hypot(x - about, a)))
    assert found.moment_Nm == pytest.approx(moment, rel=1e-6)
    assert found.moment_Nm < float(resisting_Nm(0.7, x, 2.0 * load))


def test_climbing_a_flank() -> None:
    """Nadal 1908 for 68 deg and 0.25: 1.4 to two figures (any handbook of railway dynamics); none where friction alone
    lifts it; a tooth lower than the tyre's rounding is met at its tip."""
    tan = math.tan(math.radians(68.0))
    assert nadal(math.radians(68.0), 0.25) == pytest.approx((tan - 0.25) / (1.0 + 0.25 * tan))
    assert nadal(math.radians(68.0), 0.25) == pytest.approx(1.4, abs=0.05)
    assert nadal(math.radians(20.0), 0.5) == 0.0
    assert flank_at_rad(math.radians(75.0), 0.03, 0.003) == math.radians(75.0)
    assert math.degrees(flank_at_rad(math.radians(75.0), 0.002, 0.004)) == pytest.approx(60.0)
    one = climb(120.0, 100.0, 0, math.radians(70.0), 0.5, 0.03, 0.003)
    two = climb(120.0, 100.0, 1, math.radians(70.0), 0.5, 0.03, 0.003)
    assert one.ratio == 1.2
    assert two.most - one.most == pytest.approx(0.5)
    assert two.margin > one.margin


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9, 0.999])
def test_a_couple_in_a_pin(share: float) -> None:
    """Largest moment of a pin between two plates under a sleeve that twists it: by summing up its shear numerically."""
    sleeve, plates = share * 0.06, 0.06
    z = np.linspace(0.0, 0.5 * plates, 20_001)
    pressure = np.where(z <= 0.5 * sleeve, 12.0 * z / sleeve**3, 0.0)
    # From the middle outwards: shear there is the reaction less all pressure further out.
    beyond = integrate.cumulative_trapezoid(pressure[::-1], dx=z[1], initial=0.0)[::-1]
    shear = 1.0 / plates - beyond
    moment = np.abs(integrate.cumulative_trapezoid(shear, z, initial=0.0))
    assert couple_in_pin(sleeve, plates) == pytest.approx(float(moment.max()), rel=2e-3)


def parts_of(stem: str, side: float) -> tuple[Mapping[tuple[str, str], PartMargin], Mapping[str, float]]:
    """Margins by kind and name of a shipped vehicle that is turned, and each station's load of one side."""
    at = stand_level(load_vehicle(stem))
    found = stations(at)
    parts = margins_pushed(at.assembly, pushed_sideways(at, found, side))
    return {(m.kind, m.name): m for m in parts}, dict(zip(found.name, found.load_N, strict=True))


def test_an_axle_bolt_by_hand() -> None:
    """Teasel: M14 that sticks out 22 mm, wheel 95 mm: one wheel has its own half of the load and all of the side force.
    M = N/2 e + S r, stress M/W + S/A with the mean shear by distortion energy."""
    parts, load = parts_of("teasel", 0.8)
    n = load["middle.aft"]
    s, d = 0.8 * n, 0.014
    bent = 32.0 / (math.pi * d**3) * (0.5 * n * 0.022 + s * 0.095)
    area = math.pi * d**2 / 4.0
    stress = math.sqrt((bent + s / area) ** 2 + 3.0 * (0.5 * n / area) ** 2)
    assert parts["axle bolt", "middle.aft"].stress_MPa == pytest.approx(stress * 1e-6, rel=1e-6)


def test_a_single_wheel_by_hand() -> None:
    """Barrow: one wheel of 160 mm beside its arm: its middle 20 + 11 + 30 mm from the arm's, the bolt held by half of a
    58 mm sleeve, so 32 mm out: the same with all of the load."""
    parts, load = parts_of("barrow", 0.8)
    n = load["front"]
    s, d = 0.8 * n, 0.014
    bent = 32.0 / (math.pi * d**3) * (n * 0.032 + s * 0.160)
    area = math.pi * d**2 / 4.0
    stress = math.sqrt((bent + s / area) ** 2 + 3.0 * (n / area) ** 2)
    assert parts["axle bolt", "front"].stress_MPa == pytest.approx(stress * 1e-6, rel=1e-6)


def test_a_flat_arm_by_hand() -> None:
    """Wren: a flat of 10 x 25, 100 mm long, trailing at the angle it stands at: the tyre's foot lies r below its axle,
    so L + r sin along the arm and r cos square to it."""
    at = stand_level(load_vehicle("wren"))
    found = stations(at)
    parts = {m.name: m for m in margins_pushed(at.assembly, pushed_sideways(at, found, 0.8)) if m.kind == "arm"}
    k = at.assembly.joint.index("three")
    angle, pitch = float(at.q[3 + k]), float(at.q[2])
    n = dict(zip(found.name, found.load_N, strict=True))["three"]
    s, r, length, wide, tall = 0.8 * n, 0.070, 0.100, 0.010, 0.025
    # A trailing arm whose axle lies below its pivot is turned by the angle, nose up counted positive.
    turned = angle + pitch
    far, below = length + r * math.sin(turned), r * math.cos(turned)
    sideways = s * far / (tall * wide**2 / 6.0)
    upright = n * math.cos(turned) * length / (wide * tall**2 / 6.0) + n * abs(math.sin(turned)) / (wide * tall)
    # Roark's largest shear stress of a rectangle under torsion is within 1 % of 1/(alpha b t2), alpha 0.258 for 2.5.
    shear = s * below / (0.258 * tall * wide**2)
    expected = math.sqrt((upright + sideways) ** 2 + 3.0 * shear**2)
    assert parts["three"].stress_MPa == pytest.approx(expected * 1e-6, rel=0.02)


def test_nothing_sideways_is_as_before() -> None:
    """Pushed by nothing, every part has what it has upright."""
    at = stand_level(load_vehicle("teasel"))
    found = stations(at)
    none = {(m.kind, m.name): m for m in margins_pushed(at.assembly, pushed_sideways(at, found, 0.0))}
    some = {(m.kind, m.name): m for m in margins_pushed(at.assembly, pushed_sideways(at, found, 0.4))}
    most = {(m.kind, m.name): m for m in margins_pushed(at.assembly, pushed_sideways(at, found, 0.8))}
    assert none.keys() == some.keys() == most.keys()
    n, d = dict(zip(found.name, found.load_N, strict=True))["front.aft"], 0.014
    bent, shear = 0.5 * n * 0.022 * 32.0 / (math.pi * d**3), 0.5 * n / (math.pi * d**2 / 4.0)
    assert none["axle bolt", "front.aft"].stress_MPa == pytest.approx(1e-6 * math.hypot(bent, math.sqrt(3) * shear))
    for key, m in none.items():
        assert m.stress_MPa <= some[key].stress_MPa <= most[key].stress_MPa


def test_the_hardest_instant_of_a_run() -> None:
    """By hand from the timeline: the largest of all rows' moments, about the station in the middle of its load."""
    result = run("barrow", "kerb-100", near=1)
    timeline = result.timeline
    at = stand_level(load_vehicle("barrow"))
    found = hardest(at.assembly, timeline)
    front = np.maximum(timeline["wheel.front.force_up_N"], 0.0)
    rear = np.maximum(timeline["wheel.rear.force_up_N"], 0.0)
    apart = (timeline["wheel.front.x_mm"] - timeline["wheel.rear.x_mm"]).abs() * 1e-3
    moments = (2.0 * np.minimum(front, rear) * apart).to_numpy()
    assert found.per_side_Nm == pytest.approx(float(moments.max()), rel=1e-9)
    assert found.time_s == pytest.approx(float(timeline["time_s"].to_numpy()[moments.argmax()]))
    assert found.usual_Nm == pytest.approx(float(np.median(moments)), rel=1e-9)
