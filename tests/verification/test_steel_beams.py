"""Straight and curved beams against Roark's cases, Bisshopp & Drucker's table and a boundary-value solver.

E = 206 GPa; flat 50 x 6 mm, I = 900 mm4, Z = 300 mm3. Handbook cases hold to the digits printed (0.1 %).
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from trundle.steel import beams
from trundle.steel.materials import E_STEEL

EI = E_STEEL * 900e-12
Z = 300e-9


def test_rectangle_moments():
    """I = b t^3/12, Z = b t^2/6 (any handbook): 900 mm4 and 300 mm3 for 50 x 6 mm."""
    assert beams.rectangle_inertia(0.05, 0.006) == pytest.approx(900e-12)
    assert beams.rectangle_modulus(0.05, 0.006) == pytest.approx(300e-9)


def test_supported_centre_load():
    """Roark table 8.1 (from memory): L = 600 mm, P = 500 N gives 12.136 mm, 250.0 MPa."""
    case = beams.supported_centre(500.0, 0.6, EI)
    assert case.deflection_m == pytest.approx(12.136e-3, rel=1e-4)
    assert case.moment_Nm / Z == pytest.approx(250e6, rel=1e-4)


def test_clamped_centre_load():
    """Roark table 8.1 (from memory): both ends clamped is four times stiffer, 164.8 N/mm; M = P L/8."""
    case = beams.clamped_centre(500.0, 0.6, EI)
    assert 500.0 / case.deflection_m == pytest.approx(164.8e3, rel=1e-3)
    assert case.moment_Nm == pytest.approx(37.5)


def test_cantilever_end_load():
    """Roark table 8.1 (from memory): L = 300 mm, P = 250 N gives 12.136 mm, 250.0 MPa."""
    case = beams.cantilever(250.0, 0.3, EI)
    assert case.deflection_m == pytest.approx(12.136e-3, rel=1e-4)
    assert case.moment_Nm / Z == pytest.approx(250e6, rel=1e-4)


def test_two_equal_loads():
    """Roark (from memory): L = 600, a = 200 mm, 250 N each gives 10.338 and 8.990 mm, 166.67 MPa."""
    case, under = beams.two_loads(250.0, 0.6, 0.2, EI)
    assert case.deflection_m == pytest.approx(10.338e-3, rel=1e-4)
    assert under == pytest.approx(8.990e-3, rel=1e-4)
    assert case.moment_Nm / Z == pytest.approx(166.67e6, rel=1e-4)


@pytest.mark.parametrize(
    ("alpha", "up", "in_", "slope"),
    [
        (0.5, 0.16214, 0.01592, 0.24453),
        (1.0, 0.30172, 0.05643, 0.46135),
        (2.0, 0.49346, 0.16064, 0.78175),
        (5.0, 0.71379, 0.38763, 1.21537),
        (10.0, 0.81061, 0.55500, 1.43029),
    ],
)
def test_large_deflection_cantilever(alpha, up, in_, slope):
    """Bisshopp & Drucker (1945), alpha = P L^2/EI: values of the elliptic integrals, five digits printed."""
    shape = beams.elastica_under_load(alpha * EI / 0.09, 0.3, EI)
    assert shape.up_m / 0.3 == pytest.approx(up, abs=2e-5)
    assert 1 - shape.across_m / 0.3 == pytest.approx(in_, abs=2e-5)
    assert shape.slope_rad == pytest.approx(slope, abs=2e-5)


@pytest.mark.parametrize("held", [0.0, 0.03])
def test_curved_leaf_against_a_boundary_value_solver(held):
    """A leaf of radius 350 mm bent 40 mm: scipy's collocation solver on the same equilibrium, 1e-4.

    States x, y, slope, curvature with d(curvature)/ds = -F cos(slope)/EI; free end has its own curvature.
    """
    length, radius, lift = 0.18, 0.35, 0.04
    got = beams.elastica_at_lift(lift, length, EI, -1 / radius, held)

    def change(s, u):
        return np.array([np.cos(u[2]), np.sin(u[2]), u[3], -got.load_N * np.cos(u[2]) / EI])

    def ends(root, tip):
        return np.array([root[0], root[1], root[2] - held * root[3], tip[3] + 1 / radius])

    s = np.linspace(0, length, 41)
    found = solve_bvp(change, ends, s, np.array([s, 0 * s, 0 * s, 0 * s]), tol=1e-9)
    assert found.success
    # Free end: an arc that leaves the root with the slope -held/radius.
    slope = -held / radius
    free_y = radius * (math.cos(length / radius - slope) - math.cos(slope))
    assert found.y[1, -1] - free_y == pytest.approx(lift, rel=1e-4)
    assert found.y[0, -1] == pytest.approx(got.across_m, rel=1e-4)


def test_beam_theory_error_vanishes_for_small_bends_and_grows():
    """Beam theory is the limit of the elastica, its error of second order; -9.5 % at alpha = 1 (tabled)."""
    small, twice = (beams.beam_theory_error(d, 0.3, EI) for d in (0.003, 0.006))
    assert twice / small == pytest.approx(4.0, rel=0.01)
    assert abs(small) < 2e-4
    # alpha = 1 lifts 0.30172 L; beam theory asks 3 x 0.30172 EI/L^2 for that.
    assert beams.beam_theory_error(0.30172 * 0.3, 0.3, EI) == pytest.approx(3 * 0.30172 - 1, abs=1e-4)
    assert beams.beam_theory_error(0.0, 0.3, EI) == 0.0
