"""Tipping against closed forms, against least energy by scipy, and against the vehicle stood again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import interpolate, optimize

from trundle.handling.grounds import ON_RUBBER, ON_STEEL, Ground
from trundle.handling.holds import held, slides_rad, turn_m_s
from trundle.handling.support import Lift, Support, lift
from trundle.handling.tip import Shift, masses_of, tipping_of
from trundle.handling.tips import Masses, Moved, stiff_rad, swept, tips_lengthwise, tips_sideways
from trundle.papers.ground import stand_level
from trundle.result.inputs import load_vehicle
from trundle.units import G

STEMS = ("teasel", "mole", "otter", "wren", "barrow")


def test_a_stiff_block() -> None:
    """atan(half gauge / height): 0.40 / 0.45 m, 0.35 / 0.60 m."""
    assert math.degrees(stiff_rad(0.40, 0.45)) == pytest.approx(41.63, abs=0.005)
    assert math.degrees(stiff_rad(0.35, 0.60)) == pytest.approx(30.26, abs=0.005)


def block(weight_N: float = 3000.0, low_kg: float = 40.0) -> Masses:
    """A vehicle whose centre of mass is 0.45 m up."""
    return Masses(weight_N, 0.45, 0.8, 1.6, 0.0, weight_N / G - low_kg, low_kg, 0.1)


def straight(masses: Masses, rate_N_per_m: float) -> Lift:
    """Springs of one rate, both sides together, on which the hull's centre of mass stands where the masses say."""
    hull_high = (masses.high_m * masses.mass_kg - masses.low_kg * masses.low_high_m) / masses.hull_kg
    load = np.linspace(0.0, 2.2 * masses.weight_N, 4001)
    up = hull_high - (load - masses.weight_N) / rate_N_per_m
    return Lift(up[::-1], load[::-1])


def test_stiff_springs_come_to_the_block() -> None:
    """Across a slope, with the load moved and without; the outer edge adds half the track's width."""
    masses = block()
    stiff = straight(masses, 1e9)
    tips = tips_sideways(masses, stiff, 0.8, 0.2, Moved())
    assert math.degrees(tips.sprung_rad) == pytest.approx(41.63, abs=0.01)
    assert tips.stiff_rad == pytest.approx(tips.sprung_rad, abs=1e-4)
    assert tips.edge_rad == pytest.approx(math.atan2(0.5, 0.45), abs=1e-4)
    lean = tips_sideways(masses, stiff, 0.8, 0.2, Moved(aside_m=0.05, up_m=0.1))
    assert lean.sprung_rad == pytest.approx(math.atan2(0.35, 0.55), abs=1e-4)


def least_energy_rad(masses: Masses, springs: Lift, gauge_m: float) -> float:
    """The slope up to which a vehicle has a place where its energy is least, its upper side still on the ground: the
    heights of both sides are let go; springs' energy, and gravity across the slope, of hull and of what is below."""
    up, one_side = springs.up_m, 0.5 * springs.carried_N
    stored = interpolate.make_interp_spline(up, -one_side, k=1).antiderivative()
    low = 0.5 * masses.low_kg * G

    def energy(heights: np.ndarray, slope: float) -> float:
        upper, lower = np.clip(heights, up[0], up[-1])
        # The lift counts what the ground carries: on the level the lower half's weight is in it, and lifts no hull.
        inner = sum(float(stored(h)) + low * h for h in (upper, lower))
        # From the lower foot, which holds it on the slope as it tips, and so does no work.
        roll = math.atan2(upper - lower, gauge_m)
        over = lower * math.cos(roll) + 0.5 * gauge_m * math.sin(roll)
        along = lower * math.sin(roll) - 0.5 * gauge_m * math.cos(roll)
        return inner + masses.hull_kg * G * (over * math.cos(slope) - along * math.sin(slope))

    def slopes_of(heights: np.ndarray, slope: float) -> np.ndarray:
        d = 1e-5 * np.eye(2)
        return np.array([energy(heights + e, slope) - energy(heights - e, slope) for e in d]) / 2e-5

    def rests(at: np.ndarray, slope: float) -> np.ndarray | None:
        """The place of least energy near to another, its upper side on the ground; None: there is none."""
        # Soft for some millimetres, as where a track hangs between wheels, it goes on to where it is held again.
        for further in (0.0, 0.005, 0.01, 0.015):
            found = optimize.root(slopes_of, at + np.array([further, 0.0]), args=(slope,))
            if not found.success or not up[0] < found.x[0] < up[-1]:
                continue
            bends = [(slopes_of(found.x + e, slope) - slopes_of(found.x - e, slope)) / 2e-4 for e in 1e-4 * np.eye(2)]
            if float(np.linalg.eigvalsh(np.array(bends)).min()) > 0.0:
                return np.asarray(found.x)
        return None

    at = np.full(2, float(springs.height_m(np.array(masses.weight_N))))
    for slope in np.arange(0.0, 1.4, 2e-3):
        there = rests(at, float(slope))
        if there is None:
            return float(slope)
        at = there
    raise AssertionError("it never tips")


@pytest.mark.parametrize("rate", [30_000.0, 60_000.0, 200_000.0])
def test_springs_by_least_energy(rate: float) -> None:
    """Where the upper side lifts, by scipy's least energy. What is below the springs weighs next to nothing here: on a
    slope it presses its own side, and the lift has that as on the level."""
    masses = Masses(3000.0, 0.45, 0.8, 1.6, 0.0, 3000.0 / G - 1e-6, 1e-6, 0.1)
    springs = straight(masses, rate)
    tips = tips_sideways(masses, springs, 0.8, 0.2, Moved())
    found = least_energy_rad(masses, springs, 0.8)
    assert tips.stiff_rad - tips.sprung_rad > math.radians(1.0)
    assert tips.sprung_rad == pytest.approx(found, rel=0.01)


@pytest.mark.parametrize("stem", STEMS)
def test_shipped_springs_by_least_energy(stem: str) -> None:
    """Springs as the vehicle has them, with stops, tyres and track: the same, all of the mass taken as the hull's; what
    that changes is little."""
    at = stand_level(load_vehicle(stem))
    masses, springs = masses_of(at), lift(Support(at))
    gauge = load_vehicle(stem).hull.gauge_mm
    assert gauge is not None
    tips = tips_sideways(masses, springs, gauge * 1e-3, 0.1, Moved())
    # All of it on the springs, at the height that all of it has.
    whole = Masses(**{**masses.__dict__, "hull_kg": masses.mass_kg - 1e-6, "low_kg": 1e-6})
    shifted = masses.high_m - float(springs.height_m(np.array(masses.weight_N)))
    moved = Lift(springs.up_m + shifted, springs.carried_N)
    alike = tips_sideways(whole, moved, gauge * 1e-3, 0.1, Moved())
    assert alike.sprung_rad == pytest.approx(least_energy_rad(whole, moved, gauge * 1e-3), rel=0.01)
    assert tips.sprung_rad == pytest.approx(alike.sprung_rad, rel=0.05)
    assert tips.sprung_rad < tips.stiff_rad < tips.edge_rad + tips.roll_rad


@pytest.mark.parametrize("stem", STEMS)
def test_the_lift_is_that_of_the_vehicle_stood_again(stem: str) -> None:
    """Another mass at the same place: the hull then stands as high as the lift says of that load. (A hull that pitches
    with the load, as Otter's, stands a little otherwise than one whose pitch is kept.)"""
    vehicle = load_vehicle(stem)
    at = stand_level(vehicle)
    found = lift(Support(at))
    assert float(found.height_m(np.array(at.assembly.weight_N))) == pytest.approx(float(at.q[1]), abs=1e-6)
    for share in (0.85, 1.15):
        other = stand_level(load_vehicle(stem, {"hull.mass_kg": vehicle.hull.mass_kg * share}))
        height = float(other.q[1]) + float(at.assembly.com[1] - other.assembly.com[1])
        height += (at.assembly.com[0] - other.assembly.com[0]) * math.sin(float(other.q[2]))
        assert float(found.height_m(np.array(other.assembly.weight_N))) == pytest.approx(height, abs=1.5e-3)


def test_lengthwise_poses_are_at_rest() -> None:
    """Each pose carries what the slope leaves of the weight, and stands with its centre of mass over what bears it."""
    at = stand_level(load_vehicle("barrow"))
    support, masses = Support(at), masses_of(at)
    poses = swept(support, masses.weight_N, "tail")
    tips = tips_lengthwise(masses, "tail", Moved(), poses)
    assert tips.stiff_rad == pytest.approx(math.atan2(masses.ahead_m - masses.last_m, masses.high_m))
    first = poses.poses[0]
    assert first.carried_N == pytest.approx(masses.weight_N, rel=2e-3)
    assert first.borne_m == pytest.approx(first.mass_m, abs=2e-3)
    assert first.high_m == pytest.approx(masses.high_m, abs=1e-3)
    for pose, pitch in zip(poses.poses, poses.pitch_rad, strict=True):
        slope = math.atan2(pose.mass_m - pose.borne_m, pose.high_m)
        assert pose.carried_N == pytest.approx(masses.weight_N * math.cos(slope), rel=0.01)
        assert pose.pitch_rad == pytest.approx(float(at.q[2]) + pitch)


def test_two_axles_by_hand() -> None:
    """Barrow nose up at the pitch at which it tips: the hull turned about its rear axles, which carry all that the
    slope leaves, 4.5 N/mm each, and so have moved up in the hull and back with their arms; then the slope is that on
    which its centre of mass stands over their feet. In a degree, as tyres are left out."""
    at = stand_level(load_vehicle("barrow"))
    masses = masses_of(at)
    tips = tips_lengthwise(masses, "tail", Moved(), swept(Support(at), masses.weight_N, "tail"))
    assert math.radians(1.0) < tips.stiff_rad - tips.sprung_rad < math.radians(4.0)
    arm, radius, turn = 0.2, 0.16, tips.roll_rad
    sinks = (0.5 * masses.weight_N * math.cos(tips.sprung_rad) - 0.25 * masses.weight_N) / 4500.0
    stood = float(at.q[3 + at.assembly.joint.index("rear")])
    now = math.asin(math.sin(stood) - sinks / arm)
    reach = masses.ahead_m - masses.last_m + arm * (math.cos(now) - math.cos(stood))
    over = masses.high_m - radius - sinks
    level = reach * math.cos(turn) - over * math.sin(turn)
    upright = radius + over * math.cos(turn) + reach * math.sin(turn)
    assert tips.sprung_rad == pytest.approx(math.atan2(level, upright), abs=math.radians(1.0))


def test_parked() -> None:
    """asin(brake / weight), atan(grip), and the slope it tips on: whichever is least."""
    ground = Ground("any", 0.7, 0.7, 0.0, "")
    assert held(ground, 500.0, 1000.0, 1.0).slope_rad == pytest.approx(math.radians(30.0))
    assert held(ground, 500.0, 1000.0, 1.0).gives == "brake"
    assert held(ground, 900.0, 1000.0, 1.0).slope_rad == pytest.approx(math.atan(0.7))
    assert held(ground, 2000.0, 1000.0, 1.0).gives == "grip"
    assert held(ground, 2000.0, 1000.0, 0.3).gives == "tips"
    assert slides_rad(1.0) == pytest.approx(math.pi / 4.0)
    # 1 g outwards in a circle of 10 m: v2 = g R.
    assert turn_m_s(10.0, 1.0, 9.81) == pytest.approx(9.9045, abs=1e-3)


def test_moved_masses() -> None:
    """75 of Teasel's kilograms raised by 300 mm raise the whole by their share; leaning uphill helps."""
    found = tipping_of(stand_level(load_vehicle("teasel")), lengthwise=False)
    plain, up = found.slopes(), found.slopes(Shift(up_mm=300.0))
    assert plain.side is not None
    assert up.side is not None
    raised = 0.3 * 75.0 / found.masses.mass_kg
    half = 0.5 * 0.96
    assert math.tan(plain.side.stiff_rad) == pytest.approx(half / found.masses.high_m)
    assert math.tan(up.side.stiff_rad) == pytest.approx(half / (found.masses.high_m + raised))
    lean, out = found.slopes(Shift(aside_mm=-150.0)).side, found.slopes(Shift(aside_mm=150.0)).side
    assert lean is not None
    assert out is not None
    assert out.sprung_rad < plain.side.sprung_rad < lean.sprung_rad
    moved = 0.15 * 75.0 / found.masses.mass_kg
    assert math.tan(lean.stiff_rad) == pytest.approx((half + moved) / found.masses.high_m)
    ahead = found.slopes(Shift(ahead_mm=150.0))
    assert ahead.tail.stiff_rad > plain.tail.stiff_rad
    assert ahead.nose.stiff_rad < plain.nose.stiff_rad


def test_frictions_lie_in_their_sources_range() -> None:
    """Taborek's and Hayashi's tables (from memory): each row between peak and sliding."""
    ranges = {"tarmac": (0.75, 0.9), "wet tarmac": (0.45, 0.7), "wet concrete": (0.7, 0.8), "gravel": (0.55, 0.6)}
    for name, (low, high) in ranges.items():
        assert low <= ON_RUBBER[name].side <= high
    assert 0.90 <= ON_RUBBER["concrete"].side <= 0.91
    assert 0.67 <= ON_RUBBER["grass"].side <= 1.14
    assert 0.50 <= ON_STEEL["concrete"].side <= 0.51
    assert 0.87 <= ON_STEEL["grass"].side <= 1.11
    assert ON_RUBBER.keys() == ON_STEEL.keys()
