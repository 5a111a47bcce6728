"""The cantilever that bends far against Bisshopp & Drucker's table and a boundary-value solver.

E = 206 GPa; flat 50 x 6 mm, I = 900 mm4.
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from trundle.steel import beams
from trundle.steel.materials import E_STEEL

EI = E_STEEL * 900e-12


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
    """Bisshopp & Drucker (1945), alpha = P L^2/EI: values of the elliptic integrals, five digits printed.

    Lifted as far as the table says, to its last digit: at alpha = 10 one of that is 0.01 of the load.
    """
    shape = beams.elastica_at_lift(up * 0.3, 0.3, EI)
    assert shape.load_N * 0.09 / EI == pytest.approx(alpha, rel=1e-3)
    assert 1 - shape.across_m / 0.3 == pytest.approx(in_, abs=5e-5)
    assert shape.slope_rad == pytest.approx(slope, abs=5e-5)


@pytest.mark.parametrize(("held", "root"), [(0.0, 0.0), (0.03, 0.0), (0.0, -0.07)])
def test_curved_leaf_against_a_boundary_value_solver(held, root):
    """A leaf of radius 350 mm bent 40 mm: scipy's collocation solver on the same equilibrium, 1e-4.

    States x, y, slope, curvature with d(curvature)/ds = -F cos(slope)/EI; free end has its own curvature.
    """
    length, radius, lift = 0.18, 0.35, 0.04
    got = beams.elastica_at_lift(lift, length, EI, -1 / radius, held, root)

    def change(s, u):
        return np.array([np.cos(u[2]), np.sin(u[2]), u[3], -got.load_N * np.cos(u[2]) / EI])

    def ends(foot, tip):
        return np.array([foot[0], foot[1], foot[2] - root - held * foot[3], tip[3] + 1 / radius])

    s = np.linspace(0, length, 41)
    found = solve_bvp(change, ends, s, np.array([s, 0 * s, 0 * s, 0 * s]), tol=1e-9)
    assert found.success
    # Free end: an arc that leaves the root with the slope it is held at, less held/radius.
    slope = root - held / radius
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
