"""Springback against published ratios and an independent layer-by-layer moment integration."""

import math

import numpy as np
import pytest

from trundle.errors import InputError
from trundle.steel import rebend, rip
from trundle.steel.materials import E_STEEL, steel

T = 0.006


@pytest.mark.parametrize(
    ("yield_MPa", "bent_mm", "left_mm"),
    [(1200, 100, 140.37), (1200, 250, 759.78), (1200, 400, 5778), (300, 100, 107.85)],
)
def test_springback(yield_MPa, bent_mm, left_mm):
    """Ri/Rf = 4X^3 - 3X + 1, X = Ri Y/(E t) (novasolver.jp and gera.services spring-back pages)."""
    left = rebend.springback_curvature(1e3 / bent_mm, T, yield_MPa * 1e6)
    assert 1e3 / left == pytest.approx(left_mm, rel=2e-4)


def test_nothing_stays_bent_before_the_skin_yields():
    """At E t/2Y (any text on bending): 515 mm at 1200 MPa, E = 206 GPa."""
    assert rebend.springback_curvature(1 / 0.516, T, 1200e6) == 0.0
    assert rebend.springback_curvature(1 / 0.514, T, 1200e6) > 0.0


def layers(bent, start, thickness, yield_, n=20001):
    """Curvature left by integrating the stress of n layers: bend, then take the moment off elastically."""
    y = (np.arange(n) + 0.5) / n * thickness - thickness / 2
    stress = np.clip(E_STEEL * y * (bent - start), -yield_, yield_)
    moment = np.sum(stress * y) * thickness / n
    return bent - moment / (E_STEEL * thickness**3 / 12)


@pytest.mark.parametrize(("bent", "start"), [(8.0, 0.0), (8.0, 3.0), (-4.0, 3.0), (2.5, 2.0), (0.0, 5.0)])
def test_springback_against_layers(bent, start):
    """Also from a leaf already curved, opened out, or bent past flat (1/m)."""
    got = rebend.springback_curvature(bent, T, 1.1e9, start)
    assert got == pytest.approx(layers(bent, start, T, 1.1e9), abs=1e-6)


@pytest.mark.parametrize(
    ("wanted", "start"),
    [(0.35, math.inf), (0.14037, math.inf), (5.0, math.inf), (0.35, 0.9), (0.9, 0.35), (2.0, 0.3)],
)
def test_former_radius_springs_back_to_the_wanted_one(wanted, start):
    """The root of the springback law, checked with the layers; tighter than wanted when closing a leaf."""
    former = rebend.former_radius(wanted, T, 1.1e9, start)
    assert layers(1 / former, 1 / start, T, 1.1e9, 200_001) == pytest.approx(1 / wanted, rel=1e-5)
    if wanted < start:
        assert 0 < former < wanted
    else:
        assert former < 0 or former > wanted


def test_former_of_a_published_pair():
    """Bent to 100 mm it is left at 140.37 mm (see above), so the former for 140.37 mm is 100 mm."""
    assert rebend.former_radius(0.14037, T, 1200e6) == pytest.approx(0.1, rel=1e-4)


def test_surface_strain_and_least_radius():
    """t/2R; R = t/A allows half the elongation at break (rule of thumb, from memory)."""
    assert rebend.surface_strain(0.1, T) == pytest.approx(0.03)
    assert rebend.surface_strain(0.1, T, 0.2) == pytest.approx(0.015)
    sup9 = steel("SUP9")
    least = rebend.minimum_radius(T, sup9)
    assert rebend.surface_strain(least, T) == pytest.approx(sup9.elongation / 2)


def test_template_lies_on_the_arc():
    """Every ordinate lies on the circle; the middle is the rise, the end nil; 700 mm at 800 mm: 75.349 mm."""
    rows = rebend.template(0.7, 0.8)
    assert rows[0] == pytest.approx([0.0, 0.075349], abs=1e-6)
    assert rows[-1] == pytest.approx([0.677882 / 2, 0.0], abs=1e-6)
    assert np.diff(rows[:-1, 0]) == pytest.approx(0.05)
    low = 0.8 - 0.075349
    assert np.hypot(rows[:, 0], rows[:, 1] + low) == pytest.approx(0.8, abs=1e-6)


def test_template_with_a_flat_middle():
    """50 mm flat, then arcs of R 350 over 125 mm each side: R(1 - cos(125/350)) high up to the flat's end."""
    rows = rebend.template(0.3, 0.35, 0.05, every_m=0.025)
    rise = 0.35 * (1 - math.cos(0.125 / 0.35))
    assert rows[:2, 1] == pytest.approx([rise, rise])
    assert rows[-1] == pytest.approx([0.025 + 0.35 * math.sin(0.125 / 0.35), 0.0], abs=1e-9)
    out = rows[1:]
    assert np.hypot(out[:, 0] - 0.025, out[:, 1] + 0.35 - rise) == pytest.approx(0.35)


def test_bad_radii():
    with pytest.raises(InputError, match="too tight"):
        rebend.former_radius(0.002, T, 1e9)
    with pytest.raises(InputError, match="already"):
        rebend.former_radius(0.5, T, 1e9, 0.5)
    with pytest.raises(InputError, match="half circle"):
        rebend.template(0.7, 0.2)


def test_ripping_down_the_middle():
    """common practice, no source: a 65 mm leaf and a 1 mm disc give two strips of 32 mm."""
    cut = rip.rip(0.065, 0.001)
    assert cut.widths_m == pytest.approx((0.032, 0.032))
    assert cut.uneven == pytest.approx(0.0)
    assert rip.ride_difference(1000.0, 50e3, cut) == pytest.approx(0.0)


def test_uneven_halves():
    """Rate goes with width (Roark: I = b t^3/12), so 31 and 33 mm under one load sink by F/k each."""
    cut = rip.rip(0.065, 0.001, 0.0315)
    assert cut.widths_m == pytest.approx((0.031, 0.033))
    whole = 100e3
    soft, stiff = (whole * w / 0.065 for w in (0.031, 0.033))
    assert rip.ride_difference(800.0, whole, cut) == pytest.approx(800 / soft - 800 / stiff)
    assert cut.stress_factors == pytest.approx((65 / 31, 65 / 33))
    with pytest.raises(InputError, match="nothing"):
        rip.rip(0.065, 0.001, 0.0004)
