"""Section properties against EN 10219-2 tables and finite-element values of a general section library.

Channels: `sectionproperties` 3.10 results for a 40 x 40 x 3 mm cold-formed tube, rounded corners (ro 6,
ri 3 mm). Promised 1 %; area and second moments are exact integrals, so 0.2 % is asked (the library draws arcs
as polygons).
"""

import math

import numpy as np
import pytest

from trundle.errors import InputError
from trundle.steel import outline, sections
from trundle.steel.channel_grid import channel_grid
from trundle.steel.warping import solve

CM, MM = 1e-2, 1e-3


@pytest.mark.parametrize(
    ("side", "area", "inertia", "elastic", "torsion", "mass"),
    [
        (40, 4.2082, 9.3236, 4.6618, 15.754, 3.303),
        (50, 5.4082, 19.467, 7.7869, 32.135, 4.246),
        (75, 8.4082, 71.619, 19.098, 114.54, 6.601),
    ],
)
def test_square_tube(side, area, inertia, elastic, torsion, mass):
    """EN 10219-2 annex B formulas, T = 3 mm; cm units."""
    s = sections.square_tube(side * MM, 3 * MM)
    assert s.area_m2 == pytest.approx(area * CM**2, rel=1e-4)
    assert s.ix_m4 == pytest.approx(inertia * CM**4, rel=1e-4)
    assert s.wx_m3 == pytest.approx(elastic * CM**3, rel=1e-4)
    assert s.j_m4 == pytest.approx(torsion * CM**4, rel=1e-4)
    assert s.mass_kg_per_m == pytest.approx(mass, rel=2e-4)


def test_square_tube_as_listed():
    """roymech.org table of EN 10219-2 tubes, three digits: 40 x 40 x 3."""
    s = sections.square_tube(40 * MM, 3 * MM)
    got = (s.area_m2 / CM**2, s.ix_m4 / CM**4, s.wx_m3 / CM**3, s.j_m4 / CM**4, s.mass_kg_per_m)
    assert got == pytest.approx((4.21, 9.32, 4.66, 15.8, 3.30), rel=4e-3)


ROUNDED = {
    "face": (314.6, 13.784, 44_876, 1933, 3256, 81_992, 4100, 924, 14.11),
    "face and corners": (294.3, 12.280, 34_536, 1590, 2812, 75_403, 3770, 867, 12.40),
}


@pytest.mark.parametrize("cut", ["face", "face and corners"])
def test_channel_cut_from_tube(cut):
    """Both cuts of 40 x 40 x 3: the library's finite elements, rounded corners; mm."""
    s = sections.channel(40 * MM, 3 * MM, sections.cut_depth(40 * MM, 3 * MM, cut))
    area, y, ix, toe, web, iy, strong, j, centre = ROUNDED[cut]
    assert s.area_m2 == pytest.approx(area * MM**2, rel=2e-3)
    assert s.y_m == pytest.approx(y * MM, rel=2e-3)
    assert s.ix_m4 == pytest.approx(ix * MM**4, rel=2e-3)
    assert s.wx_high_m3 == pytest.approx(toe * MM**3, rel=2e-3)
    assert s.wx_low_m3 == pytest.approx(web * MM**3, rel=2e-3)
    assert s.iy_m4 == pytest.approx(iy * MM**4, rel=2e-3)
    assert 2 * s.iy_m4 / s.width_m == pytest.approx(strong * MM**3, rel=2e-3)
    assert s.j_m4 == pytest.approx(j * MM**4, rel=2e-3)
    assert s.shear_y_m == pytest.approx(-centre * MM, rel=2e-3)
    assert s.open_


@pytest.mark.parametrize(("depth", "coarse_error"), [(37, 1e-3), (34, 1e-3)])
def test_torsion_has_converged(depth, coarse_error):
    """J by warping is an upper bound that falls as the grid is refined: twice as fine moves it < 0.1 %."""
    j = [solve(channel_grid(0.04, 0.003, depth * MM, 0.006, fine)).J_m4 for fine in (1, 2, 4)]
    assert j[0] > j[1] > j[2]
    assert j[1] / j[2] - 1 < coarse_error


def test_warping_of_a_rectangle():
    """Timoshenko & Goodier (from memory): J = 0.1406 a^4 for a square, 0.2287 a b^3 for 2:1."""

    def grid(w, h):
        x, y = np.linspace(-w / 2, w / 2, 17), np.linspace(-h / 2, h / 2, 17)
        return np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1)

    square, two = solve(grid(1.0, 1.0)), solve(grid(2.0, 1.0))
    assert square.J_m4 == pytest.approx(0.1406, rel=1e-3)
    assert two.J_m4 == pytest.approx(0.2287 * 2, rel=1e-3)
    assert (two.x_m, two.y_m) == pytest.approx((0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize(("ratio", "factor", "stress"), [(1, 0.1406, 0.208), (2, 0.2287, 0.246), (10, 0.312, 0.312)])
def test_flat_in_torsion(ratio, factor, stress):
    """Timoshenko & Goodier's table (from memory): J = k1 b t^3, T = k2 b t^2 tau (three digits)."""
    s = sections.flat(ratio * 0.01, 0.01)
    assert s.j_m4 == pytest.approx(factor * ratio * 0.01**4, rel=6e-3)
    assert s.wt_m3 == pytest.approx(stress * ratio * 0.01**3, rel=1e-2)


def test_flat_and_round_in_bending():
    """b h^3/12 each way; pi d^4/64, J twice that, Wt = pi d^3/16 (any handbook)."""
    s = sections.flat(0.05, 0.006)
    assert (s.ix_m4, s.wx_m3) == pytest.approx((900e-12, 300e-9))
    assert s.iy_m4 == pytest.approx(0.006 * 0.05**3 / 12)
    r = sections.round_bar(0.0127)
    assert r.area_m2 == pytest.approx(126.677e-6, rel=1e-5)
    assert r.wx_m3 == pytest.approx(201.100e-9, rel=1e-5)
    assert r.wt_m3 == pytest.approx(math.pi * 0.0127**3 / 16)
    tube = sections.round_bar(0.02, 0.012)
    assert tube.j_m4 == pytest.approx(sections.round_bar(0.02).j_m4 - sections.round_bar(0.012).j_m4)


def test_outline_of_a_disc_and_an_offset_square():
    """Green's theorem: a disc as four arcs, pi r^2 and pi r^4/4; a square off the origin."""
    quarter = math.pi / 2
    disc = [outline.Arc((0.3, -0.2), 0.1, i * quarter, (i + 1) * quarter) for i in range(4)]
    a = outline.integrate([disc])
    assert (a.area_m2, a.x_m, a.y_m) == pytest.approx((math.pi * 0.01, 0.3, -0.2), rel=1e-12)
    assert (a.xx_m4, a.yy_m4) == pytest.approx([math.pi * 1e-4 / 4] * 2, rel=1e-9)
    square = [((1, 1), (2, 1)), ((2, 1), (2, 2)), ((2, 2), (1, 2)), ((1, 2), (1, 1))]
    b = outline.integrate([[outline.Line(*e) for e in square]])
    assert (b.area_m2, b.x_m, b.y_m, b.xx_m4, b.yy_m4) == pytest.approx((1, 1.5, 1.5, 1 / 12, 1 / 12))
    assert b.xy_m4 == pytest.approx(0.0, abs=1e-12)


def test_opening_a_tube_ruins_its_torsion():
    """Finite-element values above: J falls from 158 000 to 924 mm4, a factor of about 170."""
    tube = sections.square_tube(40 * MM, 3 * MM)
    cut = sections.channel(40 * MM, 3 * MM, 37 * MM)
    assert tube.j_m4 / cut.j_m4 == pytest.approx(170, rel=0.02)
    # A load along y through the middle does not twist; 20 mm off line it does.
    assert cut.torque_Nm(0.0, 1000.0, 0.0, 0.03) == 0.0
    assert cut.torque_Nm(0.0, 1000.0, 0.02, 0.03) == pytest.approx(20.0)
    assert cut.torque_Nm(1000.0, 0.0, 0.0, cut.shear_y_m) == pytest.approx(0.0)
    assert cut.twist_stress_Pa(20.0) == pytest.approx(20.0 * 0.003 / cut.j_m4)
    assert cut.twist_rad(20.0, 0.2) == pytest.approx(20.0 * 0.2 / (79.3e9 * cut.j_m4))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: sections.flat(0.0, 0.01), "above 0"),
        (lambda: sections.round_bar(0.01, 0.01), "bore"),
        (lambda: sections.square_tube(0.01, 0.003), "walls"),
        (lambda: sections.square_tube(0.04, -0.003), "walls"),
        (lambda: sections.channel(0.04, 0.003, 0.0385), "cannot be cut"),
        (lambda: sections.channel(0.04, 0.003, 0.005), "cannot be cut"),
    ],
)
def test_impossible_sections(make, words):
    with pytest.raises(InputError, match=words):
        make()


@pytest.mark.parametrize("thickness", [2, 4, 5])
def test_channel_outline_and_grid_agree(thickness):
    """The exact outline and the finite-element grid cover the same figure (area by quadrangles, 0.1 %)."""
    for depth in (20, 33, 40 - thickness):
        s = sections.channel(40 * MM, thickness * MM, depth * MM)
        g = channel_grid(40 * MM, thickness * MM, depth * MM, 2 * thickness * MM, 8)
        a, b = g[1:, 1:] - g[:-1, :-1], g[1:, :-1] - g[:-1, 1:]
        area = np.abs(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]).sum() / 2
        assert area == pytest.approx(s.area_m2, rel=1e-3)
