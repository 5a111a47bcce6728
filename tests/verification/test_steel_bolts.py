"""Bolts, pins and clevises against ISO 898-1, SAE J429, EN 1993-1-8 and statics; digits as printed."""

import math

import pytest

from trundle.errors import InputError
from trundle.steel import bolts, fatigue, weld
from trundle.steel.materials import steel

MPA, KN = 1e6, 1e3


def stress_area_m2(thread):
    """pi/4 (d - 0.9382 P)^2 (ISO 898-1); inch threads 0.7854 (d - 0.9743/n)^2 (ASME B1.1)."""
    share = 0.9743 if thread.name.startswith("UN") else 0.9382
    return math.pi / 4 * (thread.diameter_m - share * thread.pitch_m) ** 2


@pytest.mark.parametrize(
    ("size", "area"), [("M8", 36.61), ("M10", 57.99), ("M12", 84.27), ("M16", 156.67), ("UNC 1/2", 91.55)]
)
def test_stress_areas(size, area):
    """Diameters and pitches give the areas of ISO 898-1 and ASME B1.1 (from memory; 1/2 in: 0.14190 in2)."""
    assert stress_area_m2(bolts.thread(size)) == pytest.approx(area * 1e-6, rel=1e-4)


def test_root_diameters():
    """d - 1.22687 P (ISO 68-1, from memory): M12 9.853, 1/2-13 10.303 mm."""
    assert bolts.thread("M12").root_m == pytest.approx(9.853e-3, abs=1e-6)
    assert bolts.thread("UNC 1/2").root_m == pytest.approx(10.303e-3, abs=1e-6)


@pytest.mark.parametrize(
    ("grade", "size", "proof", "tensile"),
    [
        ("8.8", "M12", 48.9, 67.4),
        ("10.9", "M12", 70.0, 87.7),
        ("grade 5", "UNC 1/2", 53.65, 75.74),
        ("grade 8", "UNC 1/2", 75.74, 94.68),
    ],
)
def test_proof_and_breaking_loads(grade, size, proof, tensile):
    """ISO 898-1 tables and SAE J429, from memory; kN."""
    g, t = bolts.bolt_class(grade), bolts.thread(size)
    assert stress_area_m2(t) * g.proof_Pa == pytest.approx(proof * KN, rel=1e-3)
    assert stress_area_m2(t) * g.tensile_Pa == pytest.approx(tensile * KN, rel=1e-3)


def test_class_8_8_changes_above_16_mm():
    """ISO 898-1: 640/800 MPa up to 16 mm, 660/830 above."""
    assert bolts.bolt_class("8.8", 0.016).yield_Pa == 640 * MPA
    assert bolts.bolt_class("8.8", 0.020).yield_Pa == 660 * MPA
    assert bolts.bolt_class("8.8", 0.020).proof_Pa == 600 * MPA


def test_pin_held_on_one_side():
    """Statics, d 12.7, F 2 kN, e 30 mm: 298.4 MPa, 0.0684 mm; on the thread's root 558.8 MPa. Peak of the shear
    4/3 F/A, 21.05 MPa (round section, any strength text, from memory)."""
    pin = bolts.pin_one_side(2 * KN, 12.7e-3, 30e-3)
    assert pin.bending_Pa == pytest.approx(298.4 * MPA, rel=1e-3)
    assert pin.deflection_m == pytest.approx(0.0684e-3, rel=1e-3)
    assert pin.shear_peak_Pa == pytest.approx(21.05 * MPA, rel=1e-3)
    assert not pin.threads_in_bend
    root = bolts.pin_one_side(2 * KN, 12.7e-3, 30e-3, bolts.thread("UNC 1/2").root_m)
    assert root.bending_Pa == pytest.approx(558.8 * MPA, rel=1e-3)
    assert root.bending_Pa / pin.bending_Pa == pytest.approx(1.873, rel=1e-3)
    assert root.threads_in_bend


def test_pin_held_on_both_sides():
    """Statics, F 4 kN, L 40 mm: 198.9 MPa; double shear 15.79 MPa, peak 21.05 MPa; F L^3 / 48 E I = 0.02027 mm."""
    pin = bolts.pin_two_sides(4 * KN, 12.7e-3, 40e-3)
    assert pin.bending_Pa == pytest.approx(198.9 * MPA, rel=1e-3)
    assert pin.shear_Pa == pytest.approx(15.79 * MPA, rel=1e-3)
    assert pin.shear_peak_Pa == pytest.approx(21.05 * MPA, rel=1e-3)
    assert pin.deflection_m == pytest.approx(0.02027e-3, rel=1e-3)
    assert pin.equivalent_Pa == pytest.approx(math.hypot(198.9, math.sqrt(3) * 15.79) * MPA, rel=1e-3)


def test_clevis():
    """EN 1993-1-8 figure 3.11, table 3.10: F 4 kN, a 6, b 20, c 1, d 12 mm, 640/800 MPa."""
    c = bolts.clevis(4 * KN, 12e-3, 6e-3, 20e-3, 1e-3, bolts.bolt_class("8.8"))
    assert c.moment_Nm == pytest.approx(18.0)
    assert c.bending_Pa == pytest.approx(106.1 * MPA, rel=1e-3)
    assert c.bending_resistance_Nm == pytest.approx(162.9, rel=1e-3)
    assert c.shear_resistance_N == pytest.approx(43.43 * KN, rel=1e-3)
    assert c.share == pytest.approx((18.0 / 162.9) ** 2 + (2.0 / 43.43) ** 2, rel=1e-3)


def test_unknown_names_list_the_known():
    with pytest.raises(InputError, match=r'did you mean "8\.8"'):
        bolts.bolt_class("8.8.")
    with pytest.raises(InputError, match=r"10\.9.*grade 8"):
        bolts.bolt_class("strong")
    with pytest.raises(InputError, match="UNC 1/2"):
        bolts.thread("1/2")
    with pytest.raises(InputError, match="no figures"):
        bolts.bolt_class("grade 5", 0.03)


def test_ring_weld_against_the_ring_section():
    """A thin ring of the throat's width has the same stress: area pi d a, W = pi d^2 a/4, Wt twice that."""
    d, a = 0.03, 0.3e-3
    need = weld.ring_weld(d, 0.0, 200.0, 0.0, steel("S235"))
    ring = math.pi / 64 * ((d + a) ** 4 - (d - a) ** 4) / (d / 2)
    assert need.line_load_N_per_m / a == pytest.approx(200.0 / ring, rel=1e-3)
    twist = weld.ring_weld(d, 0.0, 0.0, 200.0, steel("S235"))
    assert twist.line_load_N_per_m / a == pytest.approx(200.0 / (2 * ring), rel=1e-3)
    # Shear in a thin ring peaks at twice the mean.
    shear = weld.ring_weld(d, 1000.0, 0.0, 0.0, steel("S235"))
    assert shear.line_load_N_per_m == pytest.approx(2 * 1000.0 / (math.pi * d))
    assert need.leg_m == pytest.approx(need.throat_m * math.sqrt(2))
    assert weld.ring_weld_share(d, need.throat_m, 0.0, 200.0, 0.0, steel("S235")) == pytest.approx(1.0)


def test_weld_strength():
    """EN 1993-1-8, 4.5.3.3 (from memory): S235, fu 360, beta 0.8: 207.8 MPa; S355, 470, 0.9: 241.2 MPa."""
    assert weld.weld_strength(steel("S235")) == pytest.approx(207.8 * MPA, rel=1e-3)
    assert weld.weld_strength(steel("S355")) == pytest.approx(241.2 * MPA, rel=1e-3)


def test_goodman_line():
    """Shigley's Goodman line: through the guide point and (tensile, 0); the margin of a point on it is 1."""
    s = steel("51CrV4")
    assert fatigue.allowed_alternating(s, 500 * MPA) == pytest.approx(250 * MPA)
    assert fatigue.allowed_alternating(s, 0.0) == pytest.approx(250 * MPA)
    assert fatigue.allowed_alternating(s, s.tensile_Pa) == 0.0
    assert fatigue.allowed_alternating(s, 2 * s.tensile_Pa) == 0.0
    mean = (500 * MPA + s.tensile_Pa) / 2
    assert fatigue.endurance_margin(s, mean - 125 * MPA, mean + 125 * MPA) == pytest.approx(1.0)
    assert fatigue.endurance_margin(s, mean, mean) == math.inf
    # The same swing beside a steady stress of that mean, however low its own.
    assert fatigue.endurance_margin(s, 0.0, 250 * MPA, steady_Pa=mean) == pytest.approx(1.0)
    assert fatigue.endurance_margin(s, mean - 125 * MPA, mean + 125 * MPA, steady_Pa=100 * MPA) == pytest.approx(1.0)
    shear = fatigue.allowed_alternating(s, 100 * MPA, shear=True)
    assert shear == pytest.approx(250 * MPA / math.sqrt(3))
