"""Every spring kind's law against its published formula (1 %) and against its own stored energy.

Energy: torque = -dV/d(angle), since a falling angle is bump. The stored energy comes from the spring's
own deflection (1/2 k x^2), the torque from the geometry, so the two meet only if the geometry is right.
"""

import itertools
import math

import numpy as np
import pytest

from trundle.springs import (
    Arm,
    AxleRate,
    Coil,
    CurvePad,
    Leaf,
    LeafAcross,
    Mount,
    PivotRate,
    RubberBlock,
    RubberPad,
    TablePad,
    TorsionBar,
)
from trundle.steel import coil as coil_formulas
from trundle.steel import rubber
from trundle.steel.bolts import bolt_class, pin_one_side
from trundle.steel.materials import steel
from trundle.steel.sections import channel, cut_depth

DEG, MM = math.pi / 180, 1e-3
ARM = Arm(0.16, -22 * DEG, 38 * DEG)
PAIR = Mount(ARM, 0.09)

ARM_KINDS = [
    PivotRate(rate_Nm_per_deg=4.5, free_angle_deg=33),
    PivotRate(rate_Nm_per_deg=4.5, free_angle_deg=20, one_way=True),
    AxleRate(rate_N_per_mm=28, free_angle_deg=33),
    AxleRate(rate_N_per_mm=28, free_angle_deg=15, one_way=True),
    TorsionBar(diameter_mm=14, length_mm=430, free_angle_deg=41),
    TorsionBar(diameter_mm=18, bore_mm=10, length_mm=430, free_angle_deg=41, bars=2),
    Coil(
        wire_mm=7,
        mean_diameter_mm=44,
        coils=7,
        free_length_mm=150,
        on_arm_mm=105,
        anchor_mm=(85, 105),
        above_arm_mm=12,
    ),
    Leaf(width_mm=36, thickness_mm=5, length_mm=260, bears_at_mm=115, free_angle_deg=31, arm_top_mm=14),
    Leaf(
        width_mm=36,
        thickness_mm=5,
        length_mm=260,
        bears_at_mm=115,
        free_angle_deg=31,
        full_leaves=2,
        friction=0,
    ),
    RubberBlock(
        mode="compression",
        hardness_irhd=55,
        width_mm=45,
        length_mm=60,
        thickness_mm=45,
        lever_mm=38,
        free_angle_deg=36,
    ),
    RubberBlock(
        mode="shear",
        hardness_irhd=65,
        width_mm=45,
        length_mm=60,
        thickness_mm=25,
        lever_mm=38,
        free_angle_deg=10,
    ),
]

LEAF = {
    "width_mm": 36,
    "thickness_mm": 7,
    "length_mm": 330,
    "free_radius_mm": 380,
    "seat_above_pivots_mm": 44,
    "arm_top_mm": 13,
}
PAIR_KINDS = [
    LeafAcross(**LEAF, seat="point"),
    LeafAcross(**LEAF, seat="point", sleeve_clearance_mm=3),
    LeafAcross(**LEAF, seat="pair", seat_apart_mm=50),
    LeafAcross(**LEAF, seat="pair", seat_apart_mm=50, sleeve_clearance_mm=1),
    LeafAcross(**LEAF, seat="clamp", clamp_mm=50),
    LeafAcross(**LEAF, seat="clamp", clamp_mm=50, clamp_fit="curved"),
    LeafAcross(**LEAF, seat="clamp", clamp_mm=50, full_leaves=2, graduated_leaves=2),
    LeafAcross(**LEAF, seat="point", full_leaves=1, graduated_leaves=2, adjuster_mm=12),
]


@pytest.mark.parametrize("spring", ARM_KINDS, ids=lambda s: s.kind)
def test_torque_is_the_slope_of_the_energy(spring):
    """Central difference of the stored energy; kinks (free angle, solid coil) lie between samples."""
    h = 1e-5
    law = spring.law(ARM)
    for angle in np.linspace(-0.37, 0.65, 41):
        up, down = (spring.figures(angle + s * h, ARM).energy_J for s in (1, -1))
        torque = spring.figures(angle, ARM).torque_Nm
        scale = max(abs(law.torque_Nm).max(), 1.0)
        assert -(up - down) / (2 * h) == pytest.approx(torque, abs=1e-5 * scale)
        assert np.interp(angle, law.angle_rad, law.torque_Nm) == pytest.approx(torque, abs=2e-4 * scale)


@pytest.mark.parametrize("spring", PAIR_KINDS, ids=lambda s: f"{s.seat}-{s.sleeve_clearance_mm}")
def test_pair_torques_are_the_slopes_of_the_energy(spring):
    """Both arms' torques at a grid of arm angles, with an end loose and with a sleeve touched among them."""
    h = 1e-6
    touched = loose = 0
    for fore, aft in itertools.product(np.linspace(-0.35, 0.6, 9), repeat=2):
        got = spring.figures(fore, aft, PAIR)
        for i, step in enumerate(((h, 0.0), (0.0, h))):
            up = spring.figures(fore + step[0], aft + step[1], PAIR).energy_J
            down = spring.figures(fore - step[0], aft - step[1], PAIR).energy_J
            assert -(up - down) / (2 * h) == pytest.approx(got.torque_Nm[i], abs=0.02, rel=1e-4)
        touched += got.rock_load_N > 0
        loose += min(got.load_N) == 0.0
    assert loose > 0
    assert (touched > 0) == (spring.sleeve_clearance_mm is not None)


@pytest.mark.parametrize("spring", PAIR_KINDS, ids=lambda s: f"{s.seat}-{s.sleeve_clearance_mm}")
def test_pair_law_gives_the_figures_loads(spring):
    """F = K d with both ends pressing and no sleeve touched; deflection falls with angle; K is PSD."""
    law = spring.pair_law(PAIR)
    assert law.deflection_m.shape == (2, law.angle_rad.size)
    assert (np.diff(law.deflection_m) < 0).all()
    k = law.stiffness_N_per_m
    assert k[0, 1] == k[1, 0]
    assert np.linalg.eigvalsh(k).min() > -1e-6
    fore, aft = -0.2, -0.15
    d = np.array([np.interp(a, law.angle_rad, law.deflection_m[0]) for a in (fore, aft)])
    assert spring.figures(fore, aft, PAIR).load_N == pytest.approx(k @ d, rel=1e-3)


def test_axle_rate_is_the_rate_at_the_axle():
    """Axle force = torque/(r cos); its slope over z = r sin(angle) is the stated rate (statics)."""
    spring = AxleRate(rate_N_per_mm=28, free_angle_deg=33)
    law = spring.law(ARM)
    force = law.torque_Nm / (ARM.length_m * np.cos(law.angle_rad))
    slope = np.gradient(force, -ARM.length_m * np.sin(law.angle_rad))
    assert slope[1:-1] == pytest.approx(28e3, rel=1e-6)


def test_torsion_bar_is_the_handbook_arm():
    """Statics of a trailing arm on a bar (Shigley for k): d 16, L 500, r 120 mm: 3158.8 N at 20 deg."""
    arm = Arm(0.12, -15 * DEG, 40 * DEG)
    bar = TorsionBar(diameter_mm=16, length_mm=500, free_angle_deg=40)
    at = bar.figures(20 * DEG, arm)
    assert at.torque_Nm / (0.12 * math.cos(20 * DEG)) == pytest.approx(3158.8, rel=1e-4)
    assert at.stress_Pa == pytest.approx(20 * 22.145e6, rel=1e-4)
    assert at.measure == "shear"


def test_coil_is_wahls_coil_on_a_known_triangle():
    """Arm level, seat 100 mm out, upper seat 120 mm straight above: lever 100 mm, length 120 mm.

    Wahl: d 8, D 50, 6 coils: 54.135 N/mm; 1500 N is 27.708 mm and 463.0 MPa.
    """
    spring = Coil(wire_mm=8, mean_diameter_mm=50, coils=6, free_length_mm=147.708, on_arm_mm=100, anchor_mm=(100, 120))
    at = spring.figures(0.0, ARM)
    assert at.load_N == pytest.approx(1500.0, rel=1e-4)
    assert at.torque_Nm == pytest.approx(150.0, rel=1e-4)
    assert at.stress_Pa == pytest.approx(463.0e6, rel=1e-3)
    assert spring.solid_m == pytest.approx(0.064)


def test_solid_coil_stops_the_arm():
    """Past solid the rate is 21 times as steep, and the wire is twisted no further."""
    spring = Coil(wire_mm=8, mean_diameter_mm=50, coils=10, free_length_mm=140, on_arm_mm=100, anchor_mm=(100, 120))
    k = coil_formulas.rate(0.008, 0.05, 10)
    angles = np.radians(np.linspace(-20, 0, 401))
    figures = [spring.figures(a, ARM) for a in angles]
    solid = [f for f in figures if any("solid" in n for n in f.notes)]
    assert 10 < len(solid) < 390
    short = np.array([f.deflection for f in solid])
    assert np.gradient([f.load_N for f in solid], short) == pytest.approx(21 * k, rel=1e-4)
    assert [f.stress_Pa for f in solid] == pytest.approx(
        [coil_formulas.stress(0.008, 0.05, k * (0.140 - 0.096))] * len(solid), rel=1e-9
    )


def test_leaf_is_the_cantilever():
    """Roark (from memory): 50 x 6, l 300 mm, 12.136 mm carries 250 N with 250 MPa at the clamp; arm level."""
    free = math.degrees(math.atan(12.136 / 100))
    spring = Leaf(width_mm=50, thickness_mm=6, length_mm=300, bears_at_mm=100, free_angle_deg=free)
    at = spring.figures(0.0, ARM)
    assert at.load_N == pytest.approx(250.0, rel=1e-3)
    assert at.stress_Pa == pytest.approx(250e6, rel=1e-3)
    assert at.torque_Nm == pytest.approx(25.0, rel=1e-3)


def test_leaf_across_on_a_level_pair():
    """Two cantilevers back to back, 48 E I/L^3 in the middle (Roark, from memory): 50 x 6, L 600: 41.20 N/mm.

    Nearly flat leaf; arms level with tops at the pivot line, seat 12.136 mm lower than when loose.
    """
    arm = Arm(0.3, -5 * DEG, 5 * DEG)
    pair = Mount(arm, 0.1)
    spring = LeafAcross(
        width_mm=50,
        thickness_mm=6,
        length_mm=600,
        free_radius_mm=100_000,
        seat_above_pivots_mm=6,
        adjuster_mm=11.686,
    )
    # The free leaf's ends hang by the rise, 0.45 mm, so the ends are lifted by 12.136 mm in all.
    assert spring.rise_m == pytest.approx(0.45 * MM, rel=1e-3)
    at = spring.figures(0.0, 0.0, pair)
    assert at.deflection_m[0] == pytest.approx(12.136 * MM, rel=1e-3)
    assert at.seat_load_N == pytest.approx(500.0, rel=2e-3)
    assert at.stress_Pa == pytest.approx(250e6, rel=2e-3)
    assert at.torque_Nm[0] == pytest.approx(250.0 * spring.bears_at_m(pair), rel=2e-3)


def test_clamp_and_pair_free_shapes():
    """A flat clamp of 60 mm shortens the arc by 60 mm; two seats 60 mm apart sit s^2/2R lower on it."""
    clamp = LeafAcross(**LEAF, seat="clamp", clamp_mm=60)
    pair = LeafAcross(**LEAF, seat="pair", seat_apart_mm=60)
    a = 135 / 380
    assert clamp.half_chord_m == pytest.approx(0.030 + 0.380 * math.sin(a))
    assert clamp.rise_m == pytest.approx(0.380 * (1 - math.cos(a)))
    whole = 0.380 * (1 - math.cos(165 / 380))
    assert pair.rise_m == pytest.approx(whole - 0.030**2 / (2 * 0.380), rel=1e-3)
    assert pair.half_chord_m == pytest.approx(0.380 * math.sin(165 / 380))


CLAMPED = {
    "width_mm": 40,
    "thickness_mm": 4,
    "length_mm": 300,
    "free_radius_mm": 350,
    "seat_above_pivots_mm": 44,
    "seat": "clamp",
    "clamp_mm": 50,
    "steel": "51CrV4",
}


@pytest.mark.parametrize(("radius", "stress_MPa"), [(350, 1177), (200, 2060)])
def test_a_flat_clamp_stresses_the_leaf_for_ever(radius, stress_MPa):
    """E t/2R, E 206 GPa, t 4 mm, whatever the load and however many leaves: the main leaf's radius is the least."""
    for more in ({}, {"graduated_leaves": 2}):
        spring = LeafAcross(**{**CLAMPED, **more, "free_radius_mm": radius})
        for angle in (0.55, 0.4):
            at = spring.figures(angle, angle, PAIR)
            assert at.fitted is not None
            assert at.fitted.stress_Pa == pytest.approx(stress_MPa * 1e6, rel=0.01)
            assert at.stress_Pa == max(at.fitted.stress_Pa, at.load_stress_Pa)
            assert at.where == "main leaf, in the clamp"
    # The backs of the others lie one, two, three thicknesses further out.
    pressed = [c.pressed_Pa for c in LeafAcross(**CLAMPED, full_leaves=2, graduated_leaves=2).bending(0.01).leaves]
    assert pressed == pytest.approx([206e9 * 0.004 / 2 / (0.350 + i * 0.004) for i in range(4)])


def test_load_stress_outside_the_clamp():
    """Bent far, the root outside the clamp rules: M/Z there, F x 125 mm / (b t^2/6), and the place is told."""
    spring = LeafAcross(**CLAMPED, adjuster_mm=60)
    at = spring.figures(0.0, 0.0, PAIR)
    assert at.load_stress_Pa == pytest.approx(at.load_N[0] * 0.125 * 6 / (0.040 * 0.004**2))
    assert at.stress_Pa == at.load_stress_Pa > 1177e6
    assert at.where == ""
    stack = LeafAcross(**CLAMPED, adjuster_mm=60, full_leaves=1, graduated_leaves=2).figures(0.0, 0.0, PAIR)
    assert stack.where == "leaf 3, at the clamp"


def test_chord_and_rise_of_a_clamped_leaf_come_in_pairs():
    """300 mm at R 350: 2R sin(L/2R), R(1 - cos) of the whole arc on the bench; in the clamp 50 mm flat, 250 mm arc."""
    bench, clamped = LeafAcross(**CLAMPED).bending(0.01).shapes
    assert (bench.chord_mm, bench.rise_mm, bench.flat_mm) == pytest.approx((291.0, 31.7, 0.0), abs=0.1)
    assert (clamped.chord_mm, clamped.rise_mm, clamped.flat_mm) == pytest.approx((294.7, 22.1, 50.0), abs=0.1)
    # (arc - chord)/2 is left of the end travel once the clamp has taken its part.
    assert LeafAcross(**CLAMPED).bending(0.01).flat_room_mm == pytest.approx((300 - 294.72) / 2, abs=0.01)


def test_ways_out_of_the_stress_of_a_clamp():
    """Made flat there, the leaf lies on the bench as in the clamp; plates with its curve leave the whole arc."""
    flat = LeafAcross(**CLAMPED, clamp_fit="bent flat")
    curved = LeafAcross(**CLAMPED, clamp_fit="curved")
    (lies,) = flat.bending(0.01).shapes
    (arc,) = curved.bending(0.01).shapes
    assert (lies.chord_mm, lies.rise_mm, lies.flat_mm) == pytest.approx((294.7, 22.1, 50.0), abs=0.1)
    assert (arc.chord_mm, arc.rise_mm) == pytest.approx((291.0, 31.7), abs=0.1)
    assert curved.rise_m / MM == pytest.approx(arc.rise_mm)
    assert flat.rise_m / MM == pytest.approx(lies.rise_mm)
    for spring in (flat, curved):
        at = spring.figures(0.0, 0.0, PAIR)
        assert at.fitted is None
        assert at.stress_Pa == at.load_stress_Pa
        assert [c.pressed_Pa for c in spring.bending(0.01).leaves] == [None]
    # The two are equally stiff: the same length sticks out.
    assert flat.stiffness_N_per_m() == pytest.approx(curved.stiffness_N_per_m())


def test_free_ends_just_touch_where_the_tape_says():
    """Seat face 44, leaf 7 thick, arc rise by its own formula: tips at that height over the pivots."""
    spring = LeafAcross(**LEAF)
    rise = 380 * (1 - math.cos(165 / 380))
    assert spring.free_tip_m / MM == pytest.approx(44 - 7 - rise)
    lower = LeafAcross(**LEAF, adjuster_mm=5)
    assert lower.free_tip_m / MM == pytest.approx(44 - 7 - rise - 5)
    # Contact height at the arm: -b tan + e/cos, from the pivot, b = half chord - half pivot distance.
    b = 380 * math.sin(165 / 380) - 45
    angle = 0.2
    expect = -b * math.tan(angle) + 13 / math.cos(angle) - (44 - 7 - rise)
    assert spring.deflection_m(np.array([angle]), PAIR)[0] / MM == pytest.approx(expect)


def test_trade_end_room():
    """common practice, no source: 32 x 8 leaf, 425 mm long, 350 mm radius gets about 12 mm room at each end.

    (arc - chord)/2 is 12.8 mm when it flattens; the elastica pressed level gives the same within 0.3 mm.
    """
    spring = LeafAcross(
        width_mm=32,
        thickness_mm=8,
        length_mm=425,
        free_radius_mm=350,
        seat_above_pivots_mm=80,
        end_room_mm=12,
    )
    assert spring.arc.end_travel_m / MM == pytest.approx(12.8, abs=0.05)
    assert spring.arc.end_travel_m / MM == pytest.approx(12, abs=1)
    assert spring.end_travel_m(spring.rise_m) / MM == pytest.approx(12.8, abs=0.7)
    pair = Mount(Arm(0.17, -50 * DEG, 30 * DEG), 0.1)
    flat_at = [a for a in np.radians(np.arange(-50, 30)) if spring.deflection_m(np.array([a]), pair)[0] > spring.rise_m]
    notes = spring.figures(flat_at[-1], flat_at[-1], pair).notes
    assert any("12 mm" in n and "outwards" in n for n in notes)


def test_trade_arm_and_axle_stand_a_fair_wheel_load():
    """common practice, no source: what such builders cut should not come out as yielding at rest.

    Arm 220 mm from 40 x 40 x 3 tube, holes 20 mm from one end and 170 mm on, 30 mm from the back; half-inch
    high-tensile axle; 46 mm between the two wheels, that is 3 mm a side past the arm. 1.5 kN on the two.
    """
    arm = channel(0.040, 0.003, cut_depth(0.040, 0.003, "face"))
    half_inch = 12.7 * MM
    assert 20 + 170 + 12.7 / 2 < 220
    assert 30 * MM + half_inch / 2 < arm.height_m
    bending = 1500 * 0.170 / arm.wx_m3
    assert 0.3 < bending / steel("S235").yield_Pa < 0.8
    # A wheel 30 mm wide pushes 18 mm from the leg it stands beside.
    pin = pin_one_side(750, half_inch, (0.046 - 0.040) / 2 + 0.015)
    assert pin.equivalent_Pa < 0.25 * bolt_class("8.8", half_inch).yield_Pa
    # One wheel carrying all of it, 38 mm off the arm's middle: the open channel twists by whole degrees.
    assert arm.twist_rad(arm.torque_Nm(0.0, 1500.0, 0.038, 0.03), 0.170) > 5 * DEG


def test_rubber_block_is_gent_and_lindley():
    """Gent & Lindley 1959: 65 IRHD, E0 5.72 MPa, k 0.54: E0(1 + 2 k S^2) A/t with bulk 1200 MPa."""
    block = RubberBlock(
        mode="compression",
        hardness_irhd=65,
        width_mm=50,
        length_mm=50,
        thickness_mm=20,
        lever_mm=40,
        free_angle_deg=10,
    )
    s = 50 / 80
    ec = 5.72 * (1 + 2 * 0.54 * s * s)
    expect = 1 / (1 / ec + 1 / 1200) * 2500 / 20
    assert block.rate_N_per_m == pytest.approx(expect * 1e3, rel=1e-6)
    at = block.figures(5 * DEG, ARM)
    assert at.torque_Nm == pytest.approx(expect * 1e3 * 0.04**2 * 5 * DEG)
    assert at.stress_Pa == pytest.approx(at.load_N / 2500e-6)
    assert block.figures(20 * DEG, ARM).torque_Nm == 0.0


PADS = [
    CurvePad(rate_N_per_mm=90),
    CurvePad(rate_N_per_mm=40, square_N_per_mm2=6, cube_N_per_mm3=0.5),
    TablePad(points=((0, 0), (4, 200), (8, 900), (10, 2500))),
    RubberPad(hardness_irhd=60, diameter_mm=30, height_mm=20),
]


@pytest.mark.parametrize("pad", PADS, ids=lambda p: p.kind)
def test_pad_force_is_the_slope_of_its_energy(pad):
    """dE/dx = F, also beyond the table and past 70 % pressed; nothing before touch; always rising."""
    h, last = 1e-7, -1.0
    for x in np.linspace(0.0005, 0.0173, 37):
        slope = (pad.energy_J(x + h) - pad.energy_J(x - h)) / (2 * h)
        assert slope == pytest.approx(pad.force_N(x), rel=1e-4)
        assert pad.force_N(x) > last
        last = pad.force_N(x)
    assert pad.force_N(-0.01) == 0.0
    assert pad.energy_J(-0.01) == 0.0


def test_rubber_pad_starts_as_gent_and_lindley():
    """Small strain: F = Ec A x/h (Gent & Lindley), since (1/q^2 - q)/3 tends to the strain."""
    pad = RubberPad(hardness_irhd=65, diameter_mm=50, height_mm=20)
    e0, _, k = rubber.moduli(65)
    ec = rubber.compression_modulus(e0, k, 0.625, rubber.BULK_PA)
    x = 1e-6
    assert pad.force_N(x) == pytest.approx(ec * math.pi / 4 * 0.05**2 * x / 0.02, rel=1e-3)


def test_bars_and_blocks_side_by_side_add_up():
    """Springs in parallel: n times the rate at the same stress."""
    one = {"diameter_mm": 14, "length_mm": 430, "free_angle_deg": 41}
    single, double = TorsionBar(**one).figures(0.1, ARM), TorsionBar(**one, bars=2).figures(0.1, ARM)
    assert double.torque_Nm == pytest.approx(2 * single.torque_Nm)
    assert double.stress_Pa == pytest.approx(single.stress_Pa)
    block = {
        "mode": "shear",
        "hardness_irhd": 65,
        "width_mm": 45,
        "length_mm": 60,
        "thickness_mm": 25,
        "lever_mm": 38,
        "free_angle_deg": 10,
    }
    a, b = RubberBlock(**block).figures(0.0, ARM), RubberBlock(**block, blocks=3).figures(0.0, ARM)
    assert b.torque_Nm == pytest.approx(3 * a.torque_Nm)
    assert b.stress_Pa == pytest.approx(a.stress_Pa)
